"""Masses as text, in whole steps of the maker's scale."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import lru_cache

from rushlight.quantity.figure import MINUS, number, shortest
from rushlight.quantity.preference import METRIC, Preference
from rushlight.quantity.share import whole_steps
from rushlight.quantity.si import Kilogram
from rushlight.quantity.units import named

_MOST_DECIMALS = 30
_FLOAT_NOISE = Fraction("1e-9")
_POUND = 16  # ounces


@lru_cache(maxsize=64)  # a page of a large workshop shows hundreds of masses
def _mass_step(pref: Preference) -> Fraction:
    """Return the step of masses in the preferred unit [g or oz].

    It is the readability itself where that has at most two significant digits
    in the unit (1 g, 0.5 g, 0.05 oz), and else the decimal step below it.
    """
    step = shortest(pref.readability) / named(pref.mass).factor
    decade = math.floor(math.log10(step))
    place = Fraction(10) ** (decade - 1)
    short = round(step / place) * place
    return short if abs(short / step - 1) < _FLOAT_NOISE else Fraction(10) ** decade


@lru_cache(maxsize=64)
def mass_step(pref: Preference) -> Kilogram:
    """Return the step that masses are shown in [kg]; share totals out in it."""
    return Kilogram(float(_mass_step(pref) * named(pref.mass).factor))


@lru_cache(maxsize=64)
def _places(step: Fraction) -> int:
    """Return the decimals that a step needs."""
    return next(n for n in range(_MOST_DECIMALS) if (step * 10**n).denominator == 1)


def mass(kg: Kilogram, pref: Preference = METRIC) -> str:
    """Return a mass [kg] in whole steps of the scale: "226 g", "7.94 oz", "1 lb 4.00 oz"."""
    step = _mass_step(pref)
    places = _places(step)
    amount = step * whole_steps(kg, mass_step(pref))
    if pref.mass == "g" or abs(amount) < _POUND:
        return f"{number(amount, pref, places=places)} {pref.mass}"
    pounds, ounces = divmod(abs(amount), _POUND)
    rest = number(ounces, pref, places=places)
    return f"{MINUS if amount < 0 else ''}{number(pounds, pref)} lb {rest} oz"
