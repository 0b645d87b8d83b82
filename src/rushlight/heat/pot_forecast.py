"""When the pour window of a pitcher opens and closes, from the readings so far.

It takes a pitcher left standing in still air, all its wax liquid. A lid, a
draught, cold oil stirred in, or wax setting at the wall makes it another
pitcher: then give only the readings taken since. A forecast never replaces
the thermometer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from rushlight.candle.parts import Window
from rushlight.errors import Problems
from rushlight.heat.pot_body import Pot, Temperatures, note_room
from rushlight.heat.pot_body import note_problems as note_pot
from rushlight.heat.pot_fit import Doubt, Fit, fit, unfitted
from rushlight.heat.pot_readings import COLDEST_WAX, HOTTEST_WAX, Reading, since_last_rise
from rushlight.heat.pot_readings import note_problems as note_readings
from rushlight.heat.pot_result import PotForecast, read_off
from rushlight.quantity.si import Kelvin, KelvinStep, Second

_AS_KNOWN = Doubt()
_NEAR_ROOM = 2.0  # [K] wax this near the room tells nothing of the pitcher


def forecast(  # noqa: PLR0913 facts of the bench, all keyword-only
    pot: Pot,
    *,
    readings: Sequence[Reading],
    room: Kelvin,
    window: Window,
    start: Kelvin | None = None,
    doubt: Doubt = _AS_KNOWN,
) -> PotForecast:
    """Return when the pour window opens and closes, and how far that may be off.

    readings: in order of time; room [K]; window [K]. While there is no
    reading, start [K] is the temperature at which the pitcher will leave the
    heat, at 0 s. Raises BadInput with every problem found.
    """
    _check(pot, readings, room, window, start)
    if not readings and start is not None:
        planned = (Reading(Second(0.0), start),)
        unread = replace(doubt, thermometer=doubt.start)
        return replace(_from(pot, planned, room, window, unread), used=0)
    return _from(pot, readings, room, window, doubt)


def _from(
    pot: Pot, readings: Sequence[Reading], room: Kelvin, window: Window, doubt: Doubt
) -> PotForecast:
    first = since_last_rise(readings, error=KelvinStep(doubt.thermometer))
    notes = _left_out(first, len(readings) - first)
    since = np.array([r.at - readings[first].at for r in readings[first:]])
    read = np.array([float(r.temperature) for r in readings[first:]])
    if read.min() < room + _NEAR_ROOM:
        first = len(readings) - 1
        fitted = unfitted(pot, start=float(read[-1]), room=room, doubt=doubt)
    else:
        fitted = fit(pot, since=since, read=read, room=room, doubt=doubt)
        fitted, odd = _widened(fitted, since, read, room, doubt)
        notes += odd
    return read_off(fitted, readings, first=first, window=window, notes=notes)


def _check(
    pot: Pot, readings: Sequence[Reading], room: Kelvin, window: Window, start: Kelvin | None
) -> None:
    problems = Problems()
    note_pot(pot, problems)
    note_room(room, problems)
    note_readings(readings, problems)
    if not COLDEST_WAX <= window.low < window.high <= HOTTEST_WAX:
        problems.add(
            "window",
            "The pour window is not a range of wax temperatures.",
            "Give its lower end first, then its upper end, such as 155-170 F.",
        )
    if not readings and (start is None or not COLDEST_WAX <= start <= HOTTEST_WAX):
        problems.add(
            "start",
            "Without a reading there is nothing to start the forecast from.",
            "Read the thermometer, or give the temperature at which it leaves the heat.",
        )
    problems.check()


def _left_out(first: int, used: int) -> tuple[str, ...]:
    if first == 0:
        return ()
    which = "reading 1 is" if first == 1 else f"readings 1 to {first} are"
    notes: tuple[str, ...] = (f"The wax was warmed in between: {which} left out.",)
    if used == 1:
        notes += ("It may still be warming: the forecast holds if it has left the heat.",)
    return notes


def _widened(
    fitted: Fit, since: Temperatures, read: Temperatures, room: float, doubt: Doubt
) -> tuple[Fit, tuple[str, ...]]:
    """Widen the spread where the readings do not suit a pitcher left standing, and say so.

    The sum of squares of everything off, in standard deviations, follows χ²
    with one degree for each reading after the first. Beyond its 99.5 % point
    the covariance is scaled up by it (Birge, *Phys. Rev.* 40 (1932) 207, from memory).
    """
    miss = (read - fitted.temperature(since)) / doubt.thermometer
    beforehand = (
        math.log(fitted.loss_factor) / doubt.loss_factor,
        (fitted.room - room) / doubt.room,
    )
    total = float(miss @ miss) + beforehand[0] ** 2 + beforehand[1] ** 2
    degrees = len(read) - 1
    if degrees == 0 or total <= _chi_square_995(degrees):
        return fitted, ()
    note = (
        "The readings do not suit this pitcher standing still (cold oil stirred in, a lid, a "
        "draught, another pitcher?): the spread is widened; read again."
    )
    return replace(fitted, covariance=fitted.covariance * total / degrees), (note,)


def _chi_square_995(degrees: int) -> float:
    """Return the 99.5 % point of χ², by Wilson & Hilferty (*PNAS* 17 (1931) 684), within 3 %."""
    ninth = 2.0 / (9.0 * degrees)
    return degrees * (1.0 - ninth + 2.5758 * math.sqrt(ninth)) ** 3
