"""The same by py-pde: its compiled explicit solver, with the heat capacity as it melts."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

import numpy as np

from benchmarks.compare.problem import (
    AIR,
    COLUMNS,
    EVERY,
    FILM,
    HEIGHT,
    LATENT,
    LIQUID,
    RADIUS,
    RHO,
    ROWS,
    SOLID,
    START,
    TIMES,
    Array,
    C,
    K,
)

STEP = 2.5  # [s]; 3 s are unstable


def _asked() -> tuple[Any, Any, Any]:
    """Return the package, the equation and the first state."""
    pde: Any = import_module("pde")
    grid = pde.CylindricalSymGrid(RADIUS, [0, HEIGHT], [COLUMNS, ROWS])
    face = {"type": "mixed", "value": FILM / K, "const": FILM / K * AIR}
    equation = pde.PDE(
        {
            "T": f"{K / RHO} * laplace(T) / ({C} + {LATENT / (LIQUID - SOLID)}"
            f" * heaviside(T - {SOLID}, 1) * heaviside({LIQUID} - T, 1))"
        },
        bc={"r-": {"derivative": 0}, "r+": face, "z": face},
    )
    return pde, equation, pde.ScalarField(grid, START)


def _middle(field: Array) -> float:
    return float(0.5 * (field[0, ROWS // 2 - 1] + field[0, ROWS // 2]))


def solve(step: float = STEP) -> Array:
    """Return the temperature [°C] in the middle every 5 min, as one asks py-pde for it.

    step [s]. Each call compiles its steps anew: nine tenths of its time.
    """
    pde, equation, state = _asked()
    seen = pde.MemoryStorage()
    equation.solve(
        state,
        t_range=float(TIMES[-1]),
        dt=step,
        tracker=[seen.tracker(EVERY)],
        backend="numba",
    )
    return np.array([_middle(np.asarray(field)) for field in seen.data[1:]])


def prepared(step: float = STEP) -> Callable[[], Array]:
    """Return the same with its steps compiled once and kept: the stepping alone."""
    made: list[tuple[Any, Any]] = []

    def run() -> Array:
        if not made:
            pde, equation, state = _asked()
            solver = pde.EulerSolver(equation, backend="numba")
            made.append((solver.make_stepper(state, dt=step), state))
        stepper, first = made[0]
        state = first.copy()
        found = []
        for until in TIMES:
            stepper(state, float(until - EVERY), float(until))
            found.append(_middle(state.data))
        return np.array(found)

    return run
