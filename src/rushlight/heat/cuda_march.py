"""Many candles forward in time on a graphics card, with the books of each kept.

Optional: it needs numba's CUDA target and a card it knows. `available` says whether there is
one; without it everything runs on the processor as before.
"""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module
from typing import Any

import numpy as np

from rushlight.errors import SolverError
from rushlight.heat.cuda_pack import pack
from rushlight.heat.enthalpy import Array
from rushlight.heat.march import March, Pace
from rushlight.heat.system import Parts, heat_content


def available() -> bool:
    """Say whether there is a card to run on (or its simulator)."""
    try:
        cuda: Any = import_module("numba.cuda")
    except ImportError:
        return False
    return bool(cuda.is_available())


def march_many(
    candles: Sequence[Parts],
    states: Sequence[Array],
    times: Array,
    *,
    pace: Pace | None = None,
    threads: int | None = None,
) -> list[March]:
    """Return what `march.march` returns for each candle, all marched at once.

    threads: of a block, a power of two. Raises BadInput for a candle too large for a block
    and SolverError when the heat books of one do not close to 1e-9.
    """
    from rushlight.heat import kernel_cuda

    pace = pace or Pace()
    clock = np.ascontiguousarray(times, dtype=float)
    q = pack(candles)
    longest = max(len(state) for state in states)
    base = np.zeros((len(candles), longest))
    for row, state in zip(base, states, strict=True):
        row[: len(state)] = state
    most = int(q.size[:, 3:].max())
    held = np.zeros((len(candles), 7, most))
    frames = np.zeros((len(candles), len(clock), longest))
    counts = np.zeros(len(candles), dtype=np.int64)
    run: Any = kernel_cuda.march
    run[len(candles), threads or kernel_cuda.THREADS](
        base, clock, q, held, pace.least, pace.growth, pace.most, frames, counts
    )
    found = []
    for p, state, seen, stages in zip(candles, states, frames, counts, strict=True):
        if stages < 0:
            raise SolverError("The setting became too stiff to follow.", {"most": pace.most})
        before = heat_content(p, state)
        mine = seen[:, : len(state)]
        books = max(abs(heat_content(p, frame) / before - 1.0) for frame in mine)
        if not books <= 1e-9:  # noqa: PLR2004 -- the promise of every march; NaN fails too
            raise SolverError("The heat books do not close.", {"books": books})
        found.append(March(clock, mine, books, int(stages)))
    return found
