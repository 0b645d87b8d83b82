"""The flame of a wick: how tall, how strong, and where its heat goes.

Only a tenth of a flame's heat reaches the wax. Two ways are modelled: radiation
from a point half way up, and hot gas under the flame, close about the wick.
"""

from __future__ import annotations

from dataclasses import dataclass

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


def flame(
    rate: float, burning_heat: float, *, beneath: float = 1.0, radiated: float = 1.0
) -> Flame:
    """Return the flame for the kernel; `beneath`, `radiated` [1] are factors of doubt."""
    seen = sight(rate, burning_heat)
    return Flame(
        rate=rate,
        radiated=radiated * RADIATED * seen.power,
        centre=0.5 * seen.height,
        beneath=beneath * BENEATH,
        foot=FOOT,
        gas=GAS * seen.power,
        wax=WAX_ABSORBS,
        wall=WALL_ABSORBS,
    )


OUT = Flame(0.0, 0.0, 0.01, 0.0, FOOT, 0.0, WAX_ABSORBS, WALL_ABSORBS)
"""No flame: the candle cools."""
