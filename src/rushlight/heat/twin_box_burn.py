"""The burn of a candle of any plan with its heat conducted in plain NumPy.

What flows (`kernel_box_burn.prepare`, `measure`) is the same source run uncompiled; what
conducts is `rushlight.heat.twin_box`.
"""
# ruff: noqa: PLR0913, PLR0917 -- the same call as the kernel's

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from rushlight.heat import kernel_box_burn, twin_box
from rushlight.heat.box_columns import Bed, Flames
from rushlight.heat.box_system import Block
from rushlight.heat.enthalpy import Array


def _plain(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return the Python source of a compiled function."""
    source: Callable[..., Any] = getattr(function, "py_func", function)
    return source


def burn(
    y: Array,
    mass: Array,
    q: Block,
    b: Bed,
    f: Flames,
    times: Array,
    tau: float,
    heel: float,
    frames: Array,
    masses: Array,
    log: Array,
    books: Array,
) -> int:
    """Burn (or cool) y and mass in place; see `kernel_burn.burn`."""
    prepare = _plain(kernel_box_burn.prepare)
    measure = _plain(kernel_box_burn.measure)
    marks = np.zeros(b.c.columns, dtype=np.int64)
    queue = np.zeros(b.c.columns, dtype=np.int64)
    now = 0.0
    for n, until in enumerate(times):
        steps = max(1, int(np.ceil((until - now) / tau - 1e-9)))
        step = (until - now) / steps
        for _ in range(steps):
            if f.rate > 0.0 and mass.sum() <= heel:
                return n
            fuel, heat = prepare(y, mass, q, b, f, step, marks, queue)
            books += [fuel, heat, q.parts.source.sum() * step]
            y[:], stages = twin_box.advance(y, step, q, twin_box.MOST_STAGES)
            if stages < 0:
                return -1
        now = until
        measure(y, mass, q, b, marks, queue, log[n])
        frames[n] = y
        masses[n] = mass
    return len(times)
