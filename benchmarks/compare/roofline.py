"""What this core can do, and how much of it the kernel uses.

Two limits: how fast numbers come from the caches (a triad x = y + a z, as STREAM has it), and
how fast they are multiplied and added (fused steps on numbers that stay in registers).
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numba
import numpy as np

from benchmarks.compare.problem import COLUMNS, ROWS, Array

MOVED = 19
"""Numbers read or written per ring and stage: θ(h) 2, across 4, up 4, ÷ mass 3, update 6;
neighbours in the same loop are counted once, since they come from the first-level cache."""
DONE = 33
"""Products and sums per ring and stage: θ(h) 11, across 6, up 6, ÷ mass 1, update 9."""
FUSED = 16  # multiply–add steps on each number of `multiply`


@numba.njit(fastmath={"contract", "nsz"})
def triad(x: Array, y: Array, z: Array, times: int) -> None:
    """Do x = y + 0.5 z so many times."""
    for n in range(times):
        a = 0.5 + 1e-9 * n
        for k in range(len(x)):
            x[k] = y[k] + a * z[k]


@numba.njit(fastmath={"contract", "nsz"})
def multiply(x: Array, times: int) -> None:
    """Do sixteen multiply–add steps on each number, so many times."""
    for _ in range(times):
        for k in range(len(x)):
            v = x[k]
            v = v * 0.99 + 0.01
            v = v * 0.98 + 0.02
            v = v * 0.97 + 0.03
            v = v * 0.96 + 0.04
            v = v * 0.99 + 0.01
            v = v * 0.98 + 0.02
            v = v * 0.97 + 0.03
            v = v * 0.96 + 0.04
            v = v * 0.99 + 0.01
            v = v * 0.98 + 0.02
            v = v * 0.97 + 0.03
            v = v * 0.96 + 0.04
            v = v * 0.99 + 0.01
            v = v * 0.98 + 0.02
            v = v * 0.97 + 0.03
            v = v * 0.96 + 0.04
            x[k] = v


@dataclass(frozen=True)
class Core:
    """What a core can do: bytes a second by the size of what is touched, flops a second."""

    first: float
    second: float
    memory: float
    flops: float


def core() -> Core:
    """Measure this core, best of several."""
    return Core(
        _rate(1_000), _rate(14 * (COLUMNS + 2) * (ROWS + 2) // 3), _rate(6_000_000), _fast()
    )


def _shortest(action: Callable[[], object]) -> float:
    """Return the least processor time [s] of several runs after one."""
    action()
    taken = []
    for _ in range(9):
        begun = time.process_time()
        action()
        taken.append(time.process_time() - begun)
    return min(taken)


def _rate(size: int) -> float:
    x, y, z = (np.ones(size) for _ in range(3))
    times = max(1, 30_000_000 // size)
    return 24.0 * size * times / _shortest(lambda: triad(x, y, z, times))


def _fast() -> float:
    x = np.ones(1024)
    return 2.0 * FUSED * 1024 * 10_000 / _shortest(lambda: multiply(x, 10_000))


def told(updates: float, here: Core) -> dict[str, Any]:
    """Return figures for `updates` ring updates a second: what is used and what could be."""
    roof = min(here.second / (8.0 * MOVED), here.flops / DONE)
    return {
        "updates": updates,
        "bytes": updates * 8.0 * MOVED,
        "flops": updates * DONE,
        "roof": roof,
        "share": updates / roof,
        "bound": "second-level cache" if roof < here.flops / DONE else "vector units",
    }
