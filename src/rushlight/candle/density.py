"""How dense the mix is: wax carried to its pour temperature, volumes added up."""

from __future__ import annotations

from collections.abc import Iterable

from rushlight.candle.parts import Oil, Wax
from rushlight.quantity.si import Density, Fraction1, Kelvin

OIL_EXPANSION = 8.5e-4
"""Volumetric expansion of a fragrance oil [1/K], from memory: perfume oils and their
usual solvents lie between 7e-4 and 1e-3. At 10 % oil the spread is 0.1 % of the mix."""
OIL_AT = Kelvin(293.15)
"""Suppliers state an oil's density at 20 °C [K] (common practice)."""


def wax_at(wax: Wax, at: Kelvin) -> Density:
    """Return the liquid wax's density [kg/m³] at a temperature [K].

    rho = rho_ref / (1 + beta (T - T_ref)). Good to about 0.5 % within 40 K of
    the reference (the expansion is taken as constant).
    """
    return Density(wax.density_hot / (1 + wax.expansion * (at - wax.density_hot_at)))


def oil_at(oil: Oil, at: Kelvin) -> Density:
    """Return an oil's density [kg/m³] at a temperature [K], from its density at 20 °C."""
    return Density(oil.density / (1 + OIL_EXPANSION * (at - OIL_AT)))


def mix(parts: Iterable[tuple[Fraction1, Density]]) -> Density:
    """Return the density [kg/m³] of an ideal mixture: volumes add up.

    1/rho = sum(w_i / rho_i) / sum(w_i), with mass fractions w_i [1].
    """
    mass = volume = 0.0
    for share, rho in parts:
        mass += share
        volume += share / rho
    return Density(mass / volume)
