"""What a forecast says of a pitcher, and how it is read off the fitted pitcher.

Every spread is a half-width meant to hold nine times in ten, given the doubts
of `rushlight.heat.pot_fit.Doubt`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from rushlight.candle.parts import Window
from rushlight.heat.pot_body import Temperatures, loss
from rushlight.heat.pot_fit import Fit
from rushlight.heat.pot_readings import Reading
from rushlight.quantity.si import Kelvin, KelvinStep, Second

NINE_IN_TEN = 1.6449
"""Standard deviations either side that hold 90 % of a normal distribution."""

_POINTS = 121
_LONGEST, _SHORTEST = 48 * 3600.0, 1800.0  # [s] of plot


class PotState(StrEnum):
    """Where the wax stood at the last reading."""

    ABOVE = "above the window"
    OPEN = "in the window"
    MISSED = "below the window"
    NEVER = "will not cool into the window"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PotForecast:
    """The forecast of one pitcher.

    opens, closes [s] on the clock of the readings, or None: for a window that
    was missed, is never reached, or is so near the room that no time can be
    named. If the wax was in the window at the first reading used, it opens
    then. spread_* are half-widths that hold nine times in ten. temperature [K]
    is the best estimate at the last reading, rate [K/min] its fall then.
    loss_factor [1]: how much faster this pitcher cools than the plain one of
    the correlations. first_used is the index of the first reading that
    counted, used how many did. times [s], temps, low, high [K]: the curve and
    its band, for a plot.
    """

    state: PotState
    opens: Second | None
    spread_opens: Second | None
    closes: Second | None
    spread_closes: Second | None
    temperature: Kelvin
    spread_temperature: KelvinStep
    rate: float
    loss_factor: float
    spread_loss_factor: float
    room: Kelvin
    spread_room: KelvinStep
    first_used: int
    used: int
    notes: tuple[str, ...]
    times: Temperatures
    temps: Temperatures
    low: Temperatures
    high: Temperatures


def read_off(
    fitted: Fit, readings: Sequence[Reading], *, first: int, window: Window, notes: tuple[str, ...]
) -> PotForecast:
    """Return the forecast of a fitted pitcher; readings[first:] are those it was fitted to."""
    origin, last = readings[first].at, readings[-1].at
    doubt = NINE_IN_TEN * np.sqrt(np.diag(fitted.covariance))
    opens = closes = None
    if fitted.start > window.low:
        opens = _edge(fitted, window.high, near=float(doubt[2]))
        closes = _edge(fitted, window.low, near=float(doubt[2]))
    now, spread = _curve(fitted, np.array([last - origin]))
    state = _state(float(now[0]), window, reaches=opens is not None)
    length = (closes or opens or (7200.0, 0.0))[0]
    times = np.linspace(0.0, min(max(1.25 * length, last - origin, _SHORTEST), _LONGEST), _POINTS)
    temps, band = _curve(fitted, times)
    fall = fitted.loss_factor * loss(fitted.pot, now, fitted.room) / fitted.pot.heat_capacity
    return PotForecast(
        state=state,
        opens=None if opens is None else Second(origin + opens[0]),
        spread_opens=None if opens is None else Second(opens[1]),
        closes=None if closes is None else Second(origin + closes[0]),
        spread_closes=None if closes is None else Second(closes[1]),
        temperature=Kelvin(float(now[0])),
        spread_temperature=KelvinStep(float(spread[0])),
        rate=60.0 * float(fall[0]),
        loss_factor=fitted.loss_factor,
        spread_loss_factor=fitted.loss_factor * float(doubt[0]),
        room=Kelvin(fitted.room),
        spread_room=KelvinStep(float(doubt[2])),
        first_used=first,
        used=len(readings) - first,
        notes=notes + _advice(state, opens, closes),
        times=origin + times,
        temps=temps,
        low=temps - band,
        high=temps + band,
    )


def _edge(fitted: Fit, edge: float, *, near: float) -> tuple[float, float] | None:
    """Return when an edge of the window is passed and the half-width of that [s]."""
    if edge - fitted.room <= near:
        return None
    time, deviation = fitted.when(edge)
    return (time, NINE_IN_TEN * deviation) if time > 0.0 else (0.0, 0.0)


def _curve(fitted: Fit, since: Temperatures) -> tuple[Temperatures, Temperatures]:
    """Return temperatures and the half-widths of their band [K]."""
    slopes = fitted.slopes(since)
    variance = np.einsum("ij,jk,ik->i", slopes, fitted.covariance, slopes)
    return fitted.temperature(since), NINE_IN_TEN * np.sqrt(variance)


def _state(now: float, window: Window, *, reaches: bool) -> PotState:
    if now <= window.low:
        return PotState.MISSED
    if now <= window.high:
        return PotState.OPEN
    return PotState.ABOVE if reaches else PotState.NEVER


def _advice(
    state: PotState, opens: tuple[float, float] | None, closes: tuple[float, float] | None
) -> tuple[str, ...]:
    if state is PotState.MISSED:
        return ("The wax is below the window: warm it to above it, then read again.",)
    if state is PotState.NEVER:
        return ("The room is too warm for this window: the wax will not cool into it.",)
    if closes is None:
        return ("The room is so near the window that no closing time can be named.",)
    open_for = closes[0] - (opens[0] if opens else 0.0)
    if math.hypot(closes[1], opens[1] if opens else 0.0) > open_for:
        return ("The times are less sure than the window is long: read the thermometer again.",)
    return ()
