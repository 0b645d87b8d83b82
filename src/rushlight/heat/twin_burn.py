"""The burn with its heat conducted in plain NumPy.

What flows (`kernel_burn.prepare`, `measure`) is the same source run uncompiled;
what conducts is `rushlight.heat.twin`.
"""
# ruff: noqa: PLR0913, PLR0917 -- the same call as the kernel's

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from rushlight.heat import kernel_burn, twin
from rushlight.heat.columns import Columns, Flame
from rushlight.heat.enthalpy import Array
from rushlight.heat.system import Parts


def _plain(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return the Python source of a compiled function."""
    source: Callable[..., Any] = getattr(function, "py_func", function)
    return source


def burn(
    y: Array,
    mass: Array,
    p: Parts,
    c: Columns,
    f: Flame,
    times: Array,
    tau: float,
    heel: float,
    frames: Array,
    masses: Array,
    log: Array,
    books: Array,
) -> int:
    """Burn (or cool) y and mass in place; see `kernel_burn.burn`."""
    prepare = _plain(kernel_burn.prepare)
    measure = _plain(kernel_burn.measure)
    now = 0.0
    for n, until in enumerate(times):
        steps = max(1, int(np.ceil((until - now) / tau - 1e-9)))
        step = (until - now) / steps
        for _ in range(steps):
            if f.rate > 0.0 and mass.sum() <= heel:
                return n
            fuel, heat = prepare(y, mass, p, c, f, step)
            books += [fuel, heat, p.source.sum() * step]
            y[:], stages = twin.advance(y, step, p, kernel_burn.MOST_STAGES)
            if stages < 0:
                return -1
        now = until
        measure(y, mass, p, c, log[n])
        frames[n] = y
        masses[n] = mass
    return len(times)
