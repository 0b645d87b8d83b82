"""The problem that every solver is given, and how its answer is judged.

A bare cylinder of wax (R 37.5 mm, H 77 mm, k 0.17, ρ 890, c 2000, 140 kJ/kg spread over
46–52 °C) at 65 °C in air of 22 °C, h = 10 W/(m² K) on every face, eight hours, 35 × 70
cells. The answer is the temperature in the middle every five minutes; it is judged by when
it passes the solidus, and by its root mean square distance from the reference.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

RADIUS, HEIGHT, COLUMNS, ROWS = 0.0375, 0.077, 35, 70  # [m], cells
K, RHO, C, LATENT = 0.17, 890.0, 2000.0, 140e3  # [W/(m K)], [kg/m³], [J/(kg K)], [J/kg]
SOLID, LIQUID = 46.0, 52.0  # [°C]
AIR, START, FILM = 22.0, 65.0, 10.0  # [°C], [°C], [W/(m² K)]
EVERY = 300.0  # [s]
TIMES: Array = EVERY * np.arange(1.0, 97.0)


def liquid(t: Array) -> Array:
    """Return the liquid share [1] at T [°C]."""
    return np.asarray(np.clip((t - SOLID) / (LIQUID - SOLID), 0.0, 1.0))


def solid_at(found: Array) -> float:
    """Return when the middle passes the solidus [s]."""
    after = int(np.argmax(found < SOLID))
    share = (found[after - 1] - SOLID) / (found[after - 1] - found[after])
    return float(TIMES[after - 1] + share * EVERY)


@dataclass(frozen=True)
class Error:
    """How far an answer is from the reference: time to set [1], temperature [K]."""

    late: float
    off: float


def error(found: Array, reference: Array) -> Error:
    """Return the errors of an answer."""
    return Error(
        solid_at(found) / solid_at(reference) - 1.0,
        float(np.sqrt(np.mean((found - reference) ** 2))),
    )
