"""Every unit of the table beside pint, a general library of units (an outside check)."""

from collections.abc import Callable
from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.quantity import parse
from rushlight.quantity.units import TABLE, Kind

PINT_NAMES = {
    "mg": "milligram",
    "g": "gram",
    "kg": "kilogram",
    "oz": "ounce",
    "lb": "pound",
    "ml": "milliliter",
    "cl": "centiliter",
    "l": "liter",
    "m³": "meter**3",
    "fl oz": "fluid_ounce",
    "tsp": "teaspoon",
    "tbsp": "tablespoon",
    "cup": "cup",
    "pint": "pint",
    "quart": "quart",
    "gallon": "gallon",
    "imp fl oz": "imperial_fluid_ounce",
    "imp pint": "imperial_pint",
    "imp gallon": "imperial_gallon",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "in": "inch",
    "ft": "foot",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "d": "day",
    "week": "week",
    "W": "watt",
    "kW": "kilowatt",
    "%": "percent",
    "K": "kelvin",
    "°C": "degC",
    "°F": "degF",
}
SI_NAMES = {
    Kind.MASS: "kilogram",
    Kind.VOLUME: "meter**3",
    Kind.LENGTH: "meter",
    Kind.DURATION: "second",
    Kind.POWER: "watt",
    Kind.FRACTION: "dimensionless",
    Kind.TEMPERATURE: "kelvin",
}
READERS: dict[Kind, Callable[[str], float]] = {
    Kind.MASS: parse.mass,
    Kind.VOLUME: parse.volume,
    Kind.LENGTH: parse.length,
    Kind.DURATION: parse.duration,
    Kind.POWER: parse.power,
    Kind.FRACTION: parse.fraction,
    Kind.TEMPERATURE: parse.temperature,
}
UNITS = st.sampled_from(TABLE)
VALUES = st.decimals(Decimal("0.000001"), Decimal(1_000_000), places=6)


@cache
def registry() -> Any:
    """Return pint's units; built once, as that takes a while."""
    import pint

    return pint.UnitRegistry()


def test_pint_knows_every_unit_of_the_table() -> None:
    """So that none goes unchecked when the table grows."""
    assert set(PINT_NAMES) == {unit.name for unit in TABLE}


@given(unit=UNITS, value=VALUES)
def test_every_unit_agrees_with_pint(unit: Any, value: Decimal) -> None:
    """Twelve digits alike, over drawn values."""
    theirs = registry().Quantity(float(value), PINT_NAMES[unit.name]).to(SI_NAMES[unit.kind])
    assert READERS[unit.kind](f"{value:f} {unit.name}") == pytest.approx(
        theirs.magnitude, rel=1e-12, abs=0
    )


@given(degrees=st.decimals(-100, 500, places=3), scale=st.sampled_from("CF"))
def test_temperatures_and_differences_agree_with_pint(degrees: Decimal, scale: str) -> None:
    """With the offset for a temperature, and without it for a difference."""
    there = registry().Quantity(float(degrees), f"deg{scale}").to("kelvin")
    apart = registry().Quantity(float(degrees), f"delta_deg{scale}").to("kelvin")
    typed = f"{degrees:f} {scale}"
    assert parse.temperature(typed) == pytest.approx(there.magnitude, rel=1e-12, abs=0)
    assert parse.difference(typed) == pytest.approx(apart.magnitude, rel=1e-12, abs=0)


@given(
    value=VALUES,
    mass=st.sampled_from(["g", "kg", "oz", "lb"]),
    volume=st.sampled_from(["ml", "l", "gallon", "fl oz", "m³"]),
)
def test_densities_agree_with_pint(value: Decimal, mass: str, volume: str) -> None:
    """Any mass over any volume."""
    theirs = registry().Quantity(float(value), f"{PINT_NAMES[mass]} / ({PINT_NAMES[volume]})")
    assert parse.density(f"{value:f} {mass}/{volume}") == pytest.approx(
        theirs.to("kilogram / meter**3").magnitude, rel=1e-12, abs=0
    )
