"""What a maker types, into SI.

Every function raises BadInput with one Problem when the text cannot be read,
and nothing else, whatever the text. Numbers are read as `reading` says.

* A bare number takes the unit named by `default`; without a default it is
  refused, because a guess between grams and ounces is wrong by 28 times.
* Units of one family may follow one another, the larger first and whole:
  "1 lb 4 oz", "1 kg 250 g", "1 h 30 min". "1.5 lb 2 oz" is refused.
* "8 oz" where a volume is wanted, and "8 fl oz" where a mass is wanted, are
  refused with the difference explained: they never turn into one another.
* Masses, volumes, lengths, durations, powers and percentages are never
  negative; differences may be. No temperature is below absolute zero.
* What is absurd in a field (a 4 m jar) is for the field to say.
"""

from __future__ import annotations

import re
from decimal import Context, Decimal
from fractions import Fraction

from rushlight.errors import BadInput
from rushlight.quantity import reading, units
from rushlight.quantity.amount import amount, single
from rushlight.quantity.money import money
from rushlight.quantity.reading import quoted
from rushlight.quantity.si import (
    CubicMetre,
    Density,
    Fraction1,
    Kelvin,
    KelvinStep,
    Kilogram,
    Metre,
    Second,
    Watt,
)
from rushlight.quantity.timeofday import clock
from rushlight.quantity.units import Kind

__all__ = [
    "clock",
    "count",
    "density",
    "difference",
    "duration",
    "fraction",
    "length",
    "mass",
    "money",
    "number",
    "power",
    "temperature",
    "volume",
]


def mass(text: str, *, default: str | None = None) -> Kilogram:
    """Return a mass [kg]: "250 g", "0,5 kg", "8 oz", "1 lb 4 oz"."""
    return Kilogram(amount(text, Kind.MASS, default))


def volume(text: str, *, default: str | None = None) -> CubicMetre:
    """Return a volume [m³]: "250 ml", "0.3 l", "8 fl oz" (US), "10 imp fl oz"."""
    return CubicMetre(amount(text, Kind.VOLUME, default))


def length(text: str, *, default: str | None = None) -> Metre:
    """Return a length [m]: "70 mm", "7.5 cm", "2 3/4 in", '3"'."""
    return Metre(amount(text, Kind.LENGTH, default))


def duration(text: str, *, default: str | None = None) -> Second:
    """Return a duration [s]: "90 s", "2 min", "1 h 30 min", "7 d", "2 weeks"."""
    return Second(amount(text, Kind.DURATION, default))


def power(text: str, *, default: str | None = None) -> Watt:
    """Return a power [W]: "1500 W", "1.5 kW"."""
    return Watt(amount(text, Kind.POWER, default))


def fraction(text: str) -> Fraction1:
    """Return a percentage as a ratio [1]: "8 %" is 0.08.

    The sign is asked for: "8" and "0.08" are both refused, since 0.08 could be
    meant as 8 % or as 0.08 %.
    """
    return Fraction1(amount(text, Kind.FRACTION, None))


def temperature(text: str, *, default: str | None = None) -> Kelvin:
    """Return a temperature [K]: "185 F", "85 °C", "358 K"."""
    term, unit = single(text, Kind.TEMPERATURE, default)
    kelvin = (term.number + unit.offset) * unit.factor
    if kelvin < 0:
        raise BadInput.one(
            f"{quoted(text)} is colder than absolute zero (−273.15 °C, −459.67 °F).",
            "Check the sign and the scale.",
        )
    return Kelvin(float(kelvin))


def difference(text: str, *, default: str | None = None) -> KelvinStep:
    """Return a difference of temperatures [K]: "30 F" is thirty Fahrenheit degrees, 16.667 K."""
    term, unit = single(text, Kind.TEMPERATURE, default)
    return KelvinStep(float(term.number * unit.factor))


def density(text: str) -> Density:
    """Return a density [kg/m³]: "0.875 g/ml", "875 kg/m3", "7.3 lb/gal"; more than zero."""
    example = "“0.875 g/ml” or “875 kg/m³”"
    found = reading.terms(text, example=example)
    above, _, below = re.sub(r"\s+per\s+|/", "\n", found[0].unit).partition("\n")
    over = units.find(above, Kind.MASS)
    under = units.find(below, Kind.VOLUME)
    if len(found) > 1 or over is None or under is None:
        raise BadInput.one(
            f"{quoted(text)} is not a mass per volume.", f"Type a density like {example}."
        )
    if found[0].number <= 0:
        raise BadInput.one(f"{quoted(text)} is not more than zero.", f"Type it like {example}.")
    return Density(float(found[0].number * over.factor / under.factor))


def number(text: str) -> Decimal:
    """Return a bare number, with its sign; a fraction is carried to 28 digits."""
    value = _bare(text, "“12”, “0.5” or “1/2”", whole=False)
    digits = Context(prec=28)
    return digits.divide(Decimal(value.numerator), Decimal(value.denominator))


def count(text: str) -> int:
    """Return a whole number of things, zero or more; "1,200" is read, as it cannot be a decimal."""
    value = _bare(text, "“12”", whole=True)
    if value.denominator != 1:
        raise BadInput.one(f"{quoted(text)} is not a whole number.", "Type a whole number.")
    if value < 0:
        raise BadInput.one(f"{quoted(text)} is less than none.", "Type 0 or more.")
    return int(value)


def _bare(text: str, example: str, *, whole: bool) -> Fraction:
    """Return a number that no unit may follow."""
    line = reading.clean(text, example=example)
    if not re.fullmatch(r"[0-9.,/ +-]+", line):
        raise BadInput.one(
            f"{quoted(text)} is not a number.", f"Type the number alone, like {example}."
        )
    return reading.number(line, example=example, whole=whole)
