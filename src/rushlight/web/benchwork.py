"""What the pour sheet shows beside the candle: lots, work, what is typed when it is over."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rushlight.errors import Problem
from rushlight.web.asked import Fields
from rushlight.web.pour_costs import pour_costs
from rushlight.workshop import Workshop
from rushlight.workshop.pours import PourState, PourView
from rushlight.workshop.stores import jars, reserving, working
from rushlight.workshop.stores.finish_form import REASONS
from rushlight.workshop.stores.views import NeedLots

_PLAIN = ("good", "rejected", "count_wrong", "jars_differ", "person", "note")
_AT_WORK = (PourState.PLANNED, PourState.RUNNING)
_BESIDE = ("line.", "temperature", "time")  # said beside its field, which is in sight


def benchwork(
    shop: Workshop,
    view: PourView,
    *,
    deed: str = "",
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> dict[str, Any]:
    """Return what the page needs. deed: the form that was refused, with what was typed in it."""
    told, at_work = typed or {}, view.state in _AT_WORK
    over = view.state is PourState.FINISHED
    needs = reserving.choices(shop, view.id) if at_work else ()
    people = working.people(shop) if at_work else ()
    return {
        "needs": needs,
        "used": tuple({need.material: need for need in needs}.values()),
        "steps": working.steps(shop, view.id) if at_work else (),
        "times": working.listing(shop, view.id) if at_work else (),
        "people": people,
        "who": told.get("person") or view.person or next(iter(people), ""),
        "deed": deed,
        "listed": tuple(p for p in problems if p.place and not p.place.startswith(_BESIDE)),
        "stray": _stray(needs, problems),
        "opened": {part: _opened(part, told, problems) for part in ("lot", "rejected", "left")},
        "reasons": REASONS,
        "made": jars.of_pour(shop, view.id) if over else None,
        "costs": pour_costs(shop, view.id) if over else None,
    }


def _opened(part: str, typed: Mapping[str, str], problems: tuple[Problem, ...]) -> bool:
    """Return whether something was typed in a part that is closed at first, or is wrong in it."""
    start = f"{part}."
    wrong = any(problem.place.startswith(start) for problem in problems)
    filled = (n for n, text in typed.items() if n.startswith(start) and text)
    return wrong or any(not name.endswith(".fate") for name in filled)


def _stray(needs: tuple[NeedLots, ...], problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Return the problems of lots that have no field on the page."""
    offered = {f"lot.{need.need}.{choice.lot.code}" for need in needs for choice in need.lots}
    return tuple(p for p in problems if p.place.startswith("lot.") and p.place not in offered)


def typed_lots(form: Fields) -> dict[str, str]:
    """Return the lots that something was typed for; the others are as they were proposed."""
    typed = form.typed()
    return {name: text for name, text in typed.items() if name.startswith("lot.") and text}


def typed_finish(form: Fields) -> dict[str, str]:
    """Return what was typed of a pour that is over, without the rows left empty."""
    typed = form.typed()
    told = {name: text for name, text in typed.items() if name in _PLAIN}
    for name, text in typed.items():
        if name.startswith("rejected.") and text:
            told[name] = text
        if name.startswith("left.") and name.endswith(".amount") and text:
            fate = name.removesuffix("amount") + "fate"
            told |= {name: text, fate: typed.get(fate, "")}
    return told
