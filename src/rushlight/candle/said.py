"""Figures inside a sentence, said in both customs at once.

A caution is written down with the sheet, so it cannot follow a later change of units.
"""

from __future__ import annotations

from rushlight.candle.water import ICE

_FAHRENHEIT = 1.8  # Fahrenheit degrees in a kelvin, exact (NIST Handbook 44, app. C)
_INCH = 0.0254  # m, exact (NIST Handbook 44, app. C)


def temperature(kelvin: float) -> str:
    """Return a temperature [K] as "85 °C (185 °F)"."""
    celsius = kelvin - ICE
    return f"{celsius:.0f} °C ({celsius * _FAHRENHEIT + 32:.0f} °F)"


def difference(kelvin: float) -> str:
    """Return a temperature difference [K] as "16.7 °C (30 °F)"."""
    return f"{kelvin:.3g} °C ({kelvin * _FAHRENHEIT:.2g} °F)"


def length(metre: float) -> str:
    """Return a length [m] as "12 mm (0.47 in)"."""
    return f"{metre * 1000:.3g} mm ({metre / _INCH:.2g} in)"
