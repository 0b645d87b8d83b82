"""SI into what a maker reads, by her preference.

Everything shown can be typed back: the parsers read it to the same value
within half the step shown. The steps are:

* mass: the scale's readability, or (where that is no short number in the
  preferred unit) the decimal step below it; from 1 lb on as "1 lb 4.50 oz".
  `mass_step` gives the step, to share a total out in (see `share`).
* volume: 1 ml from 100 ml on, 0.1 ml below; 0.01 fl oz (US).
* length: 0.1 mm; 1/16 in, as a fraction in lowest terms.
* temperature: 1 °C or 1 °F; a difference: 0.1 °C or 0.1 °F.
* duration: 1 s below an hour, 1 min below two days, then 1 h.

Numbers of five digits and more are grouped by a no-break space. With a decimal
comma "1,234" would have two readings (see `reading`), so it is shown with a
fourth decimal.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from rushlight.quantity.figure import MINUS, number, shortest, trimmed
from rushlight.quantity.money import CURRENCIES, Currency
from rushlight.quantity.preference import METRIC, US, Preference
from rushlight.quantity.show_mass import mass, mass_step
from rushlight.quantity.show_time import clock, duration, duration_span
from rushlight.quantity.si import (
    CubicMetre,
    Density,
    Fraction1,
    Kelvin,
    KelvinStep,
    Metre,
    Watt,
)
from rushlight.quantity.units import named

__all__ = [
    "METRIC",
    "US",
    "Preference",
    "clock",
    "density",
    "difference",
    "duration",
    "duration_span",
    "length",
    "mass",
    "mass_step",
    "money",
    "number",
    "percent",
    "power",
    "temperature",
    "temperature_window",
    "volume",
]

_SIXTEENTHS = 16


class WindowLike(Protocol):
    """Anything with a low and a high temperature [K], such as `candle.parts.Window`."""

    @property
    def low(self) -> Kelvin:
        """The lowest temperature [K]."""

    @property
    def high(self) -> Kelvin:
        """The highest temperature [K]."""


def volume(m3: CubicMetre, pref: Preference = METRIC) -> str:
    """Return a volume [m³]: "237 ml", "29.6 ml", "8.00 fl oz"."""
    if pref.volume == "fl oz":
        return f"{number(shortest(m3) / named('fl oz').factor, pref, places=2)} fl oz"
    millilitres = shortest(m3) * 10**6
    small = abs(millilitres) < 100  # noqa: PLR2004 - see the head
    return f"{trimmed(millilitres, pref, 1 if small else 0)} ml"


def length(m: Metre, pref: Preference = METRIC) -> str:
    """Return a length [m]: "70 mm", "6.4 mm", "2 3/4 in"."""
    if pref.length == "mm":
        return f"{trimmed(shortest(m) * 1000, pref, 1)} mm"
    sixteenths = round(shortest(m) / named("in").factor * _SIXTEENTHS)
    whole, part = divmod(abs(sixteenths), _SIXTEENTHS)
    shown = [number(whole, pref)] if whole or not part else []
    if part:
        shown.append(str(Fraction(part, _SIXTEENTHS)))
    return f"{MINUS if sixteenths < 0 else ''}{' '.join(shown)} in"


def _degrees(kelvin: Kelvin, pref: Preference) -> Fraction:
    """Return a temperature [K] as a number on the scale preferred [°C or °F]."""
    unit = named(f"°{pref.temperature}")
    # the shortest decimal, so that 358.15 K is exactly 85 °C
    return shortest(kelvin) / unit.factor - unit.offset


def temperature(kelvin: Kelvin, pref: Preference = METRIC, *, places: int = 0) -> str:
    """Return a temperature [K]: "85 °C", "185 °F"."""
    return f"{number(_degrees(kelvin, pref), pref, places=places)} °{pref.temperature}"


def temperature_window(window: WindowLike, pref: Preference = METRIC) -> str:
    """Return a range of temperatures [K]: "68–77 °C"; "74 °C" where both ends read alike."""
    low = number(_degrees(window.low, pref), pref)
    high = number(_degrees(window.high, pref), pref)
    if low == high:
        return f"{low} °{pref.temperature}"
    dash = " to " if MINUS in low + high else "–"
    return f"{low}{dash}{high} °{pref.temperature}"


def difference(step: KelvinStep, pref: Preference = METRIC) -> str:
    """Return a difference of temperatures [K]: "16.7 °C", "30 °F"; say beside it that it is one."""
    degrees = shortest(step) / named(f"°{pref.temperature}").factor
    return f"{trimmed(degrees, pref, 1)} °{pref.temperature}"


def percent(fraction: Fraction1, pref: Preference = METRIC, *, places: int = 1) -> str:
    """Return a ratio [1] as a percentage: "8 %", "10.7 %"."""
    return f"{trimmed(shortest(fraction) * 100, pref, places)} %"


def density(value: Density, pref: Preference = METRIC) -> str:
    """Return a density [kg/m³]: "0.875 g/ml"."""
    return f"{number(shortest(value) / 1000, pref, places=3)} g/ml"


def power(watt: Watt, pref: Preference = METRIC) -> str:
    """Return a power [W]: "1500 W"."""
    return f"{trimmed(shortest(watt), pref, 1)} W"


def money(amount: Decimal, pref: Preference = METRIC, *, places: int | None = None) -> str:
    """Return an amount in the preferred currency: "£4.20", "4,20 €" with a decimal comma.

    places: decimals to show; those of the currency's smallest coin when left out.
    """
    currency = CURRENCIES.get(pref.currency) or Currency(pref.currency, pref.currency)
    text = number(amount, pref, places=currency.places if places is None else places)
    sign, text = (MINUS, text[1:]) if text.startswith(MINUS) else ("", text)
    if pref.decimal == "," or len(currency.symbol) > 1:
        return f"{sign}{text} {currency.symbol}"
    return f"{sign}{currency.symbol}{text}"
