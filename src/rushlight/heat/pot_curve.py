"""One lump cooling towards the room: a single curve that serves every start.

The rate depends on temperature alone, C dT/dt = −k q(T), so all histories lie
on one curve of temperature against k·t; another start is another place on it,
another loss factor k another scale of time. The curve is a quadrature, not a
time-stepping: in u = ln|T − room| the integrand C (T − room)/q is smooth down
to the room itself.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from rushlight.heat.pot_body import Pot, Temperatures, loss

_NEAREST = 0.02
"""[K] How near to the room the curve is followed."""


@dataclass(frozen=True, slots=True, eq=False)
class CoolingCurve:
    """Temperature against time at a loss factor of one.

    time [s] from the start of the curve; gap = −ln|T − room|, rising; side is
    +1 for a lump warmer than the room, −1 for a colder one.
    """

    room: float
    side: float
    time: Temperatures
    gap: Temperatures

    def time_at(self, temperature: ArrayLike) -> Temperatures:
        """Return when the curve passes a temperature [K]: [s]; inf for one it never reaches.

        A temperature beyond the start gives the start, 0 s.
        """
        above = (np.asarray(temperature, dtype=np.float64) - self.room) * self.side
        reached = above > _NEAREST
        gap = -np.log(np.where(reached, above, 1.0))
        return np.where(reached, np.interp(gap, self.gap, self.time), np.inf)

    def temperature_at(self, time: ArrayLike) -> Temperatures:
        """Return the temperature [K] at times on the curve [s]."""
        gap = np.interp(np.asarray(time, dtype=np.float64), self.time, self.gap)
        return self.room + self.side * np.exp(-gap)


def follow(
    rate: Callable[[Temperatures], Temperatures], *, room: float, start: float, nodes: int = 400
) -> CoolingCurve:
    """Return the curve of a lump that cools from `start` towards `room`.

    rate: −dT/dt as a function of temperature [K] → [K/s], of the sign of T − room.
    start, room [K], different. Second order in 1/nodes (trapezium rule);
    400 nodes hold a pitcher's hours within 0.1 s.
    """
    side = 1.0 if start > room else -1.0
    gap = np.linspace(-np.log(max(abs(start - room), 2 * _NEAREST)), -np.log(_NEAREST), nodes)
    offset = side * np.exp(-gap)
    pace = offset / rate(room + offset)
    steps = 0.5 * (pace[1:] + pace[:-1]) * np.diff(gap)
    return CoolingCurve(room, side, np.concatenate(([0.0], np.cumsum(steps))), gap)


def pot_curve(pot: Pot, *, room: float, start: float, nodes: int = 400) -> CoolingCurve:
    """Return the cooling curve of a pitcher at a loss factor of one. start, room [K]."""

    def rate(temperature: Temperatures) -> Temperatures:
        return loss(pot, temperature, room) / pot.heat_capacity

    return follow(rate, room=room, start=start, nodes=nodes)
