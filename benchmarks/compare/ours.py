"""Rushlight's own answer, by any engine, pace and grid."""

from __future__ import annotations

from benchmarks.compare.problem import (
    AIR,
    COLUMNS,
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
from rushlight.heat.enthalpy import ZERO, Transition, WaxThermal, curve
from rushlight.heat.grid import plain_grid
from rushlight.heat.march import Engine, Pace, march
from rushlight.heat.system import assemble, constant_air, start_state

WAX = WaxThermal(
    name="benchmark",
    transitions=(Transition(ZERO + SOLID, ZERO + LIQUID, LATENT),),
    heat_solid=C,
    heat_liquid=C,
    conduct_solid=K,
    conduct_liquid=K,
    density_liquid=RHO,
    density_at=ZERO + 20,
    shrink=0.0,
    expansion_solid=0.0,
    expansion_liquid=0.0,
)
SMALL = Pace(1.0, 0.01, 20.0)  # steps of the reference


def solve(
    columns: int = COLUMNS,
    rows: int = ROWS,
    *,
    pace: Pace | None = None,
    engine: Engine = Engine.COMPILED,
) -> tuple[Array, int]:
    """Return the temperature [°C] in the middle every 5 min, and the stages taken."""
    line = curve(WAX)
    grid = plain_grid(RADIUS, HEIGHT, columns=columns, rows=rows, faces="stb")
    air = constant_air(FILM, ZERO + AIR)
    parts = assemble(grid, line, density=RHO, shell=None, airs=(air, air, air, air))
    state = start_state(parts, enthalpy=float(line.enthalpy(ZERO + START)), shell=0.0)
    result = march(parts, state, TIMES, pace=pace, engine=engine)
    warm = line.temperature(result.frames[:, : parts.cells]) - ZERO
    middle = [grid.rings.index(rows // 2 - 1, 0), grid.rings.index(rows // 2, 0)]
    return warm[:, middle].mean(axis=1), result.stages


def reference() -> Array:
    """Return the answer on 140 × 280 cells in small steps, carried to vanishing cells.

    Half as many cells each way show the error falls with the square of their width, so
    (4 fine − coarse)/3 takes most of what is left away.
    """
    fine, _ = solve(140, 280, pace=SMALL)
    coarse, _ = solve(70, 140, pace=SMALL)
    return (4.0 * fine - coarse) / 3.0
