"""Fit the pitcher's own loss, start and room to the readings, with what is known beforehand.

Three unknowns: ln k (loss factor), T₀ (true temperature at the first reading
used) and T_room. What is known beforehand enters as if it were a reading of
its own; the best values follow by Gauss–Newton and their spread from the same
linearised normal equations (a textbook Bayesian estimate with normal errors).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rushlight.errors import SolverError
from rushlight.heat.pot_body import Pot, Temperatures, loss
from rushlight.heat.pot_curve import CoolingCurve, pot_curve

_ROOM_STEP = 0.25  # [K] for the derivative by the room temperature
_CLEARANCE = 1.0  # [K] the fitted room stays this far below the coldest reading
_INDISTINCT = 0.5  # [K] no thermometer at the bench tells wax from the room nearer than this
_MARGIN = 5.0  # [K] the curve reaches beyond the start, so that the fit may move it
_NODES = 200  # hold the times of a pitcher within 0.4 s
_SETTLED = 1e-5  # [1] of the sum of squares: no better fit is worth looking for


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """How far each thing known beforehand may be off, as one standard deviation.

    thermometer [K]; loss_factor, of its logarithm [1]; room [K]; start [K],
    of a start temperature that was planned and not read. Engineering
    judgement: the correlations are good to about ±20 %, and bench, handle
    and draught add to that.
    """

    thermometer: float = 1.0
    loss_factor: float = 0.25
    room: float = 1.5
    start: float = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """The fitted pitcher: loss factor k [1], start [K], room [K], and what they are worth.

    covariance: 3 × 3 of (ln k, start, room). curve, and beside: the curve
    of a slightly warmer room, for derivatives.
    """

    pot: Pot
    loss_factor: float
    start: float
    room: float
    covariance: NDArray[np.float64]
    curve: CoolingCurve
    beside: CoolingCurve

    def temperature(self, since: Temperatures) -> Temperatures:
        """Return the wax temperature [K] at times since the first reading used [s]."""
        return _temperature(self.curve, self.start, self.loss_factor, since)

    def slopes(self, since: Temperatures) -> NDArray[np.float64]:
        """Return the derivatives of temperature by (ln k, start, room), one row a time."""
        now = self.temperature(since)
        fall = loss(self.pot, now, self.room) / self.pot.heat_capacity
        at_start = loss(self.pot, np.array([self.start]), self.room) / self.pot.heat_capacity
        warmer = _temperature(self.beside, self.start, self.loss_factor, since)
        return np.stack(
            (-self.loss_factor * since * fall, fall / at_start, (warmer - now) / _ROOM_STEP), axis=1
        )

    def when(self, temperature: float) -> tuple[float, float]:
        """Return when a temperature [K] is passed and the standard deviation of that [s].

        Counted from the first reading used; (inf, inf) for one never reached.
        """
        span = _span(self.curve, self.start, temperature)
        beside = _span(self.beside, self.start, temperature)
        if not math.isfinite(span + beside):
            return math.inf, math.inf
        k = self.loss_factor
        at_start = loss(self.pot, np.array([self.start]), self.room)[0] / self.pot.heat_capacity
        slope = np.array([-span / k, 1.0 / (k * at_start), (beside - span) / (k * _ROOM_STEP)])
        return span / k, math.sqrt(slope @ self.covariance @ slope)


def fit(pot: Pot, *, since: Temperatures, read: Temperatures, room: float, doubt: Doubt) -> Fit:
    """Return the pitcher that explains the readings best.

    since: times [s] from the first reading, rising from 0; read: temperatures
    [K], all at least 1 K above the room; room [K] as told.
    """
    ceiling = float(read.min()) - _CLEARANCE - _ROOM_STEP
    scale = np.array([doubt.loss_factor, doubt.room])

    def off(state: Fit) -> Temperatures:
        miss = (read - state.temperature(since)) / doubt.thermometer
        beforehand = np.array([-math.log(state.loss_factor), room - state.room]) / scale
        return np.concatenate((miss, beforehand))

    state = _at(pot, 1.0, float(read[0]), min(float(room), ceiling), float(read.max()))
    rest = off(state)
    for _ in range(40):
        rows = np.zeros((len(read) + 2, 3))
        rows[:-2] = state.slopes(since) / doubt.thermometer
        rows[-2, 0], rows[-1, 2] = 1.0 / scale
        covariance: Temperatures = np.asarray(np.linalg.inv(rows.T @ rows), dtype=np.float64)
        downhill = rows.T @ rest
        step = covariance @ downhill
        before = rest @ rest
        if step @ downhill < _SETTLED:
            return replace(state, covariance=covariance)
        for _ in range(12):  # shorten the step until it is no worse
            k = state.loss_factor * math.exp(float(step[0]))
            warm = min(state.room + float(step[2]), ceiling)
            start = max(state.start + float(step[1]), warm + _CLEARANCE)
            trial = _at(pot, k, start, warm, float(read.max()))
            trial_rest = off(trial)
            if trial_rest @ trial_rest <= rest @ rest:
                state, rest = trial, trial_rest
                break
            step *= 0.5
        if before - rest @ rest < _SETTLED:
            return replace(state, covariance=covariance)
    raise SolverError(
        "The readings could not be fitted to a cooling pitcher.",
        {"loss_factor": state.loss_factor, "start": state.start, "room": state.room},
    )


def unfitted(pot: Pot, *, start: float, room: float, doubt: Doubt) -> Fit:
    """Return the pitcher as known beforehand, for wax so near the room that it tells nothing.

    start, room [K]; wax less than 0.5 K from the room is taken to be 0.5 K above it.
    """
    if abs(start - room) < _INDISTINCT:
        start = room + _INDISTINCT
    known = np.diag([doubt.loss_factor**2, doubt.thermometer**2, doubt.room**2])
    return replace(_at(pot, 1.0, start, room, start), covariance=known)


def _at(pot: Pot, k: float, start: float, room: float, farthest: float) -> Fit:
    """Return the model at given values of the unknowns, the covariance not yet known."""
    beyond = max(farthest, start) + _MARGIN if start > room else start - _MARGIN
    curve = pot_curve(pot, room=room, start=beyond, nodes=_NODES)
    beside = pot_curve(pot, room=room + _ROOM_STEP, start=beyond, nodes=_NODES)
    return Fit(pot, k, start, room, np.zeros((3, 3)), curve, beside)


def _temperature(curve: CoolingCurve, start: float, k: float, since: Temperatures) -> Temperatures:
    return curve.temperature_at(curve.time_at(start) + k * since)


def _span(curve: CoolingCurve, start: float, temperature: float) -> float:
    return float(curve.time_at(temperature) - curve.time_at(start))
