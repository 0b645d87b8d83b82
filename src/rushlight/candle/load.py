"""Fragrance load: of the wax or of the total, converted both ways."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.candle.parts import Candle, Load, LoadBasis, Oil
from rushlight.errors import BadInput
from rushlight.quantity.si import Fraction1

UNNAMED = Oil(name="fragrance oil")
"""Stands in where a load is given before an oil is chosen; its flash point is unknown."""


def of_wax(load: Load, *, others: float = 0.0) -> Fraction1:
    """Return a load as a fraction of the wax [1].

    Of the total y, with additives and dyes making up `others` [1] of the wax:
    x = y (1 + others) / (1 - y). Range: 0 <= load < 1.
    """
    if load.basis is LoadBasis.WAX:
        return load.amount
    if not 0 <= load.amount < 1:
        raise BadInput.one(
            "A load of the total must be less than 100 %.", 'Type, for example, "7.4 %".'
        )
    return Fraction1(load.amount * (1 + others) / (1 - load.amount))


def of_total(load: Load, *, others: float = 0.0) -> Fraction1:
    """Return a load as a fraction of everything poured [1]: y = x / (1 + others + x)."""
    if load.basis is LoadBasis.TOTAL:
        return load.amount
    return Fraction1(load.amount / (1 + others + load.amount))


@dataclass(frozen=True, slots=True)
class Recipe:
    """Every part of the mix as a mass per mass of wax [1], in the candle's order."""

    oils: tuple[tuple[Oil, Fraction1], ...]
    dyes: tuple[Fraction1, ...]
    additives: tuple[Fraction1, ...]

    @property
    def fragrance(self) -> Fraction1:
        """All oils together [1 of wax]."""
        return Fraction1(sum(share for _, share in self.oils))

    @property
    def total(self) -> float:
        """The whole mix [1 of wax]."""
        return 1 + self.fragrance + sum(self.dyes) + sum(self.additives)


def recipe(candle: Candle) -> Recipe:
    """Return the mix of a candle per mass of wax."""
    dyes = tuple(dye.per_wax for dye in candle.dyes)
    additives = tuple(additive.of_wax for additive in candle.additives)
    if candle.load is None:
        return Recipe((), dyes, additives)
    load = of_wax(candle.load, others=sum(dyes) + sum(additives))
    oils = candle.oils or (UNNAMED,)
    parts = sum(oil.parts for oil in oils)
    if not parts > 0:
        raise BadInput.one(
            "The oils of the blend have no parts.",
            'Give each oil its parts, such as "2".',
            "fragrance.oils",
        )
    shares = tuple((oil, Fraction1(load * oil.parts / parts)) for oil in oils)
    return Recipe(shares, dyes, additives)
