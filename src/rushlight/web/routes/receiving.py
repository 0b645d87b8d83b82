"""Receiving: what came, and what it cost to have it here."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, Problem
from rushlight.web.adding import coin, symbol
from rushlight.web.asked import Fields, Form, Shop, see
from rushlight.web.landing import landed as figures
from rushlight.web.lines import rows_of
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.workbench import Blank
from rushlight.workshop import materials, settings, undo
from rushlight.workshop.stores import receiving
from rushlight.workshop.stores.receiving import LandedLine

router = APIRouter(include_in_schema=False)
_ROWS = 3  # lines shown at first


@router.get("/receiving")
def listing(request: Request, shop: Shop) -> HTMLResponse:
    """Show the latest deliveries."""
    return page(request, "receiving/list.html", deliveries=receiving.deliveries(shop))


def _show(
    request: Request,
    typed: dict[str, str],
    *,
    problems: tuple[Problem, ...] = (),
    landed: tuple[LandedLine, ...] = (),
    more: int = 0,
) -> HTMLResponse:
    """Return the form, with a row for every line typed and at least three."""
    shop = shop_of(request)
    pref = settings.current(shop).preference
    filled = (
        name for name, value in typed.items() if more or (value and not name.endswith("date_kind"))
    )
    rows = max(_ROWS, rows_of(filled))
    return page(
        request,
        "receiving/new.html",
        status=422 if problems else 200,
        typed=Blank(typed),
        problems=problems,
        wrong=Blank(by_place(problems)),
        landed=figures(landed, coin(pref)) if landed else None,
        symbol=symbol(pref),
        rows=min(rows + more, receiving.MOST_LINES),
        day=shop.today().isoformat(),
        suppliers=materials.suppliers(shop),
        materials=materials.listing(shop),
    )


@router.get("/receiving/new")
def new(request: Request, material: str = "") -> HTMLResponse:
    """Show an empty form, or one that begins with a material."""
    return _show(request, {"lines.0.material": material} if material else {})


@router.post("/receiving/more")
def more(request: Request, form: Form) -> HTMLResponse:
    """Show the form with one line more; nothing is written."""
    return _show(request, form.typed(), more=1)


@router.post("/receiving/preview")
def preview(request: Request, shop: Shop, form: Form) -> HTMLResponse:
    """Show what each line comes to; nothing is written."""
    try:
        landed = receiving.preview(shop, _filled(form))
    except BadInput as bad:
        return _show(request, form.typed(), problems=bad.problems)
    return _show(request, form.typed(), landed=landed)


@router.post("/receiving")
def receive(request: Request, shop: Shop, form: Form) -> Response:
    """Book the delivery."""
    try:
        made = receiving.receive(shop, _filled(form), key=form.key)
    except BadInput as bad:
        return _show(request, form.typed(), problems=bad.problems)
    return see(f"/receiving/{made.line.id}")


@router.get("/receiving/{number}")
def delivery(request: Request, shop: Shop, number: int) -> HTMLResponse:
    """Show one delivery with its lots."""
    view = receiving.get(shop, number)
    deed = undo.latest(shop, f"delivery:{number}")
    return page(request, "receiving/delivery.html", view=view, deed=deed)


def _filled(form: Fields) -> dict[str, str]:
    """Return what was typed; a line that says no more than its kind of date is not a line."""
    typed = form.typed()
    kinds = {name for name in typed if name.endswith(".date_kind")}
    for name in kinds:
        row = name.removesuffix("date_kind")
        others = (v for k, v in typed.items() if k.startswith(row) and k not in kinds)
        dated = typed.get(f"{row}expires", "")
        if not any(others) or not dated:
            del typed[name]
    return typed
