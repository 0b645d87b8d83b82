"""How a warm surface loses heat to still room air: air itself, convection, radiation.

Every function is plain arithmetic without a branch, so that it takes floats
and NumPy arrays alike; numba compiles each formula that calls no other.

Sources
-------
Air: *U.S. Standard Atmosphere, 1976* (NOAA-S/T 76-1562): gas constant and
molar mass (table 2), dynamic viscosity (eq. 51), thermal conductivity
(eq. 53); equation numbers and coefficients as remembered, held by the tests to
within 1 % of CoolProp's equations of state at 0–80 °C (Prandtl number 2 %).

Correlations: Churchill & Chu, *Int. J. Heat Mass Transfer* 18 (1975)
1323–1329; Popiel, Wojtkowiak & Bober, *Exp. Thermal Fluid Sci.* 32 (2007)
607–613; McAdams, *Heat Transmission*, 3rd ed. (1954).

A correlation is not a measurement: take ±20 % on a side wall and ±40 % on a
small wax top, which is at the edge of McAdams's range.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Real = TypeVar("Real", float, NDArray[np.float64])

STEFAN_BOLTZMANN = 5.670374419e-8
"""[W/(m² K⁴)], exact since the 2019 SI (CODATA 2018)."""
GRAVITY = 9.80665
"""[m/s²], standard gravity (3rd CGPM, 1901)."""
PRESSURE = 101_325.0
"""[Pa], one standard atmosphere."""
AIR_GAS_CONSTANT = 8314.32 / 28.9644
"""[J/(kg K)], U.S. Standard Atmosphere, 1976."""
AIR_HEAT_CAPACITY = 3.5 * AIR_GAS_CONSTANT
"""[J/(kg K)] at constant pressure: 1004.7, the ideal diatomic gas of the same source."""

_STILL = 0.01
"""[K] Smallest difference of temperature a correlation sees: below it the
coefficient is held, since no room is stiller than that."""
_TURNS_TURBULENT = 1e7
"""[1] Rayleigh number where McAdams's plate correlation changes branch."""


def density(temperature: Real) -> Real:
    """Return the density of dry air [kg/m³] at `temperature` [K] and one atmosphere."""
    return PRESSURE / (AIR_GAS_CONSTANT * temperature)


def viscosity(temperature: Real) -> Real:
    """Return the dynamic viscosity of air [Pa s] at `temperature` [K] (Sutherland's law)."""
    mu: Real = 1.458e-6 * temperature**1.5 / (temperature + 110.4)
    return mu


def conductivity(temperature: Real) -> Real:
    """Return the thermal conductivity of air [W/(m K)] at `temperature` [K]."""
    k: Real = 2.64638e-3 * temperature**1.5 / (temperature + 245.4 * 10.0 ** (-12.0 / temperature))
    return k


def prandtl(temperature: Real) -> Real:
    """Return the Prandtl number of air [1] at `temperature` [K]."""
    return viscosity(temperature) * AIR_HEAT_CAPACITY / conductivity(temperature)


def grashof(surface: Real, air: Real, length: float) -> Real:
    """Return the Grashof number [1] of a surface in air, properties at the film temperature.

    Gr = g β |ΔT| L³ / ν², β = 1/T of an ideal gas.
    surface, air: temperatures [K]; length: characteristic length [m].
    """
    film = 0.5 * (surface + air)
    step = ((surface - air) ** 2 + _STILL**2) ** 0.5
    kinematic = viscosity(film) / density(film)
    gr: Real = GRAVITY * step * length**3 / (film * kinematic**2)
    return gr


def nusselt_vertical_plate(gr: Real, pr: Real) -> Real:
    """Return the mean Nusselt number [1] of a vertical plate, laminar to turbulent.

    Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}².
    Range: Ra ≤ 1e12. Source: Churchill & Chu (1975), eq. 9.
    """
    ra = gr * pr
    spread = (1.0 + (0.492 / pr) ** 0.5625) ** (8.0 / 27.0)
    nu: Real = (0.825 + 0.387 * ra ** (1.0 / 6.0) / spread) ** 2
    return nu


