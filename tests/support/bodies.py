"""Bare bodies of wax for the conduction checks: one wax, one air, both engines."""

import numpy as np
import pytest

from rushlight.heat.enthalpy import ZERO, Curve, Transition, WaxThermal
from rushlight.heat.grid import Grid
from rushlight.heat.march import Engine, March, Pace, march
from rushlight.heat.system import (
    Air,
    Parts,
    ShellFacts,
    assemble,
    start_state,
)

GLASS = ShellFacts(2520.0, 820.0, 1.0, 0.9)  # soda-lime, physics handbooks
engines = pytest.mark.parametrize("engine", list(Engine))


def plain_wax(**facts: float | tuple[Transition, ...]) -> WaxThermal:
    """Return a wax with one cp, k and density unless said otherwise."""
    whole: dict[str, object] = {
        "name": "test",
        "transitions": (Transition(ZERO + 50, ZERO + 50, 0.0),),
        "heat_solid": 2000.0,
        "heat_liquid": 2000.0,
        "conduct_solid": 0.2,
        "conduct_liquid": 0.2,
        "shrink": 0.0,
        "density_liquid": 900.0,
        "density_at": ZERO + 50,
        "expansion_solid": 0.0,
        "expansion_liquid": 0.0,
    }
    return WaxThermal(**(whole | facts))  # type: ignore[arg-type]


def run(  # noqa: PLR0913 -- a test bench
    grid: Grid,
    line: Curve,
    airs: Air,
    *,
    density: float,
    start: float,
    times: list[float],
    engine: Engine = Engine.COMPILED,
    pace: Pace | None = None,
    molten: float = 1.0,
) -> tuple[Parts, March]:
    """March a bare body from one temperature [°C] in one air."""
    parts = assemble(grid, line, density=density, shell=None, airs=(airs, airs, airs, airs))
    state = start_state(parts, enthalpy=float(line.enthalpy(ZERO + start, molten=molten)), shell=0)
    return parts, march(parts, state, np.array(times), pace=pace, engine=engine)
