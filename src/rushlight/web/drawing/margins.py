"""What was kept of what was paid: a bar for each candle and channel over a money axis.

From nought to the right stands the margin, then the cost of the jars, then the fees, up to
what was paid: so margins start from one line and compare. Where cost and fees are more than
was paid, the part that is not covered stands to the left of nought.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from rushlight.quantity import show
from rushlight.web.drawing.apart import steps
from rushlight.web.drawing.lettering import fitted, shown, width
from rushlight.web.drawing.svg import el, line, text

WIDTH, LEFT, RIGHT = 480.0, 10.0, 14.0
HEAD, ROW, BAR = 46.0, 58.0, 18.0
PIECES, MOST = 4, 24
LETTERS = 17.0  # the size on a narrow screen, the larger one
_APART = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """What one candle brought through one channel in a period.

    price: what was paid for the jars; fees: what the channel kept of it; cost: what the
    jars cost to make, None where that of one is not known. All in the currency, of the whole
    period; the fields are those of `cost.margin.Margin`.
    """

    candle: str
    channel: str
    jars: int
    price: Decimal
    fees: Decimal
    cost: Decimal | None

    @property
    def profit(self) -> Decimal | None:
        """What is left; None where the cost is not known."""
        return None if self.cost is None else self.price - self.fees - self.cost

    @property
    def share(self) -> Decimal | None:
        """What is left of each unit paid [1]; None where that has no meaning."""
        profit = self.profit
        return profit / self.price if profit is not None and self.price > 0 else None


class _Axis:
    def __init__(self, rows: Sequence[Sold]) -> None:
        # fees given back on returned jars may lift what is left over the price
        ends = [Decimal(0), *(row.price for row in rows), *(row.price - row.fees for row in rows)]
        ends += [row.profit for row in rows if row.profit is not None]
        self.low, self.high = float(min(ends)), float(max(ends))
        if self.low == self.high:
            self.high = 1.0

    def x(self, value: Decimal | float) -> float:
        share = (float(value) - self.low) / (self.high - self.low)
        return LEFT + (WIDTH - LEFT - RIGHT) * share


def margins(rows: Sequence[Sold], pref: show.Preference) -> Markup:
    """Return the bars in the order given; empty where nothing was sold.

    Rows over the first 24 are said and left to the table.
    """
    if not rows:
        return Markup("")
    drawn_rows = rows[:MOST]
    axis = _Axis(drawn_rows)
    floor = HEAD + ROW * len(drawn_rows)
    drawn = [*_key(), *_grid(axis, floor, pref)]
    for at, row in enumerate(drawn_rows):
        drawn += _row(axis, row, HEAD + ROW * at, pref)
    tall = floor + 50
    if len(rows) > MOST:
        words = f"and {len(rows) - MOST:,} more: see the table"
        drawn.append(text((LEFT, tall + 12), words, "k-words"))
        tall += 30
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {tall:.0f}",
        class_="margins",
        role="img",
        aria_label="What was paid, split into fees, cost and margin; figures in the table.",
    )


def _key() -> list[Markup]:
    """Return what the tints mean, in their order along a bar."""
    drawn, x = [], LEFT
    for name in ("margin", "cost", "fees", "not covered"):
        drawn.append(
            el("rect", x=x, y=8.0, width=18.0, height=13.0, class_=f"k-{name.replace(' ', '-')}")
        )
        drawn.append(text((x + 24, 20.0), name, "k-words"))
        x += 24 + width(name, LETTERS) + 20
    return drawn


def _grid(axis: _Axis, floor: float, pref: show.Preference) -> list[Markup]:
    """Return round amounts along the foot; where they would meet, some stay bare."""
    drawn, free = [], -1e9
    for value in steps(axis.low, axis.high, PIECES):
        x = axis.x(value)
        drawn.append(line((x, HEAD - 8), (x, floor + 5), "k-rule"))
        amount = Decimal(repr(round(value, 6)))
        words = show.money(amount, pref, places=0) if amount == int(amount) else show.money(
            amount, pref)  # fmt: skip
        half = width(words, LETTERS) / 2
        middle = min(max(x, half), WIDTH - half)
        if middle - half >= free:
            drawn.append(text((middle, floor + 26), words, "k-figure", "middle"))
            free = middle + half + _APART
    return drawn


def _row(axis: _Axis, row: Sold, y: float, pref: show.Preference) -> list[Markup]:
    """Return the name, what was kept in words, and the bar."""
    told = _kept(row, pref)
    room = WIDTH - LEFT - RIGHT - width(told, LETTERS) - _APART
    name = f"{shown(row.candle)}, {shown(row.channel)}"
    said = f"{name}: {told} of {show.money(row.price, pref)} paid"
    top = y + 24
    parts = [text((LEFT, y + 16), fitted(name, LETTERS, room), "k-words"),
             text((WIDTH - RIGHT, y + 16), told, "k-kept" if (row.profit or 0) >= 0 else "k-lost",
                  "end")]  # fmt: skip
    profit = row.profit
    if profit is None:
        parts.append(_bar(axis, Decimal(0), row.price, top, "k-unknown"))
    else:
        kept, net = max(profit, Decimal(0)), max(row.price - row.fees, Decimal(0))
        parts += [
            _bar(axis, kept, net, top, "k-cost"),
            _bar(axis, net, row.price, top, "k-fees"),
        ]
        kind = "k-margin" if profit > 0 else "k-not-covered"
        parts.append(_bar(axis, Decimal(0), profit, top, kind))
    parts.append(line((axis.x(0), top - 4), (axis.x(0), top + BAR + 4), "k-nought"))
    return [el("g", el("title", said), *parts)]


def _kept(row: Sold, pref: show.Preference) -> str:
    if row.profit is None:
        return "cost not known"
    if row.profit < 0:
        return f"{show.money(-row.profit, pref)} lost"
    share = f", {row.share * 100:.0f} %" if row.share is not None else ""
    return f"{show.money(row.profit, pref)}{share}"


def _bar(axis: _Axis, start: Decimal, end: Decimal, y: float, kind: str) -> Markup:
    """Return a stretch of a bar; nothing where it has no length."""
    left, right = sorted((axis.x(start), axis.x(end)))
    if right - left < 0.05:  # noqa: PLR2004 -- less than can be seen
        return Markup("")
    return el("rect", x=left, y=y, width=right - left, height=BAR, class_=kind)
