"""What a material cost over time: each supplier's price as steps, what was paid as dots.

A step is a price as it stood; a dot is a delivery with its freight and duty in it, so a dot
over its line is what getting it here cost.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from rushlight.quantity.show import Preference, money, number
from rushlight.web.drawing.apart import apart, steps
from rushlight.web.drawing.lettering import fitted, shown
from rushlight.web.drawing.svg import Point, el, line, path, text

WIDTH, HEIGHT = 480.0, 310.0
LEFT, RIGHT, TOP, FLOOR = 62.0, 158.0, 34.0, 262.0
PIECES, DATES, MOST = 5, 3, 5
LETTERS, DOT = 17.0, 5.0
KINDS = ("main", "second", "third", "fourth", "fifth")
_MONTHS = (1, 2, 3, 4, 6, 12, 24, 36, 60, 120, 240, 600)  # between two dates on the axis
_YEAR = 12
_SHORT = 62  # days; over less, days are written


@dataclass(frozen=True, slots=True)
class Paid:
    """A price on a day, for one unit of the material (a kilogram, a piece)."""

    day: dt.date
    price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierLine:
    """What one supplier asked, a price holding until the next, and what deliveries cost.

    asked: list prices in the order of their days; landed: unit costs of deliveries, with
    freight and duty. Either may be empty. Costs not known are left out by the caller.
    """

    name: str
    asked: tuple[Paid, ...] = ()
    landed: tuple[Paid, ...] = ()


class _Axes:
    def __init__(self, suppliers: Sequence[SupplierLine], until: dt.date) -> None:
        all_paid = [paid for one in suppliers for paid in (*one.asked, *one.landed)]
        days = [until.toordinal(), *(paid.day.toordinal() for paid in all_paid)]
        prices = [float(paid.price) for paid in all_paid]
        self.first, self.last = min(days), max(days)
        if self.first == self.last:
            self.first -= 1
        room = 0.08 * (max(prices) - min(prices)) or 0.1 * max(prices) or 1.0
        self.low, self.high = max(0.0, min(prices) - room), max(prices) + room

    def at(self, paid: Paid) -> Point:
        return self.x(paid.day.toordinal()), self.y(float(paid.price))

    def x(self, day: float) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * (day - self.first) / (self.last - self.first)

    def y(self, price: float) -> float:
        return FLOOR - (FLOOR - TOP) * (price - self.low) / (self.high - self.low)


def price_line(
    suppliers: Sequence[SupplierLine], pref: Preference, *, unit: str, until: dt.date
) -> Markup:
    """Return the plot; empty where no price is known.

    unit: of the figures ("£ a kg"). until: the day up to which the last prices hold. Of more
    than five suppliers the first five are drawn; the plot says so, the table has them all.
    """
    known = [one for one in suppliers if one.asked or one.landed]
    if not known:
        return Markup("")
    some = known[:MOST]
    axes = _Axes(some, until)
    drawn = _grid(axes, shown(unit), pref)
    for one, kind in zip(some, KINDS, strict=False):
        drawn += _supplier(axes, one, kind, until, pref)
    drawn += _names(axes, some, until)
    over = f"; {len(known) - MOST} more in the table" if len(known) > MOST else ""
    drawn.append(text((LEFT, HEIGHT - 4), f"steps: asked; dots: with freight and duty{over}",
                      "g-unit"))  # fmt: skip
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        class_="curve prices",
        role="img",
        aria_label=f"Prices over time, {shown(unit)}, by supplier; the figures are in the table.",
    )


def _supplier(
    axes: _Axes, one: SupplierLine, kind: str, until: dt.date, pref: Preference
) -> list[Markup]:
    """Return a supplier's steps and dots; each dot says its day and price where a mouse rests."""
    drawn = []
    if one.asked:
        points: list[Point] = []
        for paid in sorted(one.asked, key=lambda paid: paid.day):
            x, y = axes.at(paid)
            points += [(x, points[-1][1]), (x, y)] if points else [(x, y)]
        points.append((max(points[-1][0], axes.x(until.toordinal())), points[-1][1]))
        drawn.append(el("path", d=path(points), class_=f"g-line {kind}"))
    for paid in one.landed:
        x, y = axes.at(paid)
        said = f"{shown(one.name)}, {paid.day.isoformat()}: {money(paid.price, pref)}"
        drawn.append(el("circle", el("title", said), cx=x, cy=y, r=DOT, class_=f"k-dot {kind}"))
    return drawn


def _names(axes: _Axes, some: Sequence[SupplierLine], until: dt.date) -> list[Markup]:
    """Return the suppliers' names at the right, each led to where its line ends."""
    ends = []
    for one in some:
        last = max(one.asked or one.landed, key=lambda paid: paid.day)
        x = axes.x(until.toordinal()) if one.asked else axes.at(last)[0]
        ends.append((axes.at(last)[1], x, shown(one.name)))
    ends.sort()
    drawn = []
    places = apart([y for y, _, _ in ends], 22.0, TOP, FLOOR)
    for (at, x, name), y in zip(ends, places, strict=True):
        right = WIDTH - RIGHT
        drawn += [
            el("path", d=path([(x, at), (right, at), (right + 10, y)]), class_="k-lead"),
            text((right + 14, y + 5), fitted(name, LETTERS, RIGHT - 16), "g-name bare"),
        ]
    return drawn


def _grid(axes: _Axes, unit: str, pref: Preference) -> list[Markup]:
    drawn = [
        line((LEFT, FLOOR), (WIDTH - RIGHT, FLOOR), "c-axis"),
        line((LEFT, TOP), (LEFT, FLOOR), "c-axis"),
        text((6.0, TOP - 14), unit, "g-unit"),
    ]
    values = steps(axes.low, axes.high, PIECES)
    fine = max((len(f"{value:g}".partition(".")[2]) for value in values), default=0)
    places = 2 if fine == 1 else fine  # money: 4.50 and not 4.5
    for value in values:
        y = axes.y(value)
        drawn.append(line((LEFT, y), (WIDTH - RIGHT, y), "g-rule"))
        words = number(Decimal(repr(value)), pref, places=places)
        drawn.append(text((LEFT - 8, y + 5), words, "g-figure", "end"))
    for day, words in _dates(axes.first, axes.last):
        x = axes.x(day)
        drawn.append(line((x, FLOOR), (x, FLOOR + 5), "c-axis"))
        drawn.append(text((x, FLOOR + 22), words, "g-figure", "middle"))
    return drawn


def _dates(first: int, last: int) -> list[tuple[int, str]]:
    """Return days to write along the foot: years, firsts of months, or days over a short time."""
    if last - first <= _SHORT:
        chosen = sorted({first, (first + last) // 2, last})
        return [(n, f"{(day := dt.date.fromordinal(n)).day} {day:%b}") for n in chosen]
    months = (last - first) / 30.44
    every = next((n for n in _MONTHS if months / n <= DATES), _MONTHS[-1])
    start = dt.date.fromordinal(first)
    month = -(-(start.year * _YEAR + start.month - (start.day == 1)) // every) * every
    found = []
    while month // _YEAR <= dt.MAXYEAR:
        day = dt.date(month // _YEAR, month % _YEAR + 1, 1)
        if day.toordinal() > last:
            break
        found.append((day.toordinal(), f"{day:%Y}" if every >= _YEAR else f"{day:%b %Y}"))
        month += every
    return found
