"""What was earned, as a page, its drawings and a spreadsheet show it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from rushlight.cost.exact import LEDGER
from rushlight.cost.margin import Margin
from rushlight.quantity.preference import Preference
from rushlight.web.adding import adding_up, coin, ledger, whole
from rushlight.web.drawing.margins import Sold
from rushlight.workshop.exchange.csv_writer import Cell
from rushlight.workshop.stores.truth_views import Margins

MOST = 100  # lines shown; the spreadsheet has them all


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A line in whole coins. cost: None while it is not known; unknown: of how many jars.

    packaging: how much of the cost; it means nothing where that is not known.
    """

    name: str
    channel: str
    candle: str  # slug, "" where the line is of no one candle
    jars: int
    paid: Decimal
    fees: Decimal
    cost: Decimal | None
    packaging: Decimal
    unknown: int

    @property
    def left(self) -> Decimal | None:
        """What was left; None while the cost is not known."""
        return None if self.cost is None else self.paid - self.fees - self.cost

    @property
    def share(self) -> Decimal | None:
        """What was left of each unit paid [1]; None where that has no meaning."""
        left = self.left
        return left / self.paid if left is not None and self.paid > 0 else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The margins of a period in whole coins; each group of rows comes to the total.

    rest: how many lines are told together in the last of `lines`.
    """

    lines: tuple[Row, ...]
    rest: int
    channels: tuple[Row, ...]
    months: tuple[Row, ...]
    total: Row


def shown(found: Margins, pref: Preference, *, most: int = MOST) -> Shown:
    """Return the margins as they are shown; most: lines before the rest is told together."""
    step = coin(pref)
    lines = [(one.name, one.channel, one.candle, one.margin) for one in found.lines]
    kept, over = lines[:most], lines[most:]
    if over:
        named = f"{len(over):,} more lines"
        kept.append((named, "in the spreadsheet", "", together([one[3] for one in over])))
    rows = rows_of(kept, step)
    months = [(f"{one.month:%B %Y}", "", "", one.margin) for one in found.months]
    return Shown(
        lines=rows,
        rest=len(over),
        channels=rows_of([("", name, "", margin) for name, margin in found.channels], step),
        months=rows_of(months, step),
        total=rows_of([("", "", "", found.total)], step)[0],
    )


def rows_of(lines: Sequence[tuple[str, str, str, Margin]], step: Decimal) -> tuple[Row, ...]:
    """Return lines (name, channel, candle, margin) in whole coins that add up."""
    margins = [margin for *_, margin in lines]
    paid = adding_up([one.price for one in margins], step)
    fees = adding_up([one.fees for one in margins], step)
    costs = adding_up([one.known_cost for one in margins], step)
    packaging = adding_up([one.known_packaging for one in margins], step)
    return tuple(
        Row(
            name=name,
            channel=channel,
            candle=candle,
            jars=margin.jars,
            paid=paid[at],
            fees=fees[at],
            cost=None if margin.unknown else costs[at],
            packaging=packaging[at],
            unknown=margin.unknown,
        )
        for at, (name, channel, candle, margin) in enumerate(lines)
    )


def together(margins: Sequence[Margin]) -> Margin:
    """Return several margins as one."""
    return Margin(
        jars=sum(one.jars for one in margins),
        price=sum((one.price for one in margins), Decimal(0)),
        fees=sum((one.fees for one in margins), Decimal(0)),
        known_cost=sum((one.known_cost for one in margins), Decimal(0)),
        unknown=sum(one.unknown for one in margins),
        known_packaging=sum((one.known_packaging for one in margins), Decimal(0)),
    )


def drawn(rows: Sequence[Row], *, months: bool = False) -> list[Sold]:
    """Return rows as they are drawn; what came back on balance has no bar."""
    return [
        Sold(
            candle=row.name,
            channel=(f"{row.jars:,} jar" + "s" * (row.jars != 1)) if months else row.channel,
            jars=row.jars,
            price=row.paid,
            fees=row.fees,
            cost=row.cost,
        )
        for row in rows
        if row.paid > 0
    ]


HEADER = (
    *("from", "to", "candle", "channel", "jars", "paid", "fees", "cost", "of which packaging"),
    *("margin", "jars of unknown cost"),
)
"""The heading of the spreadsheet."""


def sheet(found: Margins) -> Iterator[Sequence[Cell]]:
    """Yield every line of the spreadsheet, to 1/10 000 of the currency."""
    for one in found.lines:
        margin, fees = one.margin, whole(one.margin.fees, LEDGER)
        left = None if margin.cost is None else ledger(margin.price - fees - margin.cost)
        cost = (ledger(margin.cost), ledger(margin.packaging))
        money = (ledger(margin.price), fees, *cost, left)
        days = (found.first, found.last)
        yield (*days, one.name, one.channel, margin.jars, *money, margin.unknown)
