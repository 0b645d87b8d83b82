"""The density of water, so that a vessel can be measured on a scale."""

from __future__ import annotations

from rushlight.errors import BadInput
from rushlight.quantity.si import CubicMetre, Density, Kelvin, Kilogram

ICE = Kelvin(273.15)
"""0 °C [K], by definition (SI Brochure, 9th edition)."""
ROOM = Kelvin(293.15)
"""20 °C [K]: what is assumed of water from a tap left to stand."""
_HOTTEST = 100.0  # °C; the formula goes on to 150 °C, but not in an open vessel

# Kell, J. Chem. Eng. Data 20 (1975) 97-105, eq. 16: air-free water at 1 atm, t in °C.
# The coefficients are carried from memory; the tests compare them with published tables.
_NUMERATOR = (
    999.83952,
    16.945176,
    -7.9870401e-3,
    -46.170461e-6,
    105.56302e-9,
    -280.54253e-12,
)
_DENOMINATOR = 16.879850e-3


def density(at: Kelvin) -> Density:
    """Return the density of liquid water [kg/m³] at 1 atm.

    rho = (a0 + a1 t + … + a5 t⁵) / (1 + b t), t in °C.

    at: temperature [K], 273.15 to 373.15 (0 to 100 °C).
    Source: Kell, J. Chem. Eng. Data 20 (1975) 97, eq. 16; within 0.005 kg/m³ of
    IAPWS-95 over that range.
    """
    t = at - ICE
    if not 0 <= t <= _HOTTEST:
        raise BadInput.one(
            "Water is weighed as a liquid, between 0 and 100 °C.",
            'Give its temperature, such as "20 C"; leave it out for 20 °C.',
        )
    total = 0.0
    for coefficient in reversed(_NUMERATOR):
        total = total * t + coefficient
    return Density(total / (1 + _DENOMINATOR * t))


def volume(mass: Kilogram, at: Kelvin = ROOM) -> CubicMetre:
    """Return the volume [m³] of a mass of water [kg] at a temperature [K].

    The lift of the air (0.1 %) is left out: wax is weighed in the same air.
    """
    return CubicMetre(mass / density(at))
