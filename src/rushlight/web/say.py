"""Quantities in words for a page, in the maker's units."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal

from rushlight.candle.parts import Span, Window
from rushlight.quantity import show
from rushlight.quantity.si import (
    CubicMetre,
    Density,
    Fraction1,
    Kelvin,
    KelvinStep,
    Kilogram,
    Metre,
    Second,
)
from rushlight.workshop.materials import Amount, Measure
from rushlight.workshop.settings import Settings

_MILLIGRAM = Kilogram(1e-6)


class Say:
    """`rushlight.quantity.show`, bound to the workshop's settings; handed to every template."""

    def __init__(self, settings: Settings) -> None:
        """Bind to settings."""
        self.settings = settings
        self.pref = settings.preference

    def mass(self, value: float) -> str:
        """Return a mass [kg]."""
        return show.mass(Kilogram(value), self.pref)

    def volume(self, value: float) -> str:
        """Return a volume [m³]."""
        return show.volume(CubicMetre(value), self.pref)

    def length(self, value: float) -> str:
        """Return a length [m]."""
        return show.length(Metre(value), self.pref)

    def temperature(self, value: float) -> str:
        """Return a temperature [K]."""
        return show.temperature(Kelvin(value), self.pref)

    def difference(self, value: float) -> str:
        """Return a temperature difference [K]."""
        return show.difference(KelvinStep(value), self.pref)

    def density(self, value: float) -> str:
        """Return a density [kg/m³] in grams per millilitre."""
        return f"{Density(value) / 1000:.3f} g/ml".replace(".", self.pref.decimal)

    def percent(self, value: float) -> str:
        """Return a ratio as a percentage."""
        return show.percent(Fraction1(value))

    def fine(self, value: float) -> str:
        """Return a ratio as a percentage to four figures, for what is weighed against a limit."""
        shown = f"{100 * value:.4g}"
        shown = f"{100 * value:.8f}".rstrip("0").rstrip(".") if "e" in shown else shown
        return f"{shown} %".replace(".", self.pref.decimal)

    def duration(self, value: float) -> str:
        """Return a duration [s]."""
        return show.duration(Second(value))

    def money(self, value: Decimal) -> str:
        """Return an amount of money."""
        return show.money(value, self.pref)

    def window(self, value: Window) -> str:
        """Return a range of temperatures."""
        return f"{self.temperature(value.low)} to {self.temperature(value.high)}"

    def span(self, value: Span) -> str:
        """Return a range of times."""
        low, high = self.duration(value.low), self.duration(value.high)
        return low if low == high else f"{low} to {high}"

    def amount(self, value: Amount) -> str:
        """Return an amount of a material: weighed or counted.

        Less than the scale can show is said to the milligram: a little of a dye is not nothing.
        """
        if value.measure is Measure.PIECES:
            return self.count(value.pieces)
        if value.units and abs(value.mass) < self.pref.readability:
            return show.mass(value.mass, replace(self.pref, readability=_MILLIGRAM))
        return self.mass(value.mass)

    def count(self, value: int) -> str:
        """Return how many, in the maker's own way to write a large number."""
        return show.number(Decimal(value), self.pref)

    def clock(self, value: datetime) -> str:
        """Return a time of day."""
        return f"{value:%H:%M}"

    def day(self, value: date) -> str:
        """Return a date with its weekday."""
        return f"{value:%a} {value.day} {value:%b %Y}"

    def minutes(self, value: timedelta | None) -> str:
        """Return a spread in whole minutes, at least one."""
        if value is None:
            return "unknown"
        return f"{max(1, round(value.total_seconds() / 60))} min"

    def plural(self, count: int, one: str, many: str = "") -> str:
        """Return "1 jar", "12 jars"."""
        return f"{self.count(count)} {one if count == 1 else many or one + 's'}"

    def size(self, count: int) -> str:
        """Return how large a file is."""
        return f"{count / 1e6:.1f} MB" if count >= 1_000_000 else f"{max(1, round(count / 1e3))} kB"  # noqa: PLR2004 - a megabyte

    def such_as(self, kind: str) -> str:
        """Return an example to type, in the maker's units."""
        ounces, inches = self.pref.mass == "oz", self.pref.length == "in"
        point = self.pref.decimal
        return {
            "mass": "8 oz" if ounces else "225 g",
            "small mass": f"0{point}1 oz" if ounces else "2 g",
            "volume": "8 fl oz" if self.pref.volume == "fl oz" else "240 ml",
            "length": "3 1/2 in" if inches else "90 mm",
            "short": "1/2 in" if inches else "12 mm",
            "thin": "1/8 in" if inches else "3 mm",
            "temperature": "165 F" if self.pref.temperature == "F" else "74 C",
            "per": "1 lb" if ounces else "1 kg",
        }[kind]
