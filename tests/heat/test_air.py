"""Air and the correlations, against the libraries and handbooks they come from."""

from __future__ import annotations

from collections.abc import Callable

import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from rushlight.heat import air

ROOM = 295.15  # 22 °C


@pytest.mark.parametrize("kelvin", [273.15, 293.15, 313.15, 333.15, 353.15])
def test_air_lies_within_one_per_cent_of_the_reference_equations(kelvin: float) -> None:
    """The Standard Atmosphere fits agree with CoolProp (Lemmon 2000/2004) at bench temperatures."""
    for value, key in (
        (air.density(kelvin), "D"),
        (air.viscosity(kelvin), "V"),
        (air.conductivity(kelvin), "L"),
        (air.AIR_HEAT_CAPACITY, "C"),
    ):
        assert value == pytest.approx(PropsSI(key, "T", kelvin, "P", air.PRESSURE, "Air"), rel=0.01)
    reference = PropsSI("PRANDTL", "T", kelvin, "P", air.PRESSURE, "Air")
    assert air.prandtl(kelvin) == pytest.approx(reference, rel=0.02)


def test_vertical_plate_reproduces_the_textbook_example() -> None:
    """Nu(Pr 0.69, Gr 2.63e9) = 147.1619: Bergman et al., Introduction to Heat Transfer, ex. 9.2."""
    assert air.nusselt_vertical_plate(2.63e9, 0.69) == pytest.approx(147.1619, abs=1e-4)


@given(st.floats(1e3, 1e12), st.floats(0.1, 10.0), st.floats(0.1, 5.0))
def test_correlations_are_those_of_ht(gr: float, pr: float, slenderness: float) -> None:
    """Plate, cylinder and horizontal plate equal the general library `ht` to 1e-9."""
    plate = air.nusselt_vertical_plate(gr, pr)
    assert plate == pytest.approx(ht.Nu_vertical_plate_Churchill(pr, gr), rel=1e-9)
    cylinder = ht.Nu_vertical_cylinder_Popiel_Churchill(pr, gr, slenderness, 1.0)
    assert plate * air.cylinder_factor(gr, pr, slenderness) == pytest.approx(cylinder, rel=1e-9)
    up = ht.Nu_horizontal_plate_McAdams(pr, gr, buoyancy=True)
    assert air.nusselt_plate_stirring(gr * pr) == pytest.approx(up, rel=1e-9)
    if gr * pr <= 1e10:  # above it `ht` turns to another branch, beyond any jar or pitcher
        down = ht.Nu_horizontal_plate_McAdams(pr, gr, buoyancy=False)
        assert air.nusselt_plate_stagnant(gr * pr) == pytest.approx(down, rel=1e-9)


# Air at 22 °C beside a wall 90 mm high, 80 mm across, computed independently
# with ht 1.2 and CoolProp 8: plate, cylinder, radiation (ε 0.9), top, base [W/(m² K)].
JAR_SIDE = [
    (30.0, 4.14, 4.44, 5.47, 6.27, 3.13),
    (50.0, 5.70, 6.02, 6.04, 8.48, 4.24),
    (80.0, 6.81, 7.15, 7.01, 10.03, 5.01),
]


@pytest.mark.parametrize(("celsius", "plate", "cylinder", "radiant", "top", "base"), JAR_SIDE)
def test_jar_coefficients_agree_with_an_independent_computation(  # noqa: PLR0913, PLR0917
    celsius: float, plate: float, cylinder: float, radiant: float, top: float, base: float
) -> None:
    """The coefficients differ only by the air fit, under 1 %."""
    wall = celsius + 273.15
    assert air.wall_coefficient(wall, ROOM, 0.09) == pytest.approx(plate, rel=0.01)
    assert air.side_coefficient(wall, ROOM, 0.09, 0.08) == pytest.approx(cylinder, rel=0.01)
    assert air.radiation_coefficient(wall, ROOM, 0.9) == pytest.approx(radiant, abs=0.01)
    assert air.top_coefficient(wall, ROOM, 0.08) == pytest.approx(top, rel=0.01)
    assert air.base_coefficient(wall, ROOM, 0.08) == pytest.approx(base, rel=0.01)


def test_radiation_of_a_person_is_98_7_watts() -> None:
    """ε 0.97, 1.5 m², 33 °C in 22 °C: OpenStax College Physics §14.7 says about 99 W."""
    skin, room = 306.15, 295.15
    q_rad: Callable[..., float] = ht.q_rad  # its annotations say int
    watts = 1.5 * air.radiation_coefficient(skin, room, 0.97) * (skin - room)
    assert watts == pytest.approx(98.7, abs=0.05)
    # `ht` carries the constant of CODATA 2014, 1.4e-6 lower
    assert watts == pytest.approx(1.5 * q_rad(0.97, skin, room), rel=2e-6)


@given(st.floats(250.0, 400.0))
def test_arrays_and_floats_give_the_same(kelvin: float) -> None:
    """The functions take NumPy arrays as they take floats."""
    pair, still = np.array([kelvin, 350.0]), np.array([ROOM, ROOM])
    both = air.side_coefficient(pair, still, 0.1, 0.08) + air.top_coefficient(pair, still, 0.1)
    one = air.side_coefficient(kelvin, ROOM, 0.1, 0.08) + air.top_coefficient(kelvin, ROOM, 0.1)
    assert both[0] == pytest.approx(one, rel=1e-12)


@given(st.floats(-80.0, 120.0))
def test_coefficients_stay_finite_and_positive_at_any_step(step: float) -> None:
    """No step of temperature, zero included, gives a coefficient that is not one."""
    for h in (
        air.wall_coefficient(ROOM + step, ROOM, 0.1),
        air.side_coefficient(ROOM + step, ROOM, 0.1, 0.08),
        air.top_coefficient(ROOM + step, ROOM, 0.08),
        air.base_coefficient(ROOM + step, ROOM, 0.08),
    ):
        assert 0.0 < h < 50.0


def test_a_warm_top_stirs_the_air_and_a_cold_one_does_not() -> None:
    """Facing up, warm convects twice as well as cold (0.54 against 0.27); facing down, reversed."""
    warm, cold = (
        air.top_coefficient(ROOM + 20, ROOM, 0.1),
        air.top_coefficient(ROOM - 20, ROOM, 0.1),
    )
    assert warm > 1.5 * cold
    assert air.base_coefficient(ROOM - 20, ROOM, 0.1) == pytest.approx(2 * cold, rel=1e-9)
