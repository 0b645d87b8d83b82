"""What a jar costs and what to charge, from the prices and settings kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from rushlight.cost.breakeven import BreakEven, break_even
from rushlight.cost.exact import round_up
from rushlight.cost.price import Priced, at_price, at_retail, for_margin, for_markup
from rushlight.cost.sensitivity import Effect
from rushlight.cost.sensitivity import sensitivity as effects
from rushlight.errors import BadInput, NotFound
from rushlight.workshop.candle_views import Sheets
from rushlight.workshop.channels import (
    AIMS,
    KIND_FIELDS,
    ChannelView,
    channels,
    channels_within,
    drop_channel,
    save_channel,
)
from rushlight.workshop.costing import CostView, cost_within
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from rushlight.workshop.settings import Settings

__all__ = [
    "AIMS",
    "KIND_FIELDS",
    "ChannelView",
    "CostView",
    "PriceRow",
    "PriceTable",
    "Quick",
    "channels",
    "drop_channel",
    "jar_cost",
    "price_table",
    "quick",
    "save_channel",
    "sensitivity",
    "table_within",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceRow:
    """A channel with its price.

    exact: the price that meets the aim to the last digit; asked: rounded up to the step
    of the settings (the same where the aim is a price or a share of the retail price);
    both None where there is no such price, and then `problem` says why.
    """

    channel: ChannelView
    exact: Priced | None
    asked: Priced | None
    break_even: BreakEven | None
    problem: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceTable:
    """The cost of a jar and what to charge in each channel."""

    cost: CostView
    rows: tuple[PriceRow, ...]


@dataclass(frozen=True, slots=True)
class Quick:
    """For the title block: cost of a jar, price asked in the first channel, names without price."""

    cost: Decimal
    retail: Decimal | None
    missing: tuple[str, ...]


def jar_cost(
    shop: Workshop,
    slug: str | None,
    *,
    document: Mapping[str, Any] | None = None,
    batch: Mapping[str, str] | None = None,
) -> CostView:
    """Return what a jar costs: of a candle, or of a document as it stands."""
    with shop.store.reading() as connection:
        return _cost(shop, connection, slug, document, batch)[0]


def price_table(
    shop: Workshop,
    slug: str | None,
    *,
    document: Mapping[str, Any] | None = None,
    batch: Mapping[str, str] | None = None,
) -> PriceTable:
    """Return cost and prices by channel: of a candle, or of a document as it stands."""
    with shop.store.reading() as connection:
        return table_within(shop, connection, slug, document=document, batch=batch)


def table_within(
    shop: Workshop,
    connection: Connection,
    slug: str | None,
    *,
    document: Mapping[str, Any] | None = None,
    batch: Mapping[str, str] | None = None,
) -> PriceTable:
    """Return cost and prices by channel within a reading, or within a deed."""
    cost, settings = _cost(shop, connection, slug, document, batch)
    views = channels_within(connection, settings.preference.currency)
    return PriceTable(cost=cost, rows=tuple(_rows(cost, views, settings)))


def sensitivity(
    shop: Workshop,
    slug: str | None,
    channel: str,
    *,
    document: Mapping[str, Any] | None = None,
    batch: Mapping[str, str] | None = None,
) -> tuple[Effect, ...]:
    """Return what moves the price of a channel most; NotFound, BadInput where it has no price."""
    table = price_table(shop, slug, document=document, batch=batch)
    row = next((row for row in table.rows if row.channel.slug == channel), None)
    if row is None:
        raise NotFound(f"There is no channel “{channel[:60]}” in this workshop.")
    if row.exact is None:
        raise BadInput.one(row.problem, "Change the channel's aim.", "target")
    margin = max(row.exact.margin, Decimal(0))
    return effects(table.cost.costing, row.channel.channel, margin=margin)


def quick(shop: Workshop, sheets: Sheets, document: Mapping[str, Any] | None = None) -> Quick:
    """Return cost and first price of a document whose sheets are computed already."""
    from rushlight.store.queries.others import settings as stored
    from rushlight.workshop.settings import settings_of

    with shop.store.reading() as connection:
        settings = settings_of(stored(connection))
        cost = cost_within(connection, sheets, settings, today=shop.today(), document=document)
        views = channels_within(connection, settings.preference.currency)[:1]
    asked = [row.asked for row in _rows(cost, views, settings) if row.asked is not None]
    return Quick(cost.cost.total, asked[0].retail if asked else None, cost.missing)


def _cost(
    shop: Workshop,
    connection: Connection,
    slug: str | None,
    document: Mapping[str, Any] | None,
    batch: Mapping[str, str] | None,
) -> tuple[CostView, Settings]:
    from rushlight.store.queries.others import settings as stored
    from rushlight.workshop.candles import view_within
    from rushlight.workshop.live import sheets_within
    from rushlight.workshop.settings import settings_of

    if document is None:
        if slug is None:
            raise NotFound("No candle is named.")
        document = view_within(shop, connection, slug, None).document
    sheets = sheets_within(connection, document, batch)
    settings = settings_of(stored(connection))
    cost = cost_within(connection, sheets, settings, today=shop.today(), document=document)
    return cost, settings


def _rows(cost: CostView, views: tuple[ChannelView, ...], settings: Settings) -> list[PriceRow]:
    """Return the channels with their prices; the first one's retail price leads the others."""
    rows: list[PriceRow] = []
    for view in views:
        lead = rows[0].asked.retail if rows and rows[0].asked is not None else None
        rows.append(_row(cost, view, settings, lead))
    return rows


def _row(cost: CostView, view: ChannelView, settings: Settings, lead: Decimal | None) -> PriceRow:
    try:
        exact, asked = _priced(cost.cost.total, view, settings.price_step, lead)
    except BadInput as bad:
        return PriceRow(
            channel=view, exact=None, asked=None, break_even=None, problem=str(bad.problems[0])
        )
    even = break_even(
        price=asked.price,
        variable=cost.cost.variable + asked.price - asked.takings,
        fixed=settings.overhead_per_month,
    )
    return PriceRow(channel=view, exact=exact, asked=asked, break_even=even, problem="")


def _priced(
    total: Decimal, view: ChannelView, step: Decimal, lead: Decimal | None
) -> tuple[Priced, Priced]:
    channel, target = view.channel, view.target
    if target is None:
        if lead is None:
            raise BadInput.one(
                "There is no retail price to follow.",
                "Put a channel with a margin, a markup or a price before this one.",
            )
        exact = at_retail(total, channel, retail=lead)
        return exact, exact
    if view.aim == "price":
        exact = at_price(total, channel, price=target)
        return exact, exact
    if view.aim == "margin":
        exact = for_margin(total, channel, margin=target)
    else:
        exact = for_markup(total, channel, markup=target)
    return exact, at_price(total, channel, price=round_up(exact.price, step))
