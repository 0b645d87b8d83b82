"""What sold jars earned: by candle, by channel, by month.

The words are those of `rushlight.cost.price`: the price is what the maker asked, the fees are what
the channel took of it, the takings are what reached her, and the margin is profit as a share of
the price. There a jar is priced ahead; here jars are counted after the sale, at what they cost.

A cost that is not known is never nought: a group with one such jar has no profit yet, and says
how many jars it waits for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TypeVar

from rushlight.cost.channel import Channel
from rushlight.cost.exact import LEDGER, ZERO
from rushlight.errors import Problems

Key = TypeVar("Key", str, tuple[str, ...])


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """Jars of one candle sold at once through one channel; money for all of them together.

    price: what the maker asked; fees: what the channel took of it; cost: what the jars cost her,
    None where that is not known; packaging: how much of a known cost is what they were packed in.
    Jars that came back are a row of their own, all figures below 0. A query may add up the sales
    of a candle, channel and month first and give one row for each, jars of unknown cost apart,
    and what they were packed in as a row of no jars.
    """

    candle: str
    channel: str
    day: date
    jars: int
    price: Decimal
    fees: Decimal
    cost: Decimal | None
    packaging: Decimal = ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """What a group of sold jars earned, every part kept.

    price, fees: of all its jars; known_cost: of the jars whose cost is known; known_packaging:
    how much of that is what jars were packed in; unknown: how many jars, sold or come back, are
    not among them.
    """

    jars: int
    price: Decimal
    fees: Decimal
    known_cost: Decimal
    unknown: int
    known_packaging: Decimal = ZERO

    @property
    def takings(self) -> Decimal:
        """What reached the maker."""
        return self.price - self.fees

    @property
    def cost(self) -> Decimal | None:
        """What the jars cost her; None while the cost of one of them is not known."""
        return None if self.unknown else self.known_cost

    @property
    def packaging(self) -> Decimal | None:
        """How much of the cost is what the jars were packed in; None while that is not known."""
        return None if self.unknown else self.known_packaging

    @property
    def profit(self) -> Decimal | None:
        """What was left after the jars were paid for; below 0 where they were sold at a loss."""
        return None if self.cost is None else self.takings - self.cost

    @property
    def margin(self) -> Decimal | None:
        """Profit as a share of the price [1]; None where nothing was sold for money."""
        return self.profit / self.price if self.profit is not None and self.price > 0 else None


def candle(row: Sold) -> str:
    """Group by candle."""
    return row.candle


def channel(row: Sold) -> str:
    """Group by channel."""
    return row.channel


def month(row: Sold) -> str:
    """Group by month, written as ISO 8601 has it: 2026-05."""
    return row.day.isoformat()[:7]


def candle_and_channel(row: Sold) -> tuple[str, ...]:
    """Group by candle and channel together."""
    return row.candle, row.channel


def margins(rows: Iterable[Sold], by: Callable[[Sold], Key]) -> dict[Key, Margin]:
    """Return the margin of each group of sold jars, in the order of the groups' names.

    by: `candle`, `channel`, `month`, `candle_and_channel`, or any function of a row.
    profit = price − fees − cost; margin = profit / price. Raises BadInput with every problem.
    """
    groups: dict[Key, list[Sold]] = {}
    problems = Problems()
    for place, row in enumerate(rows):
        if not _is_money(row):
            _note_figures(row, place, problems)
        groups.setdefault(by(row), []).append(row)
    problems.check()
    return {key: _together(groups[key]) for key in sorted(groups)}


def total(rows: Iterable[Sold]) -> Margin:
    """Return the margin of all the jars together. Raises BadInput with every problem."""
    return margins(rows, lambda _: "").get("", _together([]))


def fees_of(sold_through: Channel, *, price: Decimal, jars: int) -> Decimal:
    """Return what a channel takes of so many jars, to 1/10 000 of the currency, a half to even.

    jars × (percentage fees × price + fixed fees). price: the maker's, a jar.
    """
    fees = jars * (sold_through.percent * price + sold_through.fixed)
    return fees.quantize(LEDGER, rounding=ROUND_HALF_EVEN)


def _together(rows: list[Sold]) -> Margin:
    return Margin(
        jars=sum(row.jars for row in rows),
        price=sum((row.price for row in rows), ZERO),
        fees=sum((row.fees for row in rows), ZERO),
        known_cost=sum((row.cost for row in rows if row.cost is not None), ZERO),
        unknown=sum(abs(row.jars) for row in rows if row.cost is None),
        known_packaging=sum((row.packaging for row in rows if row.cost is not None), ZERO),
    )


def _is_money(row: Sold) -> bool:
    """Say whether every figure is a number: a cheap look, since a period has many rows."""
    known = row.cost is None or row.cost.is_finite()
    return known and all(one.is_finite() for one in (row.price, row.fees, row.packaging))


def _note_figures(row: Sold, place: int, problems: Problems) -> None:
    figures = (
        *(("price", row.price), ("fees", row.fees), ("cost", row.cost)),
        ("packaging", row.packaging),
    )
    for name, value in figures:
        if value is not None and not value.is_finite():
            problems.add(
                f"rows.{place}.{name}",
                f"The {name} is not a number.",
                "Give a plain amount, or no cost at all where it is not known.",
            )
