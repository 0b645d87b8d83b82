"""The wick window: which burn rates give a full pool in time and spare the wall.

The lower end is the rate at which the pool is just full at the end of the burn;
the upper end the rate at which the wall just reaches the limit she sets. Both
carry the spread of the members. Wicks inside the window are worth testing; none
is approved by it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from rushlight.errors import Problems
from rushlight.heat.burn import BURN, FULL, doubts, once
from rushlight.heat.burn_run import BurnDoubt, Burning, at_rate
from rushlight.heat.ensemble import Spread, spread
from rushlight.heat.enthalpy import ZERO, Array
from rushlight.heat.watch import Progress, Stop, Watch

RATES = tuple(float(r) for r in np.arange(1.5, 10.1, 0.5))  # tried [g/h]
WALL_LIMIT = ZERO + 70.0
"""Default limit for the wall [K]. No standard that was read sets one; common practice is
under 60 °C for most of a burn and 77–80 °C at the very most."""
COARSE = 0.003  # ring width for the members [m]
MEMBERS = 5


@dataclass(frozen=True, slots=True)
class WickRate:
    """A wick the maker has: name and the burn rate she expects of it [g/h], low to high."""

    name: str
    low: float
    high: float


class Verdict(StrEnum):
    """Where a wick lies."""

    INSIDE = "worth testing"
    EDGE = "on the edge"
    SMALL = "probably too small"
    LARGE = "probably too large"


@dataclass(frozen=True)
class WickWindow:
    """Burn rates [g/h] between `low` and `high`, each with its spread.

    rates [g/h] tried with pool_share [1] at the end of the burn and wall [K];
    empty: the two ends cross, and one wick will not do it; wicks: verdict by name.
    """

    low: Spread
    high: Spread
    rates: Array
    pool_share: Array
    wall: Array
    empty: bool
    wicks: dict[str, Verdict]
    words: tuple[str, ...]


def wick_window(  # noqa: PLR0913 -- a question with many sides
    burning: Burning,
    *,
    wicks: Sequence[WickRate] = (),
    seconds: float = BURN,
    wall_limit: float = WALL_LIMIT,
    members: int = MEMBERS,
    rates: Sequence[float] = RATES,
    stop: Stop | None = None,
    progress: Progress | None = None,
) -> WickWindow:
    """Return the window of burn rates for a candle (its own rate is not looked at).

    seconds [s]: the burn in which the pool must fill; wall_limit [K]; progress: told how
    many of the (1 + `members`) × rates burns are done; stop: asked between them, and
    Stopped is raised when it says so.
    """
    _check(wicks, seconds, wall_limit, rates)
    watch = Watch(stop, progress)
    watch.heed()
    tried = np.array(sorted(rates))
    share, wall = _sweep(burning, tried, seconds, None, watch)
    low, high = _ends(tried, share, wall, wall_limit)
    ends = np.array(
        [
            _ends(tried, *_sweep(burning, tried, seconds, doubt, watch), wall_limit)
            for doubt in doubts(members)
        ]
    ).reshape(-1, 2)
    lows, highs = spread(low, low, ends[:, 0]), spread(high, high, ends[:, 1])
    empty = not low < high
    return WickWindow(
        lows,
        highs,
        tried,
        share,
        wall,
        empty,
        {w.name: _verdict(w, lows, highs) for w in wicks},
        _words(low, high, seconds),
    )


def window_runs(members: int = MEMBERS, rates: Sequence[float] = RATES) -> int:
    """Return how many burns a window takes."""
    return (1 + members) * len(rates)


def _sweep(
    burning: Burning, tried: Array, seconds: float, doubt: BurnDoubt | None, watch: Watch
) -> tuple[Array, Array]:
    found = []
    for r in tried:
        found.append(once(at_rate(burning, float(r)), seconds=seconds, cell=COARSE, doubt=doubt)[0])
        watch.part()
    share = np.maximum.accumulate([f.pool_share for f in found])
    wall = np.maximum.accumulate([f.wall for f in found])
    return share, wall


def _ends(rates: Array, share: Array, wall: Array, limit: float) -> tuple[float, float]:
    """Return where the pool is just full and where the wall just reaches its limit [g/h].

    NaN where no rate fills the pool; the largest rate where none reaches the limit.
    """
    low = float("nan")
    if share[-1] >= FULL:
        n = int(np.argmax(share >= FULL))
        low = float(rates[n])
        if n:
            rise = share[n] - share[n - 1]
            low -= float((rates[n] - rates[n - 1]) * (share[n] - FULL) / rise)
    high = float(rates[-1])
    if wall[-1] > limit:
        n = int(np.argmax(wall > limit))
        high = float(rates[n])
        if n:
            high -= float((rates[n] - rates[n - 1]) * (wall[n] - limit) / (wall[n] - wall[n - 1]))
    return low, high


def _verdict(wick: WickRate, low: Spread, high: Spread) -> Verdict:
    if np.isnan(low.likely) or wick.high < low.low:
        return Verdict.SMALL
    if wick.low > high.high:
        return Verdict.LARGE
    if low.likely <= wick.low and wick.high <= high.likely:
        return Verdict.INSIDE
    return Verdict.EDGE


def _words(low: float, high: float, seconds: float) -> tuple[str, ...]:
    hours = seconds / 3600
    if np.isnan(low):
        first = f"No single wick tried fills the pool in {hours:.0f} h: think of two wicks."
    elif low >= high:
        first = "A wick that fills the pool heats the wall past the limit: another vessel or wax."
    else:
        first = f"Wicks of about {low:.1f} to {high:.1f} g/h are worth testing."
    return (first, "A forecast with a spread: it narrows what to test, and never replaces it.")


def _check(wicks: Sequence[WickRate], seconds: float, limit: float, rates: Sequence[float]) -> None:
    found = Problems()
    for n, wick in enumerate(wicks):
        if not 0 < wick.low <= wick.high:
            found.add(f"wicks.{n}", "Its burn rates are not in order.", "Give low, then high, g/h.")
    if not 600 <= seconds <= 12 * 3600:  # noqa: PLR2004 -- ten minutes to half a day
        found.add("burn.hours", "A burn of that length is not one.", "Give 0.2 to 12 hours.")
    if not ZERO + 35 <= limit <= ZERO + 150:
        found.add("wall.limit", "That is no limit for a wall.", "Give 40 to 100 °C.")
    if len(rates) < 2:  # noqa: PLR2004 -- two ends
        found.add("rates", "There is nothing to compare.", "Give two burn rates at least.")
    found.check()
