"""Orders: written down, picked, packed, sent; and sales over the counter."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, NotFound, Problem
from rushlight.web.adding import symbol
from rushlight.web.asked import Form, Shop, see
from rushlight.web.lines import rows_of
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, candles, prices, settings
from rushlight.workshop.stores import orders
from rushlight.workshop.stores.views import OrderState, OrderView

router = APIRouter(include_in_schema=False)
_MOST = 200
_ROWS, _MOST_ROWS = 3, 100
_SOON = timedelta(days=14)


@router.get("/orders")
def listing(request: Request, shop: Shop, state: str = "", buyer: str = "") -> HTMLResponse:
    """Show the orders still to do, or those sent or cancelled, or all of one buyer."""
    buyer = buyer.replace("\0", "").strip()  # a server's text holds no NUL
    if buyer:
        state = ""
        found = orders.listing(shop, buyer=buyer, limit=_MOST + 1)
    elif state in (OrderState.SENT, OrderState.CANCELLED):
        found = orders.listing(shop, state=OrderState(state), limit=_MOST + 1)
    else:
        state = ""
        both = (OrderState.OPEN, OrderState.PICKED)
        found = tuple(o for s in both for o in orders.listing(shop, state=s, limit=_MOST + 1))
    return page(
        request,
        "orders/list.html",
        orders=found[:_MOST],
        cut=len(found) > _MOST,
        state=state,
        buyer=buyer,
        today=shop.today(),
    )


def _choices(shop: Workshop) -> dict[str, Any]:
    return {
        "candles": [(c.slug, c.name) for c in candles.listing(shop)],
        "channels": [(c.slug, c.channel.name) for c in prices.channels(shop)],
        "buyers": orders.buyers(shop),
        "day": shop.today().isoformat(),
        "symbol": symbol(settings.current(shop).preference),
        "soon": (shop.today() + _SOON).isoformat(),
    }


def _form(
    request: Request,
    typed: dict[str, str],
    *,
    code: str = "",
    problems: tuple[Problem, ...] = (),
    more: int = 0,
) -> HTMLResponse:
    rows = max(_ROWS, rows_of(typed)) + more
    return page(
        request,
        "orders/form.html",
        status=422 if problems else 200,
        code=code,
        typed=Blank(typed),
        problems=problems,
        wrong=Blank(by_place(problems)),
        rows=min(rows, _MOST_ROWS),
        **_choices(shop_of(request)),
    )


@router.get("/orders/new")
def new(request: Request, candle: str = "") -> HTMLResponse:
    """Show an empty order, or one that begins with a candle."""
    return _form(request, {"lines.0.candle": candle} if candle else {})


@router.post("/orders/more")
def more(request: Request, form: Form, code: str = "") -> HTMLResponse:
    """Show the order with one line more; nothing is written."""
    return _form(request, form.typed(), code=code, more=1)


@router.post("/orders")
def write(request: Request, shop: Shop, form: Form) -> Response:
    """Write an order down."""
    try:
        made = orders.save(shop, None, _filled(form.typed()), key=form.key)
    except BadInput as bad:
        return _form(request, form.typed(), problems=bad.problems)
    return see(f"/orders/{made.line.code}")


def _filled(typed: dict[str, str]) -> dict[str, str]:
    """Return what was typed without the lines that name nothing."""
    told = {
        name.rsplit(".", 1)[0]
        for name, value in typed.items()
        if value and name.startswith("lines.") and not name.endswith(".id")
    }
    lines = tuple(f"{line}." for line in told)
    return {k: v for k, v in typed.items() if not k.startswith("lines.") or k.startswith(lines)}


@router.get("/orders/sell")
def counter(request: Request, lot: str = "") -> HTMLResponse:
    """Show the sale over the counter."""
    return _sell(request, {"lot": lot, "jars": "1"})


def _sell(
    request: Request, typed: dict[str, str], problems: tuple[Problem, ...] = ()
) -> HTMLResponse:
    return page(
        request,
        "orders/sell.html",
        status=422 if problems else 200,
        typed=Blank(typed),
        problems=problems,
        wrong=Blank(by_place(problems)),
        **_choices(shop_of(request)),
    )


@router.post("/orders/sell")
def sell(request: Request, shop: Shop, form: Form) -> Response:
    """Book a sale over the counter."""
    try:
        made = orders.sell(shop, form.typed(), key=form.key)
    except BadInput as bad:
        return _sell(request, form.typed(), bad.problems)
    return see(f"/orders/{made.line.code}")


def _show(
    request: Request,
    code: str,
    problems: tuple[Problem, ...] = (),
    typed: dict[str, str] | None = None,
) -> HTMLResponse:
    shop = shop_of(request)
    view = orders.get(shop, code)
    picks = orders.proposal(shop, code) if view.line.state is OrderState.OPEN else ()
    return page(
        request,
        "orders/order.html",
        status=422 if problems else 200,
        view=view,
        picks=picks,
        curing_offered=any(choice.curing for pick in picks for choice in pick.choices),
        today=shop.today(),
        problems=problems,
        wrong=Blank(by_place(problems)),
        typed=Blank(typed or {}),
    )


@router.get("/orders/{code}")
def order(request: Request, code: str) -> HTMLResponse:
    """Show one order."""
    return _show(request, code)


@router.get("/orders/{code}/edit")
def edit(request: Request, shop: Shop, code: str) -> HTMLResponse:
    """Show an order to be changed."""
    view = orders.get(shop, code)
    return _form(request, _typed(view), code=view.line.code)


def _typed(view: OrderView) -> dict[str, str]:
    due = view.line.due_on
    typed = {
        "channel": view.channel,
        "buyer": view.line.buyer,
        "contact": view.contact,
        "placed": view.line.placed_on.isoformat(),
        "due": due.isoformat() if due else "",
        "note": view.note,
    }
    for n, item in enumerate(view.items):
        line = {"id": item.id, "candle": item.candle, "jars": item.jars, "price": item.price}
        typed |= {f"lines.{n}.{name}": str(value) for name, value in line.items()}
    return typed


@router.post("/orders/{code}/edit")
def change(request: Request, shop: Shop, code: str, form: Form) -> Response:
    """Change an order."""
    try:
        saved = orders.save(shop, code, _filled(form.typed()), key=form.key)
    except BadInput as bad:
        if orders.get(shop, code).line.state is OrderState.SENT:
            return _show(request, code, bad.problems, form.typed())
        return _form(request, form.typed(), code=code, problems=bad.problems)
    return see(f"/orders/{saved.line.code}")


@router.get("/orders/{code}/slip.pdf")
def slip(shop: Shop, code: str, paper: str = "") -> Response:
    """Hand out the packing slip."""
    from rushlight.web.slips import packing_slip_pdf

    view = orders.get(shop, code)
    return Response(
        packing_slip_pdf(shop, view, paper),
        media_type="application/pdf",
        headers={"content-disposition": f'inline; filename="order-{view.line.code}.pdf"'},
    )


_ACTS: dict[str, Callable[..., OrderView]] = {
    "send": orders.send,
    "cancel": orders.cancel,
}


@router.post("/orders/{code}/{act}")
def do(request: Request, shop: Shop, code: str, act: str, form: Form) -> Response:
    """Pick, put back, send or cancel."""
    try:
        if act == "pick":
            orders.pick(shop, code, form.typed(), key=form.key)
        elif act == "unpick":
            orders.unpick(shop, code, {}, key=form.key)
        elif act in _ACTS:
            _ACTS[act](shop, code, key=form.key)
        else:
            raise NotFound("There is no such thing to do with an order.")
    except BadInput as bad:
        return _show(request, code, bad.problems, form.typed())
    return see(f"/orders/{code}")
