"""The pitcher on the bench: how it cools, when to pour, how long the wax takes to melt.

The model: wax and pitcher at one temperature, C dT/dt = −k q(T), where q is
natural convection and radiation from the side and the open top to a still
room, and k a loss factor (1 until readings say otherwise). Valid while the wax
is liquid throughout and the pitcher stands still.

- `cool`: temperatures at given times
- `forecast`: when the pour window opens and closes, from the readings so far
- `melt_time`: from a melter's watts
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from rushlight.errors import Problems
from rushlight.heat.pot_body import Pot, Temperatures, fill_height, note_problems, note_room
from rushlight.heat.pot_curve import pot_curve
from rushlight.heat.pot_fit import Doubt
from rushlight.heat.pot_forecast import forecast
from rushlight.heat.pot_melt import MeltTime, melt_time
from rushlight.heat.pot_readings import COLDEST_WAX, HOTTEST_WAX, Reading
from rushlight.heat.pot_result import PotForecast, PotState
from rushlight.quantity.si import Kelvin

__all__ = [
    "Doubt",
    "MeltTime",
    "Pot",
    "PotForecast",
    "PotState",
    "Reading",
    "cool",
    "fill_height",
    "forecast",
    "melt_time",
]


def cool(
    pot: Pot, *, start: Kelvin, room: Kelvin, times: ArrayLike, loss_factor: float = 1.0
) -> Temperatures:
    """Return the temperature of the wax [K] at times [s], counted from `start` at 0 s.

    start, room [K]; loss_factor [1] multiplies the loss. Raises BadInput.

    >>> from rushlight.quantity.si import Kilogram, Metre
    >>> pot = Pot(wax_mass=Kilogram(1.5), pitcher_mass=Kilogram(0.2),
    ...           diameter=Metre(0.14), fill_height=Metre(0.13))
    >>> after = cool(pot, start=Kelvin(358.15), room=Kelvin(295.15), times=[600.0, 1800.0])
    >>> [round(float(t) - 273.15, 1) for t in after]
    [78.3, 67.3]
    """
    at = np.asarray(times, dtype=np.float64)
    problems = Problems()
    note_problems(pot, problems)
    note_room(room, problems)
    if not COLDEST_WAX <= start <= HOTTEST_WAX:
        problems.add("start", "No wax starts from there.", "Give a temperature from −5 to 150 °C.")
    if not np.all(at >= 0.0):
        problems.add("times", "A time lies before the start.", "Give times from 0 s on.")
    if not 0.01 <= loss_factor <= 100.0:  # noqa: PLR2004 a hundredfold either way
        problems.add(
            "loss_factor", f"{loss_factor:g} is no loss factor.", "Give one near 1, at least 0.01."
        )
    problems.check()
    if start == room:
        return np.full_like(at, start)
    return pot_curve(pot, room=room, start=start).temperature_at(loss_factor * at)
