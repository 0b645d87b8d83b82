"""Money as lengths: what a price is made of, and what moves it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from markupsafe import Markup

from rushlight.cost.price import Priced
from rushlight.cost.sensitivity import Effect
from rushlight.quantity import show
from rushlight.web.drawing.svg import el, line, text

WIDTH = 480.0
ROW = 46.0
BAR = 16.0


def stack(groups: Mapping[str, Decimal], priced: Priced | None, pref: show.Preference) -> Markup:
    """Return the parts of a jar's price, one under another, each starting where the last ended."""
    parts = [(name, amount) for name, amount in groups.items() if amount > 0]
    if priced is not None:
        parts += [(name, fee) for name, fee in priced.fees if fee > 0]
        if priced.profit > 0:
            parts.append(("profit", priced.profit))
    whole = sum((amount for _, amount in parts), Decimal(0))
    if not whole:
        return Markup("")
    drawn, start = [], 0.0
    for i, (name, amount) in enumerate(parts):
        y, width = i * ROW, float(amount / whole) * WIDTH
        words = f"{name} {show.money(amount, pref)}"
        room = start < WIDTH * 0.6
        at = (start, y + 16) if room else (start + width, y + 16)
        kind = "b-profit" if name == "profit" else "b-part"
        drawn += [
            text(at, words, "b-words", "start" if room else "end"),
            el("rect", x=start, y=y + 22, width=max(width, 1.0), height=BAR, class_=kind),
        ]
        start += width
    height = len(parts) * ROW
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {height:.0f}",
        class_="bars",
        role="img",
        aria_label="What the price is made of; the figures are in the table.",
    )


def moves(effects: Sequence[Effect], pref: show.Preference) -> Markup:
    """Return how far each input moves the price when it is a tenth less or more."""
    ends = [m for e in effects for m in (e.low, e.high) if m is not None]
    if not ends:
        return Markup("")
    price = effects[0].price
    reach = max(abs(m - price) for m in ends) or Decimal(1)

    def x(value: Decimal) -> float:
        return WIDTH / 2 + float((value - price) / reach) * (WIDTH / 2 - 4)

    drawn = []
    for i, effect in enumerate(effects):
        y = i * ROW
        low, high = x(effect.low or price), x(effect.high or price)
        drawn += [
            text((WIDTH / 2, y + 16), effect.name, "b-words", "middle"),
            el("rect", x=min(low, high), y=y + 22, width=max(abs(high - low), 1.5), height=BAR,
               class_="b-part"),
        ]  # fmt: skip
    height = len(effects) * ROW
    middle = line((WIDTH / 2, 22), (WIDTH / 2, height), "b-middle")
    return el(
        "svg",
        *drawn,
        middle,
        viewBox=f"0 0 {WIDTH:.0f} {height:.0f}",
        class_="bars",
        role="img",
        aria_label=f"What moves the price of {show.money(price, pref)}; figures in the table.",
    )
