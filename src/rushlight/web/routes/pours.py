"""Pours: the list, and the pour sheet at the bench."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, NotFound, Problem
from rushlight.web.asked import Fields, Form, Shop, see
from rushlight.web.benchwork import benchwork, typed_finish, typed_lots
from rushlight.web.columns import columns
from rushlight.web.drawing.cooling import cooling
from rushlight.web.drawing.strip import strip
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, pours, settings
from rushlight.workshop.pours import PotView, PourView
from rushlight.workshop.stores import reserving, working

router = APIRouter(include_in_schema=False)
TABLE_ROWS = 8


@router.get("/pours")
def listing(request: Request, shop: Shop) -> HTMLResponse:
    """Show the pours, the latest planned day first."""
    return page(request, "pour/list.html", pours=pours.listing(shop, limit=100))


def _pot(view: PourView, number: int) -> PotView:
    for pot in view.pots:
        if pot.number == number:
            return pot
    raise NotFound(f"Pour {view.id} has no pot {number}.")


def _cooling(shop: Workshop, view: PourView, pot: PotView) -> dict[str, Any]:
    window = view.sheets.jar.windows.pour
    found: dict[str, Any] = {"clock": None, "plot": Markup(""), "table": ()}
    try:
        clock = pours.forecast_of(shop, view, pot.number)
    except BadInput as bad:
        return found | {"cooling_problem": str(bad)}
    if clock is None:
        return found
    pref = settings.current(shop).preference
    f = clock.forecast
    chosen = range(0, len(f.times), max(1, len(f.times) // TABLE_ROWS))
    table = [
        (
            clock.origin + timedelta(seconds=float(f.times[i])),
            f.low[i],
            f.temps[i],
            f.high[i],
        )
        for i in chosen
    ]
    return found | {
        "clock": clock,
        "plot": cooling(clock, window, pot.readings, pref),
        "table": table,
    }


def _show(
    request: Request,
    at: tuple[int, int],
    problems: tuple[Problem, ...] = (),
    typed: dict[str, str] | None = None,
    deed: str = "",
) -> HTMLResponse:
    """Return the sheet of a pour at one of its pots; deed: the form that was refused."""
    shop = shop_of(request)
    view = pours.get(shop, at[0])
    pot = _pot(view, at[1])
    pref = settings.current(shop).preference
    jar = view.sheets.jar
    return page(
        request,
        "pour/bench.html",
        status=422 if problems else 200,
        pour=view,
        pot=pot,
        now=shop.now(),
        melting=pours.melting(shop, view),
        columns=columns(view.sheets.batch, pref),
        strip=strip(jar.windows, pref),
        today=shop.today(),
        wrong=Blank(by_place(problems)),
        typed=Blank(typed or {}),
        **_cooling(shop, view, pot),
        **benchwork(shop, view, deed=deed, typed=typed, problems=problems),
    )


@router.get("/pours/{pour}")
def bench(request: Request, pour: int, pot: int = 1) -> HTMLResponse:
    """Show the pour sheet, one pot at a time."""
    return _show(request, (pour, pot))


@router.get("/pours/{pour}/sheet.pdf")
def paper(shop: Shop, pour: int, paper: str = "") -> Response:
    """Hand out the pour sheet for paper."""
    from rushlight.web.paper import pour_sheet_pdf

    return Response(
        pour_sheet_pdf(shop, pour, paper),
        media_type="application/pdf",
        headers={"content-disposition": f'inline; filename="pour-{pour}.pdf"'},
    )


def _number(form: Fields, name: str) -> int:
    text = form.get(name)
    if not (text.isascii() and text.isdecimal() and len(text) < 19):  # noqa: PLR2004 - 64 bits
        raise NotFound(f"There is no such {name}.")
    return int(text)


def _tick(shop: Workshop, pour: int, pot: int, form: Fields) -> None:
    pours.tick(shop, pour, pot, form.get("line"), form.get("actual"), key=form.key)


def _untick(shop: Workshop, pour: int, pot: int, form: Fields) -> None:
    pours.untick(shop, pour, pot, form.get("line"), key=form.key)


def _read(shop: Workshop, pour: int, pot: int, form: Fields) -> None:
    pours.read_temperature(shop, pour, pot, form.get("temperature"), key=form.key)


def _withdraw(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    pours.withdraw_reading(shop, pour, _number(form, "reading"), key=form.key)


def _timer(shop: Workshop, pour: int, pot: int, form: Fields) -> None:
    pours.start_timer(shop, pour, pot, form.get("name"), form.get("time"), key=form.key)


def _stop(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    pours.stop_timer(shop, pour, _number(form, "timer"), key=form.key)


def _start(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    told = typed_lots(form) | {"person": form.get("person")}
    pours.start(shop, pour, told, key=form.key)


def _choose(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    chosen = typed_lots(form)
    if chosen:
        reserving.choose(shop, pour, chosen, key=form.key)


def _work(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    step = form.get("step")
    key = form.key and f"{step}-{form.key}"  # one form, a button for each step
    working.start(shop, pour, step, form.get("person"), key=key)


def _rest(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    working.stop(shop, pour, _number(form, "worked"), key=form.key)


def _unwork(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    working.withdraw(shop, pour, _number(form, "worked"), key=form.key)


def _finish(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    pours.finish(shop, pour, typed_finish(form), key=form.key)


def _abandon(shop: Workshop, pour: int, _pot: int, form: Fields) -> None:
    pours.abandon(shop, pour, key=form.key)


# what can be done at the bench, and where on the sheet she is when it is done
DEEDS: dict[str, tuple[Callable[[Workshop, int, int, Fields], None], str]] = {
    "start": (_start, "#weigh"),
    "choose": (_choose, "#lots"),
    "work": (_work, "#work"),
    "rest": (_rest, "#work"),
    "unwork": (_unwork, "#work"),
    "tick": (_tick, "#weigh"),
    "untick": (_untick, "#weigh"),
    "read": (_read, "#window"),
    "withdraw": (_withdraw, "#window"),
    "timer": (_timer, "#timers"),
    "stop": (_stop, "#timers"),
    "finish": (_finish, ""),
    "abandon": (_abandon, ""),
}


@router.post("/pours/{pour}/{deed}")
def write(request: Request, shop: Shop, pour: int, deed: str, form: Form) -> Response:
    """Do one thing at the bench, and show the sheet again at the place it was done."""
    if deed not in DEEDS:
        raise NotFound("There is no such thing to do at the bench.")
    do, place = DEEDS[deed]
    pot = _number(form, "pot")
    try:
        do(shop, pour, pot, form)
    except BadInput as bad:
        line = form.get("line")
        problems = tuple(p.at(f"line.{line}") for p in bad.problems) if line else bad.problems
        return _show(request, (pour, pot), problems, form.typed(), deed)
    return see(f"/pours/{pour}?pot={pot}{place}")
