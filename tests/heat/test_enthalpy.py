"""The enthalpy curve of a wax."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.heat.enthalpy import COLDEST, ZERO, Transition, curve, specific_volume
from rushlight.heat.waxes import PARAFFIN, SOY, WAXES, thermal

waxes = st.sampled_from(sorted(WAXES))


@given(waxes, st.floats(COLDEST, ZERO + 200))
def test_temperature_is_the_inverse_of_enthalpy(name: str, t: float) -> None:
    """T(h(T)) = T for every wax, through all its transitions."""
    line = curve(WAXES[name])
    assert float(line.temperature(line.enthalpy(t))) == pytest.approx(t, abs=1e-8)


@given(waxes, st.floats(0, 5e5), st.floats(1, 1e5))
def test_temperature_and_potential_rise_with_enthalpy(name: str, h: float, more: float) -> None:
    """A wax given heat is nowhere colder, and conducts towards the colder side."""
    line = curve(WAXES[name], mixing=4.0)
    assert line.temperature(h + more) >= line.temperature(h)
    assert line.potential(h + more) >= line.potential(h)
    assert 0.0 <= line.liquid_fraction(h) <= line.liquid_fraction(h + more) <= 1.0


@pytest.mark.parametrize("name", WAXES)
def test_melting_takes_the_latent_heat_and_the_sensible_heat(name: str) -> None:
    """From below all transitions to above: latent heat plus cp between solid and liquid."""
    wax = WAXES[name]
    line = curve(wax)
    low, high = wax.transitions[0].start - 1, wax.transitions[-1].end + 1
    taken = float(line.enthalpy(high) - line.enthalpy(low))
    assert taken >= wax.latent + min(wax.heat_solid, wax.heat_liquid) * (high - low) * 0.999
    assert taken <= wax.latent + max(wax.heat_solid, wax.heat_liquid) * (high - low) * 1.001


def test_potential_is_the_integral_of_conductivity() -> None:
    """θ between two temperatures of solid wax is k ΔT; mixing multiplies only the liquid."""
    line, mixed = curve(SOY), curve(SOY, mixing=4.0)
    cold = line.potential(line.enthalpy(300.0)) - line.potential(line.enthalpy(290.0))
    assert float(cold) == pytest.approx(10 * SOY.conduct_solid)
    hot = mixed.potential(mixed.enthalpy(350.0)) - mixed.potential(mixed.enthalpy(340.0))
    assert float(hot) == pytest.approx(40 * SOY.conduct_liquid)
    assert float(mixed.conductivity(mixed.enthalpy(300.0))) == pytest.approx(SOY.conduct_solid)


def test_a_sharp_melting_point_is_flat() -> None:
    """Where solidus and liquidus are one, T stands still while h rises by the latent heat."""
    sharp = replace(SOY, transitions=(Transition(ZERO + 50, ZERO + 50, 1e5),))
    line = curve(sharp)
    solid = float(line.enthalpy(ZERO + 50, molten=0.0))
    assert float(line.enthalpy(ZERO + 50, molten=1.0)) - solid == pytest.approx(1e5)
    assert float(line.temperature(solid + 4e4)) == pytest.approx(ZERO + 50)
    assert float(line.liquid_fraction(solid + 4e4)) == pytest.approx(0.4)


def test_impossible_waxes_are_refused_with_every_reason() -> None:
    """Solidus above liquidus, no density, too much shrinkage: three problems at once."""
    odd = replace(
        SOY,
        transitions=(Transition(ZERO + 60, ZERO + 50, 1e5),),
        density_liquid=0.0,
        shrink=0.9,
    )
    with pytest.raises(BadInput) as refused:
        curve(odd)
    places = [p.place for p in refused.value.problems]
    assert places == ["wax.density_liquid", "wax.shrink", "wax.transitions.0"]


def test_overlapping_transitions_are_refused() -> None:
    """Two transitions may not share a range, nor their liquid exceed the wax."""
    odd = replace(SOY, transitions=(Transition(300, 320, 1e5), Transition(310, 330, 1e5)))
    with pytest.raises(BadInput) as refused:
        curve(odd)
    assert len(refused.value.problems) == 2


def test_paraffin_shrinks_by_an_eighth() -> None:
    """770/880: 12.5 % from 70 °C to 20 °C; source: slPCMlib RT60 record."""
    line = curve(PARAFFIN)
    v = specific_volume(PARAFFIN, line, line.enthalpy(np.array([ZERO + 20, ZERO + 70])))
    assert v[0] / v[1] == pytest.approx(1 - 0.125)


def test_a_kind_is_found_by_its_word() -> None:
    """A "soy container" is a soy; an unknown kind is refused with the known ones."""
    assert thermal("soy container") is SOY
    assert thermal("Paraffin, soft") is PARAFFIN
    with pytest.raises(BadInput, match="paraffin, soy"):
        thermal("cheese")
