"""The density of the mix."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.density import mix, oil_at, wax_at
from rushlight.candle.parts import Oil
from rushlight.quantity.si import Density, Fraction1, Kelvin
from tests.candle.support import floats, slipway


def test_wax_keeps_its_stated_density_at_the_stated_temperature() -> None:
    """The reference is met exactly."""
    wax = slipway().wax
    assert wax_at(wax, wax.density_hot_at) == wax.density_hot


def test_soy_follows_the_correlation_for_fat() -> None:
    """Choi & Okos (1986) for fat: 925.59 - 0.41757 t, t in °C.

    With its reference and expansion, carried from 70 to 85 °C within 0.02 %, although the
    one is linear and the other not.
    """
    at_70 = 925.59 - 0.41757 * 70
    wax = replace(
        slipway().wax,
        density_hot=Density(at_70),
        density_hot_at=Kelvin(343.15),
        expansion=0.41757 / at_70,
    )
    assert wax_at(wax, Kelvin(358.15)) == pytest.approx(925.59 - 0.41757 * 85, rel=2e-4)


@given(floats(300, 370), floats(0, 50))
def test_hotter_is_never_denser(at: float, more: float) -> None:
    """Wax and oil expand."""
    wax, oil = slipway().wax, Oil(name="Tide")
    assert wax_at(wax, Kelvin(at + more)) <= wax_at(wax, Kelvin(at))
    assert oil_at(oil, Kelvin(at + more)) <= oil_at(oil, Kelvin(at))


@given(st.lists(st.tuples(floats(0.001, 1), floats(700, 1100)), min_size=1, max_size=5))
def test_a_mix_lies_between_its_parts_and_volumes_add_up(parts: list[tuple[float, float]]) -> None:
    """Mass over the sum of the volumes."""
    rho = mix([(Fraction1(w), Density(r)) for w, r in parts])
    assert min(r for _, r in parts) * 0.999999 <= rho <= max(r for _, r in parts) * 1.000001
    assert sum(w / r for w, r in parts) * rho == pytest.approx(sum(w for w, _ in parts))
