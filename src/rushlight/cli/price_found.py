"""Working out what a jar costs and what to charge: from a candle file, or in a workshop."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from rushlight.cli.found import find_in_file
from rushlight.cost.aim import Aim
from rushlight.cost.breakeven import BreakEven, break_even
from rushlight.cost.channel import Channel
from rushlight.cost.exact import round_up
from rushlight.cost.jar import JarCost, jar_cost
from rushlight.cost.price import Priced, at_price
from rushlight.cost.sensitivity import Effect, sensitivity
from rushlight.errors import BadInput
from rushlight.quantity.money import CURRENCIES
from rushlight.quantity.show import METRIC, Preference


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A channel with its price; without one, `problem` says why."""

    name: str
    kind: str
    exact: Priced | None = None
    asked: Priced | None = None
    break_even: BreakEven | None = None
    problem: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceSheet:
    """The cost of a jar, the price by channel, and what moves the first price most."""

    candle: str
    preference: Preference
    cost: JarCost
    unpriced: tuple[str, ...]
    rows: tuple[Row, ...]
    effects: tuple[Effect, ...]


def in_file(path: Path, currency: str | None) -> PriceSheet:
    """Return the prices of a candle file with a [price] table. Raises BadInput."""
    from rushlight.cost.amounts import amounts
    from rushlight.cost.document import read

    code = (currency or "GBP").strip().upper()
    if code not in CURRENCIES:
        raise BadInput.one(
            f"“{currency}” is not a currency here.",
            f"Type one of {', '.join(CURRENCIES)}.",
            "--currency",
        )
    found, document = find_in_file(path, {})
    table: Any = document.get("price")
    if not table:
        raise BadInput.one(
            "This candle file has no prices.",
            "Add a [price] table; “rushlight new” writes an example.",
            "price",
        )
    sheet = found.sheet
    pricing = read(table, amounts=amounts(sheet.jar), jars=sheet.jars_poured, currency=code)
    cost = jar_cost(pricing.costing)
    coin = Decimal(1).scaleb(-CURRENCIES[code].places)
    per_month = pricing.costing.overhead.per_month
    rows = tuple(_row(cost, channel, aim, coin, per_month) for channel, aim in pricing.channels)
    effects: tuple[Effect, ...] = ()
    for row, (channel, _) in zip(rows, pricing.channels, strict=True):
        if row.exact is not None:
            margin = max(row.exact.margin, Decimal(0))
            effects = sensitivity(pricing.costing, channel, margin=margin)
            break
    return PriceSheet(
        candle=sheet.jar.candle.name,
        preference=replace(METRIC, currency=code),
        cost=cost,
        unpriced=pricing.unpriced,
        rows=rows,
        effects=effects,
    )


def _row(cost: JarCost, channel: Channel, aim: Aim, coin: Decimal, per_month: Decimal) -> Row:
    named = Row(name=channel.name, kind=channel.kind.value)
    try:
        exact = aim.price(cost.total, channel)
        asked = at_price(cost.total, channel, price=round_up(exact.price, coin))
        even = break_even(
            price=asked.price,
            variable=cost.variable + asked.price - asked.takings,
            fixed=per_month,
        )
    except BadInput as bad:
        return replace(named, problem=str(bad.problems[0]))
    return replace(named, exact=exact, asked=asked, break_even=even)


def in_workshop(candle: str, place: str) -> PriceSheet:
    """Return the prices of a candle kept in a workshop."""
    from rushlight.cli.workshop import opened, slug_of
    from rushlight.workshop import candles, prices, settings

    with opened(place) as shop:
        slug = slug_of(candles.listing(shop), candle)
        table = prices.price_table(shop, slug)
        first = next((row for row in table.rows if row.exact is not None), None)
        return PriceSheet(
            candle=candles.get(shop, slug).name,
            preference=settings.current(shop).preference,
            cost=table.cost.cost,
            unpriced=table.cost.missing,
            rows=tuple(
                Row(
                    name=row.channel.name,
                    kind=row.channel.kind,
                    exact=row.exact,
                    asked=row.asked,
                    break_even=row.break_even,
                    problem=row.problem,
                )
                for row in table.rows
            ),
            effects=prices.sensitivity(shop, slug, first.channel.slug) if first else (),
        )
