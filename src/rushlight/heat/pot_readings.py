"""The thermometer readings a maker takes: which are believable, and which still count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from rushlight.errors import Problems
from rushlight.quantity.si import Kelvin, KelvinStep, Second

COLDEST_WAX, HOTTEST_WAX = 268.15, 423.15
"""[K] −5 and 150 °C: a reading beyond is a slip (often °F for °C) or an alarm, not a pour."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A thermometer reading: `at` [s] from the caller's origin, temperature [K]."""

    at: Second
    temperature: Kelvin


def note_problems(readings: Sequence[Reading], problems: Problems) -> None:
    """Note every reading that cannot be: not finite, not wax, not later than the one before."""
    for i, reading in enumerate(readings):
        if not abs(reading.at) < 1e9:  # noqa: PLR2004 thirty years; a NaN is no time either
            problems.add(
                f"readings.{i}.at",
                f"Reading {i + 1} has no usable time.",
                "Give the time of the reading.",
            )
        kelvin = reading.temperature
        if not COLDEST_WAX <= kelvin <= HOTTEST_WAX:
            problems.add(
                f"readings.{i}.temperature",
                f"Reading {i + 1} says {kelvin - 273.15:.0f} °C ({kelvin * 1.8 - 459.67:.0f} °F): "
                "no wax to be poured is at that temperature.",
                "Check the figure and its unit. If it is true, turn the heat off.",
            )
    for i, (before, after) in enumerate(pairwise(readings), start=1):
        if after.at == before.at:
            problems.add(
                f"readings.{i}.at",
                f"Readings {i} and {i + 1} are of the same moment.",
                "Keep one of them.",
            )
        elif after.at < before.at:
            problems.add(
                f"readings.{i}.at",
                f"Reading {i + 1} is earlier than reading {i}.",
                "Give the readings in the order they were taken, or correct the time.",
            )


def since_last_rise(readings: Sequence[Reading], *, error: KelvinStep) -> int:
    """Return the index of the first reading of the last steady fall.

    A reading that is more than twice the thermometer's error [K] above the
    lowest since then says that the wax was warmed in between. Once a rise is
    seen, its top is where the fall begins, so any further rise moves it on.
    """
    first, lowest = 0, float("inf")
    for i, reading in enumerate(readings):
        margin = 0.0 if first > 0 and i == first + 1 else 2.0 * error
        if reading.temperature > lowest + margin:
            first, lowest = i, reading.temperature
        lowest = min(lowest, reading.temperature)
    return first
