"""Words beside a scale, moved apart so that none lies on another."""

from __future__ import annotations

from collections.abc import Sequence


def apart(wanted: Sequence[float], least: float, low: float, high: float) -> list[float]:
    """Return places near those wanted, in the same order, `least` apart, within low and high.

    wanted: ascending. Where there is not enough room, the distance gives way.
    """
    if not wanted:
        return []
    gap = min(least, (high - low) / max(1, len(wanted) - 1))
    placed = []
    floor = low
    for place in wanted:
        floor = max(floor, place)
        placed.append(floor)
        floor += gap
    ceiling = high
    for at in range(len(placed) - 1, -1, -1):
        placed[at] = min(placed[at], ceiling)
        ceiling = placed[at] - gap
    return placed


def nice_step(span: float, pieces: int) -> float:
    """Return 1, 2 or 5 times a power of ten that parts a span into about so many pieces."""
    from math import floor, log10

    rough = span / pieces
    power = 10.0 ** floor(log10(rough))
    return next(power * m for m in (1.0, 2.0, 5.0, 10.0) if power * m >= rough * (1.0 - 1e-9))


def steps(low: float, high: float, pieces: int) -> list[float]:
    """Return round values from low to high."""
    from math import ceil

    step = nice_step(high - low, pieces)
    first = ceil(low / step - 1e-9)
    found = []
    while first * step <= high * (1.0 + 1e-9):
        found.append(first * step)
        first += 1
    return found
