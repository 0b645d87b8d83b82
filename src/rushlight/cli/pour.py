"""`rushlight pour`: planned, started, finished, and what it truly took and cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from rushlight.cli.places import option, placed
from rushlight.cli.say import say_json
from rushlight.cli.workshop import opened, slug_of
from rushlight.errors import BadInput, Problems
from rushlight.quantity.preference import Preference
from rushlight.workshop import candles, pours, settings
from rushlight.workshop.pour_views import PourState, PourView
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores import reserving
from rushlight.workshop.stores.pour_truth import pour_truth
from rushlight.workshop.stores.truth_views import PourTruth
from rushlight.workshop.stores.views import NeedLots

if TYPE_CHECKING:
    from rushlight.cli.pour_typed import Fields


@dataclass(frozen=True, slots=True)
class Seen:
    """A pour as it stands; truth: once it is finished."""

    pour: PourView
    needs: tuple[NeedLots, ...]
    truth: PourTruth | None
    pref: Preference


def run_list(workshop: str, *, state: str | None, limit: int, as_json: bool) -> None:
    """Write the pours, newest planned day first."""
    with opened(workshop) as shop:
        found = pours.listing(shop, state=PourState(state) if state else None, limit=limit)
    if as_json:
        from rushlight.cli.pour_json import line

        say_json({"pours": [line(pour) for pour in found]})
        return
    from rushlight.cli.pour_table import show_pours

    show_pours(found)


def run_plan(
    workshop: str, candle: str, batch: Mapping[str, str], day: str | None, *, as_json: bool
) -> None:
    """Plan a pour, and write it."""
    with opened(workshop) as shop:
        slug = slug_of(candles.listing(shop), candle)
        with placed(_planned):
            made = pours.plan(shop, slug, batch, day or shop.today())
        _tell(shop, made.id, as_json=as_json)


def run_start(
    workshop: str, pour: int, lots: Sequence[str], person: str | None, *, as_json: bool
) -> None:
    """Start a planned pour, which holds its lots, and write it."""
    from rushlight.cli.pour_typed import chosen_lots

    with opened(workshop) as shop:
        found = chosen_lots(lots, reserving.choices(shop, pour)) if lots else {}
        with placed(lambda place: _place(place, found)):
            pours.start(shop, pour, _texts({"person": person}, found))
        _tell(shop, pour, as_json=as_json)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """What was typed when a pour is over."""

    rejected: tuple[str, ...]
    left: tuple[str, ...]
    texts: Mapping[str, str | None]


def run_finish(workshop: str, pour: int, typed: Ending, *, as_json: bool) -> None:
    """Finish a running pour, and write what it truly took and cost."""
    from rushlight.cli.pour_typed import leftovers, rejects

    with opened(workshop) as shop:
        problems = Problems()
        found: Fields = {}
        needs = reserving.choices(shop, pour)
        both = (partial(rejects, typed.rejected), partial(leftovers, typed.left, needs))
        for read in both:
            try:
                found |= read()
            except BadInput as bad:
                problems.extend(bad.problems)
        problems.check()
        with placed(lambda place: _place(place, found)):
            pours.finish(shop, pour, _texts(typed.texts, found))
        _tell(shop, pour, as_json=as_json)


def run_show(workshop: str, pour: int, *, as_json: bool) -> None:
    """Write a pour as it stands."""
    with opened(workshop) as shop:
        _tell(shop, pour, as_json=as_json)


def _planned(place: str) -> str:
    """Return where a problem of a plan is: at an option, or in the candle."""
    head, _, field = place.partition(".")
    if head == "batch":
        return option(field)
    return place if field else option(place)


def _tell(shop: Workshop, number: int, *, as_json: bool) -> None:
    pour = pours.get(shop, number)
    finished = pour.state is PourState.FINISHED
    seen = Seen(
        pour=pour,
        needs=reserving.choices(shop, number),
        truth=pour_truth(shop, number) if finished else None,
        pref=settings.current(shop).preference,
    )
    if as_json:
        from rushlight.cli.pour_json import shaped

        say_json(shaped(seen))
        return
    from rushlight.cli.pour_table import show_pour

    show_pour(seen)


def _texts(plain: Mapping[str, str | None], found: Fields) -> dict[str, str]:
    said = {name: text for name, text in plain.items() if text is not None}
    return said | {field: text for field, (text, _) in found.items()}


def _place(place: str, found: Fields) -> str:
    """Return the option a problem came from: as it was typed where it may be repeated."""
    return found[place][1] if place in found else option(place)
