"""Prices as tables on the terminal."""

from __future__ import annotations

from decimal import Decimal

from rich.console import Console
from rich.padding import Padding
from rich.table import Table

from rushlight.cli.price_found import PriceSheet
from rushlight.cli.tables import table, words
from rushlight.cost.exact import shown
from rushlight.quantity import show
from rushlight.quantity.money import CURRENCIES
from rushlight.quantity.si import Fraction1

STRONGEST = 6
"""How many of the inputs that move the price are told; --json gives all."""


def show_prices(found: PriceSheet) -> None:
    """Write what a jar costs, what to charge, and what moves the price most."""
    console = Console(highlight=False)
    console.print(words(found.candle, "bold"))
    console.print(Padding(_cost(found), (1, 0)))
    console.print(_channels(found))
    for row in found.rows:
        if row.problem:
            console.print(words(f"{row.name}: {row.problem}", "bold"))
    priced = next((row for row in found.rows if row.asked), None)
    if priced and priced.asked:
        console.print(Padding(words(f"{priced.name}: {priced.asked.explain()}"), (1, 0)))
    if found.effects:
        console.print(Padding(_effects(found, priced.name if priced else ""), (0, 0, 1, 0)))
    if found.unpriced:
        names = ", ".join(found.unpriced)
        console.print(words(f"Without a price, and counted as nothing: {names}.", "bold"))


def _cost(found: PriceSheet) -> Table:
    """Return the cost by parts; what is shown adds up to the total that is shown."""
    made = table(("One sold jar", "left"), ("", "right"))
    parts = list(found.cost.parts())
    coin = Decimal(1).scaleb(-CURRENCIES[found.preference.currency].places)
    amounts = shown([amount for _, amount in parts], step=coin)
    for (name, _), amount in zip(parts, amounts, strict=True):
        made.add_row(words(name), words(show.money(amount, found.preference)))
    total = show.money(sum(amounts, Decimal(0)), found.preference)
    made.add_row(words("cost of a jar", "bold"), words(total, "bold"))
    return made


def _channels(found: PriceSheet) -> Table:
    made = table(
        ("Channel", "left"),
        ("Price", "right"),
        ("In the shop", "right"),
        ("Profit", "right"),
        ("Margin", "right"),
        ("Markup", "right"),
        ("Break-even", "left"),
    )
    for row in found.rows:
        if row.asked is None:
            made.add_row(words(row.name), *[words("–")] * 6)
            continue
        jars = row.break_even.jars if row.break_even else None
        made.add_row(
            words(row.name),
            words(show.money(row.asked.price, found.preference), "bold"),
            words(show.money(row.asked.retail, found.preference)),
            words(show.money(row.asked.profit, found.preference)),
            words(_percent(row.asked.margin)),
            words("–" if row.asked.markup is None else _percent(row.asked.markup)),
            words("never" if jars is None else f"{jars} jars a month"),
        )
    return made


def _effects(found: PriceSheet, channel: str) -> Table:
    made = table(
        (f"What moves the price, {channel}" if channel else "What moves the price", "left"),
        ("10 % less", "right"),
        ("10 % more", "right"),
    )
    for effect in found.effects[:STRONGEST]:
        cells = [
            "no price" if moved is None else show.money(moved, found.preference)
            for moved in (effect.low, effect.high)
        ]
        made.add_row(*map(words, (effect.name, *cells)))
    return made


def _percent(share: Decimal) -> str:
    return show.percent(Fraction1(float(share)))
