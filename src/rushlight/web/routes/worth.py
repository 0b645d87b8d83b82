"""What the stores are worth at a day, and what sold jars earned over a period."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, Problem
from rushlight.web import margin_rows, periods, worth_rows
from rushlight.web.asked import Shop
from rushlight.web.drawing.margins import margins as bars
from rushlight.web.render import by_place, page
from rushlight.web.workbench import Blank
from rushlight.workshop import settings
from rushlight.workshop.exchange.csv_writer import Cell, write_csv
from rushlight.workshop.stores import truth

router = APIRouter(include_in_schema=False)

From = Annotated[str, Query(alias="from")]


@router.get("/worth")
def worth(request: Request, shop: Shop, day: str = "") -> HTMLResponse:
    """Show what the stores were worth at the end of a day."""
    today = shop.today()
    problems: tuple[Problem, ...] = ()
    on = today
    try:
        on = periods.asked_day(day, today)
    except BadInput as bad:
        problems = bad.problems
    found = truth.valuation(shop, on)
    return page(
        request,
        "stores/worth.html",
        status=422 if problems else 200,
        found=found,
        shown=worth_rows.shown(found, settings.current(shop).preference),
        ends=periods.ends(today),
        typed=day[:40] if problems else on.isoformat(),
        wrong=Blank(by_place(problems)),
    )


@router.get("/worth.csv")
def worth_csv(shop: Shop, day: str = "") -> Response:
    """Hand out a valuation as a spreadsheet, exact to 1/10 000 of the currency."""
    on = periods.asked_day(day, shop.today())
    found = truth.valuation(shop, on)
    return _csv(f"worth-{on.isoformat()}", worth_rows.HEADER, worth_rows.sheet(found))


@router.get("/margins")
def margins(request: Request, shop: Shop, first: From = "", to: str = "") -> HTMLResponse:
    """Show what sold jars earned over a period."""
    today = shop.today()
    problems: tuple[Problem, ...] = ()
    usual = periods.usual(today)
    period = usual[-1]
    try:
        period = periods.asked_period(first, to, today)
    except BadInput as bad:
        problems = bad.problems
    found = truth.margins(shop, period.first, period.last)
    pref = settings.current(shop).preference
    shown = margin_rows.shown(found, pref)
    typed = (first[:40], to[:40]) if problems else (str(period.first), str(period.last))
    return page(
        request,
        "stores/margins.html",
        status=422 if problems else 200,
        found=found,
        shown=shown,
        drawn=bars(margin_rows.drawn(shown.lines[: margin_rows.MOST]), pref),
        months_drawn=bars(margin_rows.drawn(shown.months, months=True), pref),
        periods=usual,
        typed=typed,
        wrong=Blank(by_place(problems)),
    )


@router.get("/margins.csv")
def margins_csv(shop: Shop, first: From = "", to: str = "") -> Response:
    """Hand out the margins of a period as a spreadsheet, by candle and channel."""
    period = periods.asked_period(first, to, shop.today())
    found = truth.margins(shop, period.first, period.last)
    name = f"margins-{period.first}-to-{period.last}"
    return _csv(name, margin_rows.HEADER, margin_rows.sheet(found))


def _csv(name: str, header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Response:
    return Response(
        write_csv(header, rows),
        media_type="text/csv",
        headers={"content-disposition": f'attachment; filename="{name}.csv"'},
    )