def cylinder_factor(gr: Real, pr: Real, slenderness: float) -> Real:
    """Return how much better a vertical cylinder convects than a plate of its height [1].

    1 + B [√32 Gr^(−1/4) L/D]^C, Gr by height; slenderness = L/D [1].
    Range: 0.01 < Pr < 100. Source: Popiel, Wojtkowiak & Bober (2007).
    """
    b = 0.0571322 + 0.20305 * pr**-0.43
    c = 0.9165 - 0.0043 * pr**0.5 + 0.01333 * np.log(pr) + 0.0004809 / pr
    factor: Real = 1.0 + b * (32.0**0.5 * gr**-0.25 * slenderness) ** c
    return factor


def nusselt_plate_stirring(ra: Real) -> Real:
    """Return the mean Nusselt number [1] of a warm plate facing up, or a cold one facing down.

    0.54 Ra^(1/4) up to Ra = 1e7, 0.15 Ra^(1/3) above; length = area/perimeter.
    Range: 1e4 ≤ Ra ≤ 1e11. Source: McAdams (1954).
    """
    laminar = ra <= _TURNS_TURBULENT
    nu: Real = 0.54 * ra**0.25 * laminar + 0.15 * ra ** (1.0 / 3.0) * (1.0 - laminar)
    return nu


def nusselt_plate_stagnant(ra: Real) -> Real:
    """Return the mean Nusselt number [1] of a warm plate facing down, or a cold one facing up.

    0.27 Ra^(1/4); length = area/perimeter.
    Range: 1e5 ≤ Ra ≤ 1e10. Source: McAdams (1954).
    """
    nu: Real = 0.27 * ra**0.25
    return nu


def side_coefficient(surface: Real, air: Real, height: float, diameter: float) -> Real:
    """Return the convection coefficient [W/(m² K)] of the side of an upright cylinder.

    surface, air: temperatures [K]; height, diameter: [m].
    """
    film = 0.5 * (surface + air)
    gr, pr = grashof(surface, air, height), prandtl(film)
    nu = nusselt_vertical_plate(gr, pr) * cylinder_factor(gr, pr, height / diameter)
    return nu * conductivity(film) / height


def wall_coefficient(surface: Real, air: Real, height: float) -> Real:
    """Return the convection coefficient [W/(m² K)] of a flat upright wall.

    surface, air: temperatures [K]; height: [m].
    """
    film = 0.5 * (surface + air)
    nu = nusselt_vertical_plate(grashof(surface, air, height), prandtl(film))
    return nu * conductivity(film) / height


def top_coefficient(surface: Real, air: Real, diameter: float) -> Real:
    """Return the convection coefficient [W/(m² K)] of a round surface facing up.

    Warmer than the air it stirs it; colder, the air lies still on it.
    surface, air: temperatures [K]; diameter: [m]. Length = diameter/4.
    """
    film, length = 0.5 * (surface + air), diameter / 4.0
    ra = grashof(surface, air, length) * prandtl(film)
    warm = surface >= air
    nu = nusselt_plate_stirring(ra) * warm + nusselt_plate_stagnant(ra) * (1.0 - warm)
    return nu * conductivity(film) / length


def base_coefficient(surface: Real, air: Real, diameter: float) -> Real:
    """Return the convection coefficient [W/(m² K)] of a round surface facing down.

    surface, air: temperatures [K]; diameter: [m]. Length = diameter/4.
    """
    film, length = 0.5 * (surface + air), diameter / 4.0
    ra = grashof(surface, air, length) * prandtl(film)
    warm = surface >= air
    nu = nusselt_plate_stagnant(ra) * warm + nusselt_plate_stirring(ra) * (1.0 - warm)
    return nu * conductivity(film) / length


def radiation_coefficient(surface: Real, surroundings: Real, emissivity: float) -> Real:
    """Return the radiation coefficient [W/(m² K)]: ε σ (T² + T₀²)(T + T₀).

    Times the area and (T − T₀) it gives the exact exchange with large
    surroundings. surface, surroundings: [K]; emissivity: [1].
    """
    return emissivity * STEFAN_BOLTZMANN * (surface**2 + surroundings**2) * (surface + surroundings)
