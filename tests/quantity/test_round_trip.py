"""What is shown can be typed back, within half the step it is shown in."""

from decimal import Decimal
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.quantity import parse, show
from rushlight.quantity.money import CURRENCIES
from rushlight.quantity.show import Preference
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

# half a step, and a little for the floats
HALF = 0.5 + 1e-6
OUNCE, FLUID_OUNCE, INCH = 0.028349523125, 29.5735295625e-6, 0.0254  # NIST HB 44, App. C

MARKS: tuple[Literal[".", ","], ...] = (".", ",")
PREFERENCES = st.builds(
    Preference,
    mass=st.sampled_from(["g", "oz"]),
    volume=st.sampled_from(["ml", "fl oz"]),
    length=st.sampled_from(["mm", "in"]),
    temperature=st.sampled_from(["C", "F"]),
    decimal=st.sampled_from(MARKS),
    currency=st.sampled_from(sorted(CURRENCIES)),
    readability=st.one_of(
        st.sampled_from([1e-6, 1e-5, 1e-4, 5e-4, 1e-3, 2e-3, 5e-3, 0.05 * OUNCE, 0.1 * OUNCE]),
        st.floats(1e-6, 1e-2),
    ).map(Kilogram),
)


@given(value=st.floats(0, 1000), pref=PREFERENCES)
def test_a_mass_comes_back(value: float, pref: Preference) -> None:
    """Within half a step, and the step is never coarser than the scale's."""
    step = show.mass_step(pref)
    assert step <= pref.readability * (1 + 1e-6)
    assert step >= pref.readability / 10.01
    back = parse.mass(show.mass(Kilogram(value), pref))
    assert abs(back - value) <= HALF * step


@given(value=st.floats(0, 0.02), pref=PREFERENCES)
def test_a_volume_comes_back(value: float, pref: Preference) -> None:
    """1 ml, or 0.1 ml below 100 ml; 0.01 fl oz."""
    step = 0.01 * FLUID_OUNCE if pref.volume == "fl oz" else (1e-6 if value >= 100e-6 else 1e-7)
    back = parse.volume(show.volume(CubicMetre(value), pref))
    assert abs(back - value) <= HALF * step


@given(value=st.floats(0, 20), pref=PREFERENCES)
def test_a_length_comes_back(value: float, pref: Preference) -> None:
    """0.1 mm, or a sixteenth of an inch."""
    step = INCH / 16 if pref.length == "in" else 1e-4
    assert abs(parse.length(show.length(Metre(value), pref)) - value) <= HALF * step


@given(value=st.floats(1, 2000), pref=PREFERENCES, places=st.integers(0, 3))
def test_a_temperature_comes_back(value: float, pref: Preference, places: int) -> None:
    """One degree, or as many decimals as are asked for."""
    step = (5 / 9 if pref.temperature == "F" else 1) / 10**places
    back = parse.temperature(show.temperature(Kelvin(value), pref, places=places))
    assert abs(back - value) <= HALF * step


@given(value=st.floats(-500, 500), pref=PREFERENCES)
def test_a_difference_comes_back(value: float, pref: Preference) -> None:
    """A tenth of a degree, and its sign."""
    step = 0.1 * (5 / 9 if pref.temperature == "F" else 1)
    assert abs(parse.difference(show.difference(KelvinStep(value), pref)) - value) <= HALF * step


@given(value=st.floats(0, 20), pref=PREFERENCES, places=st.integers(0, 4))
def test_a_percentage_comes_back(value: float, pref: Preference, places: int) -> None:
    """A tenth of a percent, or as many decimals as are asked for."""
    back = parse.fraction(show.percent(Fraction1(value), pref, places=places))
    assert abs(back - value) <= HALF / 10 ** (places + 2)


@given(value=st.floats(0, 1e8))
def test_a_duration_comes_back(value: float) -> None:
    """A second below an hour, a minute below two days, then an hour."""
    step = 1 if value < 3600 else 60 if value < 172800 else 3600
    assert abs(parse.duration(show.duration(Second(value))) - value) <= HALF * step


@given(value=st.floats(1, 20000), pref=PREFERENCES)
def test_a_density_comes_back(value: float, pref: Preference) -> None:
    """A thousandth of a gram per millilitre."""
    back = parse.density(show.density(Density(value), pref))
    assert abs(back - value) <= HALF


@given(value=st.floats(0, 1e6), pref=PREFERENCES)
def test_a_power_comes_back(value: float, pref: Preference) -> None:
    """A tenth of a watt."""
    assert abs(parse.power(show.power(Watt(value), pref)) - value) <= HALF * 0.1


@given(value=st.decimals(0, 10**6, places=4), pref=PREFERENCES)
def test_money_comes_back(value: Decimal, pref: Preference) -> None:
    """Half the smallest coin at most, and in the same currency."""
    coin = Decimal(10) ** -CURRENCIES[pref.currency].places
    back = parse.money(show.money(value, pref), currency=pref.currency)
    assert abs(back - value) <= coin / 2
    assert parse.money(show.money(value, pref, places=4), currency=pref.currency) == value


@given(value=st.decimals(-(10**8), 10**8, places=6), pref=PREFERENCES, places=st.integers(0, 6))
def test_a_number_comes_back(value: Decimal, pref: Preference, places: int) -> None:
    """With either decimal mark and any number of decimals, nothing shown has two readings."""
    back = parse.number(show.number(value, pref, places=places))
    assert abs(back - value) <= Decimal(10) ** -places / 2


@pytest.mark.parametrize(
    ("text", "shown"), [("8 oz", "8.00 oz"), ("1 lb 4 oz", "1 lb 4.00 oz"), ("0.36 oz", "0.36 oz")]
)
def test_what_she_typed_in_ounces_reads_as_she_typed_it(text: str, shown: str) -> None:
    """Through SI and back without a stray hundredth."""
    assert show.mass(parse.mass(text), show.US) == shown
