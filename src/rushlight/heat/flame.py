"""The flame of a wick: how tall, how strong, and where its heat goes.

Only a tenth of a flame's heat reaches the wax. Three ways are modelled: radiation
from a point half way up, hot gas under the flame, close about the wick, and what the
wick conducts down against the wax that rises in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import expm1

from rushlight.heat.columns import Flame

GRAMS_PER_HOUR = 1e-3 / 3600.0  # [kg/s]
TALL, BASE = 6.06e-3, 1.8e-3
"""Flame height is 6.06 mm per g/h + 1.8 mm: fit (R² 0.995) to a wick rating chart of 14
wicks in paraffin of 60 °C; Hamins, Bundy & Dillon, J. Fire Prot. Eng. 15:265 (2005),
about 42 mm at 6.3 g/h (from memory), agrees."""
PARAFFIN_HEAT = 43.5e6  # net heat of combustion the chart's wax had [J/kg]
"""Dotriacontane, net (CalebBell chemicals)."""
RADIATED = 0.17  # share of the power radiated [1]; Hamins et al. 2005, 0.17–0.18, from memory
WAX_ABSORBS = 0.9  # from memory
WALL_ABSORBS = 0.4  # soot glows near 1.7 µm, where glass is half clear; own judgement
FOOT = 0.005  # radius of the flame's foot [m]; own judgement
BENEATH = 1.6
"""[W] from hot gas under the flame: air at 1100 K, 0.07 W/(m K), over 5 mm of gap and the
foot's area gives 1.1–1.7 W; estimated, from memory, and not fitted."""
GAS = 0.10  # share of the power that hot gas gives to a diameter's depth of wall; own judgement

STANDS = 0.00635  # wick above the pool [m]: 1/4 in, common practice
BOILS, AT_FOOT = 620.0, 365.0
"""Wick where the wax boils off it and at its foot in the pool [K]: about 350 °C, and 80 to
110 °C near the wick, from memory."""
FIBRE = 0.2 * 4.9e-6
"""Conductivity × cross-section [W m/K] of a fibre wick full of wax, 2.5 mm across: from memory."""
CORE = 116.0 * 2.8e-7
"""The same of a metal core: zinc, 116 W/(m K) (Incropera, Fundamentals of Heat Transfer,
table A.1), as a wire 0.6 mm thick (from memory)."""
METALS = ("metal", "zinc", "tin")


@dataclass(frozen=True, slots=True)
class Sight:
    """A flame as seen: height [m] above the pool and power [W]."""

    height: float
    power: float


def sight(rate: float, burning_heat: float) -> Sight:
    """Return height and power of a flame that burns `rate` [kg/s] of `burning_heat` [J/kg].

    Height follows the power, as for paraffin: a jet flame's length goes with its fuel.
    """
    power = rate * burning_heat
    like = power / PARAFFIN_HEAT / GRAMS_PER_HOUR
    return Sight(TALL * like + BASE if rate > 0 else 0.0, power)


def conducted(rate: float, heat: float, core: str) -> float:
    """Return the heat [W] that a wick conducts down into the pool.

    Q = ṁ c ΔT / (exp(ṁ c ℓ / kA) − 1): steady conduction against a flow, with both ends
    held (Patankar, Numerical Heat Transfer and Fluid Flow, 1980, § 5.2, from memory).
    rate [kg/s] of wax that rises; heat: its heat capacity [J/(kg K)]; core: what the
    wick's core is made of. A fibre wick conducts nothing to speak of, a metal core about
    1 W; the flame's heat on its side, which would add to it, is left to the spread.
    """
    if rate <= 0:
        return 0.0
    path = FIBRE + (CORE if any(word in core.casefold() for word in METALS) else 0.0)
    carried = rate * heat
    return carried * (BOILS - AT_FOOT) / expm1(min(carried * STANDS / path, 300.0))


def flame(
    rate: float,
    burning_heat: float,
    *,
    beneath: float = 1.0,
    radiated: float = 1.0,
    conducted: float = 0.0,
) -> Flame:
    """Return the flame for the kernel; `beneath`, `radiated` [1] are factors of doubt.

    conducted [W]: heat down the wick, which reaches the pool where the hot gas does.
    """
    seen = sight(rate, burning_heat)
    return Flame(
        rate=rate,
        radiated=radiated * RADIATED * seen.power,
        centre=0.5 * seen.height,
        beneath=beneath * BENEATH + conducted,
        foot=FOOT,
        gas=GAS * seen.power,
        wax=WAX_ABSORBS,
        wall=WALL_ABSORBS,
    )


OUT = Flame(0.0, 0.0, 0.01, 0.0, FOOT, 0.0, WAX_ABSORBS, WALL_ABSORBS)
"""No flame: the candle cools."""
