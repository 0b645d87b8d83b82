"""What the heat pages say alike: times to a sensible figure, spreads, units of a scale."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite

from rushlight.heat.ensemble import Spread
from rushlight.quantity.show import Preference
from rushlight.quantity.si import Kelvin
from rushlight.quantity.units import named
from rushlight.web.say import Say

HOUR, MINUTE = 3600.0, 60.0
NEVER = "does not come about"


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer: its name, the likely value, and between what it lies."""

    name: str
    likely: str
    between: str
    note: str = ""


def about(say: Say, seconds: float) -> str:
    """Return a time [s] to the minute, from an hour on to five: no forecast knows it better."""
    if not isfinite(seconds):
        return NEVER
    step = MINUTE if seconds < HOUR else 5 * MINUTE
    return say.duration(max(step, round(seconds / step) * step))


def answer(name: str, spread: Spread, show: Callable[[float], str], *, note: str = "") -> Answer:
    """Return an answer with its spread; one that comes about in some cases only says in how many.

    show: how a value is said.
    """
    likely = show(spread.likely) if isfinite(spread.likely) else NEVER
    low, high = (show(v) if isfinite(v) else "" for v in (spread.low, spread.high))
    between = "" if low == high == likely else span(low, high)
    if 0 < spread.share < 1:
        some = f"comes about in {100 * spread.share:.0f} % of the cases tried"
        note = f"{note}; {some}" if note else some
    return Answer(name, likely, between if isfinite(spread.low) else "", note)


def span(low: str, high: str) -> str:
    """Return "5 to 8 g", the unit said once where both have it."""
    first, last = low.partition(" "), high.partition(" ")
    if low == high:
        return low
    return f"{first[0]} to {high}" if first[2] == last[2] else f"{low} to {high}"


def degrees(kelvin: float, pref: Preference) -> float:
    """Return a temperature [K] as a number on the scale the maker reads."""
    unit = named(f"°{pref.temperature}")
    return Kelvin(kelvin) / float(unit.factor) - float(unit.offset)


def lengths(metres: float, pref: Preference) -> float:
    """Return a length [m] as a number in the unit the maker reads."""
    return metres * 1000 if pref.length == "mm" else metres / 0.0254


def degree_unit(pref: Preference) -> str:
    """Return the sign of the temperature scale."""
    return f"°{pref.temperature}"


def length_unit(pref: Preference) -> str:
    """Return the sign of the unit of length."""
    return "mm" if pref.length == "mm" else "in"


def grams_per_hour(rate: float, pref: Preference) -> str:
    """Return a burn rate [g/h]."""
    return f"{rate:.1f} g/h".replace(".", pref.decimal)
