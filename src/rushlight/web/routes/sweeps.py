"""Many candles at once: a form, the progress, the table."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response

from rushlight.errors import BadInput, NotFound, Problem
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.wick_window import WickRate
from rushlight.web.asked import Fields, Form, Shop, see
from rushlight.web.heat_words import about
from rushlight.web.render import by_place, page
from rushlight.web.routes.heats import stove_of
from rushlight.web.say import Say
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, candles, heats, settings
from rushlight.workshop.heat_asked import read_set
from rushlight.workshop.heat_sweeps import (
    Design,
    Planned,
    as_csv,
    burn_cases,
    columns_of,
    listed,
    rates,
    run,
    set_cases,
    temperatures,
)
from rushlight.workshop.stove import Pot, State, Stove

router = APIRouter(include_in_schema=False)
SAYS = "sweep"
AT_ONCE = 2
SHOWN = 200  # rows on the page; the file has them all
UNITS = {"_s": "", "_c": "", "_mm": "", "_g_h": " g/h", "_g": "", "_percent": " %",
         "_k_min": " K/min", "_ml": " ml", "_w": " W"}  # fmt: skip
PATIENCE = 1.5  # [s]


def _form(  # noqa: PLR0913 -- a form and what was typed in it
    request: Request,
    shop: Workshop,
    *,
    typed: dict[str, str],
    chosen: Sequence[str],
    wicks: Sequence[str] = (),
    problems: tuple[Problem, ...] = (),
) -> HTMLResponse:
    known, without = heats.wicks_known(shop)
    return page(
        request,
        "heat/sweeps.html",
        status=422 if problems else 200,
        candles=candles.listing(shop),
        chosen=set(chosen),
        known=known,
        chosen_wicks=set(wicks),
        without=without,
        typed=Blank(typed),
        earlier=stove_of(request).pots(SAYS),
        problems=problems,
        wrong=Blank(by_place(problems)),
    )


@router.get("/sweeps")
def sweeps(request: Request, shop: Shop, candle: str = "") -> HTMLResponse:
    """Show what can be compared, and the comparisons made before."""
    return _form(request, shop, typed={}, chosen=[candle])


def _designs(shop: Workshop, slugs: Sequence[str]) -> list[Design]:
    found = []
    for slug in slugs:
        view = candles.get(shop, slug)

        def lay(load: str, document: dict[str, Any] = view.document) -> Any:
            if load:
                scent = {"basis": "of wax", **(document.get("fragrance") or {}), "load": load}
                return heats.jar_of(shop, {**document, "fragrance": scent})
            return heats.jar_of(shop, document)

        found.append(Design(view.name, lay))
    return found


def _read(name: str, reader: Any, text: str) -> Any:
    try:
        return reader(text)
    except BadInput as bad:
        raise bad.at(name) from bad


def _plan(
    shop: Workshop, form: Fields, chosen: Sequence[str], wicks: Sequence[str]
) -> list[Planned]:
    if not chosen:
        raise BadInput.one("No candle is chosen.", "Tick one or more.", "candle")
    designs = _designs(shop, chosen)
    loads = [f"{load} %" if load[-1:].isdigit() else load for load in listed(form.get("loads"))]
    place = read_set({"room": form.get("room")}, room=heats.room_of(shop)).place
    if form.get("what") != "burn":
        pours = _read("pours", temperatures, form.get("pours"))
        return set_cases(designs, loads=loads, pours=pours, place=place)
    known, _ = heats.wicks_known(shop)
    tried = [wick for wick in known if wick.name in set(wicks)]
    tried += [WickRate("any wick", r, r) for r in _read("rates", rates, form.get("rates"))]
    planned = burn_cases(designs, loads=loads, wicks=tried, place=place)
    if not planned:
        raise BadInput.one(
            "No burn rate is known of any of these wicks.", "Type burn rates to try.", "rates"
        )
    return planned


def _begin(stove: Stove, planned: Sequence[Planned]) -> Pot:
    def work(pot: Pot) -> Any:
        def told(done: int) -> None:
            pot.done = done

        with ThreadPoolExecutor(AT_ONCE, thread_name_prefix="rushlight-sweep") as executor:
            return run(planned, executor=executor, progress=told, stop=lambda: pot.stopped)

    count = sum(1 for one in planned if one.case is not None)
    question = ("sweep", tuple(one.case for one in planned), tuple(p.problem for p in planned))
    return stove.ask(question, work, steps=count, says=SAYS)


@router.post("/sweeps")
def begin(request: Request, shop: Shop, form: Form) -> Response:
    """Begin a comparison; what cannot be is refused before any time is spent."""
    chosen = [value for name, value in form.pairs if name == "candle" and value]
    wicks = [value for name, value in form.pairs if name == "wick" and value]
    try:
        planned = _plan(shop, form, chosen, wicks)
    except BadInput as bad:
        return _form(
            request, shop, typed=form.typed(), chosen=chosen, wicks=wicks, problems=bad.problems
        )
    return see(f"/sweeps/{_begin(stove_of(request), planned).number}")


def _pot(request: Request, number: int) -> Pot:
    pot = stove_of(request).pot(number)
    if pot is None or pot.says != SAYS:
        raise NotFound("This comparison is not kept any more; make it again.")
    return pot


def _waiting(request: Request, pot: Pot) -> dict[str, Any]:
    warming = not stove_of(request).warmed.is_set()
    return {"done": pot.done, "steps": pot.steps, "warming": warming, "query": ""}


class _Column:
    """A column as it is headed: its key without the unit, which every cell says."""

    def __init__(self, key: str) -> None:
        self.key = key
        unit = next((u for u in UNITS if key.endswith(u)), "")
        self.name = key.removesuffix(unit).replace("_", " ")


def _cell(say: Say, key: str, value: str | float | None) -> str:
    """Return a figure as the maker reads it."""
    if value is None or isinstance(value, str):
        return "—" if value is None else value
    unit = next((u for u in UNITS if key.endswith(u)), "")
    match unit:
        case "_s":
            return about(say, value)
        case "_c":
            return say.temperature(value + ZERO)
        case "_mm":
            return say.length(round(value / 1000, 4))
        case "_g":
            return f"{value:.1f} g" if say.pref.mass == "g" else say.mass(value / 1000)
        case _:
            return f"{value:.3g}{UNITS.get(unit, '')}"


@router.get("/sweeps/{number}")
def shown(request: Request, shop: Shop, number: int) -> HTMLResponse:
    """Show how far it is, or the table."""
    pot = _pot(request, number)
    rows = pot.found or []
    first = rows[:SHOWN]
    say = Say(settings.current(shop))
    waiting = None if pot.ended.is_set() else _waiting(request, pot)
    return page(
        request,
        "heat/sweep.html",
        pot=pot,
        waiting=waiting,
        stopped=pot.state is State.STOPPED,
        problem=pot.problem,
        columns=[_Column(key) for key in columns_of(rows)] if rows else [],
        rows=[{key: _cell(say, key, row.get(key)) for key in columns_of(rows)} for row in first],
        count=len(rows),
    )


@router.get("/sweeps/{number}/wait")
def wait(request: Request, number: int) -> HTMLResponse:
    """Say how far it is; the page is shown anew when it is done."""
    pot = _pot(request, number)
    answer = page(request, "heat/wait.html", waiting=_waiting(request, pot))
    if pot.ended.is_set():
        answer.headers["HX-Refresh"] = "true"
    return answer


@router.post("/sweeps/{number}/stop")
def stop(request: Request, number: int) -> Response:
    """Stop it; what was worked out so far stays."""
    pot = _pot(request, number)
    pot.cancel()
    pot.settled.wait(PATIENCE)  # for the rows of the cases already begun
    return see(f"/sweeps/{number}")


@router.get("/sweeps/{number}/table.csv")
def table(request: Request, number: int) -> Response:
    """Hand out the table."""
    rows = _pot(request, number).found or []
    return PlainTextResponse(
        as_csv(rows),
        media_type="text/csv",
        headers={"content-disposition": f'attachment; filename="comparison-{number}.csv"'},
    )
