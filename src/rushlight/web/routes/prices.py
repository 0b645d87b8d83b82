"""What a jar costs, what to charge, and the ways of selling."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.cost.channel import Kind
from rushlight.cost.price import Priced, at_price
from rushlight.errors import BadInput, Problem
from rushlight.quantity import parse
from rushlight.web.asked import Form, Shop, see
from rushlight.web.cents import by_group, shown_parts, total
from rushlight.web.drawing.bars import moves, stack
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, candles, prices, settings
from rushlight.workshop.prices import PriceRow, PriceTable

router = APIRouter(include_in_schema=False)
MOVERS = 8  # inputs shown; the rest move the price less than any of these
LABELS = {
    "day": ("Fee for a day", "pitch or table"),
    "jars_a_day": ("Jars sold in a day", ""),
    "percent": ("Fee on each sale", "such as 2.5 %"),
    "fixed": ("Fixed fee on each sale", ""),
    "jars_an_order": ("Jars in an order", "they share the fixed fee"),
    "listing": ("Listing fee", "for each jar"),
    "of_retail": ("Share of retail you are paid", "50 % is usual"),
    "minimum_order": ("Least order", "in money"),
}


def _row(table: PriceTable, slug: str) -> PriceRow | None:
    asked = [row for row in table.rows if row.asked is not None]
    return next((row for row in asked if row.channel.slug == slug), asked[0] if asked else None)


def _tried(shop: Workshop, table: PriceTable, row: PriceRow | None, text: str) -> dict[str, Any]:
    """Return the margin at a price she tries, or what is wrong with it."""
    found: dict[str, Any] = {"tried": None, "wrong": Blank()}
    if not text or row is None:
        return found
    try:
        price = parse.money(text, currency=settings.current(shop).preference.currency)
        tried: Priced = at_price(table.cost.cost.total, row.channel.channel, price=price)
    except BadInput as bad:
        return found | {"wrong": Blank({"price": by_place(bad.problems).popitem()[1]})}
    return found | {"tried": tried}


@router.get("/candles/{slug}/price")
def price(
    request: Request, shop: Shop, slug: str, channel: str = "", price: str = ""
) -> HTMLResponse:
    """Show what a jar costs and what to charge for it."""
    view = candles.get(shop, slug)
    table = prices.price_table(shop, slug)
    row = _row(table, channel)
    pref = settings.current(shop).preference
    effects = prices.sensitivity(shop, slug, row.channel.slug)[:MOVERS] if row else ()
    parts = shown_parts(table.cost.cost)
    tried = _tried(shop, table, row, price.strip())
    return page(
        request,
        "price/candle.html",
        status=422 if tried["wrong"] else 200,
        view=view,
        table=table,
        row=row,
        effects=effects,
        parts=parts,
        total=total(parts),
        stacked=stack(by_group(parts), row.asked if row else None, pref),
        moved=moves(effects, pref),
        typed_price=price[:40],
        **tried,
    )


def _channels(
    request: Request,
    typed: dict[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
    wrong_one: str = "",
) -> HTMLResponse:
    shop = shop_of(request)
    return page(
        request,
        "price/channels.html",
        status=422 if problems else 200,
        channels=prices.channels(shop),
        kinds=[kind.value for kind in Kind],
        fields_of=prices.KIND_FIELDS,
        aims=prices.AIMS,
        labels=LABELS,
        typed=Blank(typed or {}),
        problems=problems,
        wrong=Blank(by_place(problems)),
        wrong_one=wrong_one,
    )


@router.get("/channels")
def channels(request: Request) -> HTMLResponse:
    """Show the ways of selling."""
    return _channels(request)


@router.post("/channels/{slug}")
def save(request: Request, shop: Shop, slug: str, form: Form) -> Response:
    """Keep a way of selling, new or changed."""
    try:
        saved = prices.save_channel(
            shop, None if slug == "new" else slug, form.typed(), key=form.key
        )
    except BadInput as bad:
        return _channels(request, form.typed(), bad.problems, slug)
    return see(f"/channels#{saved.slug}")


@router.post("/channels/{slug}/drop")
def drop(shop: Shop, slug: str, form: Form) -> Response:
    """Take a way of selling out of use."""
    prices.drop_channel(shop, slug, key=form.key)
    return see("/channels")
