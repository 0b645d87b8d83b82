"""Eight hours of setting on 35 × 70 rings, beside two general-purpose solvers.

    python benchmarks/heat_setting.py            # ours, with its roofline
    python benchmarks/heat_setting.py --others   # needs: pip install fipy py-pde

The problem, the same for all: a bare cylinder of wax (R 37.5 mm, H 77 mm, k 0.17,
ρ 890, c 2000, 140 kJ/kg spread over 46–52 °C) at 65 °C in air of 22 °C with
h = 10 W/(m² K) on every face. The errors are those of the middle against ours on
140 × 280 rings in small steps: when it passes the solidus, and its temperature
(root mean square over eight hours).
Times are whole function calls after one warm-up, best of several, one core.
"""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Callable

import numba
import numpy as np
from numpy.typing import NDArray

from rushlight.heat.enthalpy import ZERO, Transition, WaxThermal, curve
from rushlight.heat.grid import plain_grid
from rushlight.heat.march import Engine, Pace, march
from rushlight.heat.system import assemble, constant_air, start_state

Array = NDArray[np.float64]
RADIUS, HEIGHT, COLUMNS, ROWS = 0.0375, 0.077, 35, 70
K, RHO, C, LATENT, SOLID, LIQUID = 0.17, 890.0, 2000.0, 140e3, 46.0, 52.0
TRAFFIC = 20  # numbers read or written per ring and stage, counted in the kernel's loops
AIR, START, FILM = 22.0, 65.0, 10.0
EVERY = 300.0
TIMES = EVERY * np.arange(1.0, 97.0)
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


def ours(
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


def fipy() -> Array:
    """Return the same by FiPy: implicit, 60 s steps, latent heat linearised in 5 sweeps."""
    from fipy import (
        CellVariable,
        CylindricalGrid2D,
        DiffusionTerm,
        FaceVariable,
        ImplicitSourceTerm,
        TransientTerm,
    )

    dr, dz = RADIUS / COLUMNS, HEIGHT / ROWS
    mesh = CylindricalGrid2D(nr=COLUMNS, nz=ROWS, dr=dr, dz=dz)
    warm = CellVariable(mesh=mesh, value=START, hasOld=True)
    right = np.asarray(mesh.facesRight.value)
    outer = right | np.asarray(mesh.facesTop.value) | np.asarray(mesh.facesBottom.value)
    film = outer / (1.0 / FILM + np.where(right, 0.5 * dr, 0.5 * dz) / K)
    normals = np.asarray(mesh.faceNormals)
    robin = FaceVariable(mesh=mesh, rank=1, value=film * normals).divergence
    inner = FaceVariable(mesh=mesh, value=np.where(outer, 0.0, K))
    slope = CellVariable(mesh=mesh, value=0.0)  # of the latent heat, about the last sweep
    datum = CellVariable(mesh=mesh, value=0.0)
    equation = TransientTerm(coeff=RHO * C) == (
        DiffusionTerm(coeff=inner) - ImplicitSourceTerm(coeff=robin + slope) + robin * AIR + datum
    )

    def liquid(t: Array) -> Array:
        return np.clip((t - SOLID) / (LIQUID - SOLID), 0.0, 1.0)

    found = []
    per_step = RHO * LATENT / 60.0
    for step in range(1, int(TIMES[-1] / 60) + 1):
        warm.updateOld()
        before = liquid(np.array(warm.value))
        for _ in range(5):
            t = np.array(warm.value)
            steep = ((t > SOLID) & (t < LIQUID)) / (LIQUID - SOLID)
            slope.setValue(per_step * steep)
            datum.setValue(per_step * (steep * t - liquid(t) + before))
            equation.sweep(var=warm, dt=60.0)
        if step % 5 == 0:
            axis = warm.value.reshape(ROWS, COLUMNS)[:, 0]
            found.append(0.5 * (axis[ROWS // 2 - 1] + axis[ROWS // 2]))
    return np.array(found)


def pypde() -> Callable[[], Array]:
    """Return a run of py-pde's compiled explicit solver, 2.5 s steps."""
    import pde

    grid = pde.CylindricalSymGrid(RADIUS, [0, HEIGHT], [COLUMNS, ROWS])
    face = {"type": "mixed", "value": FILM / K, "const": FILM / K * AIR}
    equation = pde.PDE(
        {
            "T": f"{K / RHO} * laplace(T) / ({C} + {LATENT / (LIQUID - SOLID)}"
            f" * heaviside(T - {SOLID}, 1) * heaviside({LIQUID} - T, 1))"
        },
        bc={"r-": {"derivative": 0}, "r+": face, "z": face},
    )
    state = pde.ScalarField(grid, START)

    def run() -> Array:
        seen = pde.MemoryStorage()
        equation.solve(
            state,
            t_range=float(TIMES[-1]),
            dt=2.5,
            tracker=[seen.tracker(EVERY)],
            backend="numba",
        )
        rows = [np.asarray(field)[0] for field in seen.data[1:]]
        return np.array([0.5 * (row[ROWS // 2 - 1] + row[ROWS // 2]) for row in rows])

    return run


def bandwidth() -> float:
    """Return what a sum over arrays of the kernel's working set moves, best of many [B/s].

    The kernel's fourteen arrays (290 kB) live in the second-level cache; a compiled
    triad over as many arrays of that size says what the cache can give.
    """

    @numba.njit(fastmath=True)
    def triad(a: Array, times: int) -> None:
        for _ in range(times):
            for row in range(0, 12, 3):
                x, y, z = a[row], a[row + 1], a[row + 2]
                for k in range(len(x)):
                    x[k] = y[k] + 0.5 * z[k]

    arrays = np.ones((14, (COLUMNS + 2) * (ROWS + 2)))
    seconds = best(lambda: triad(arrays, 2000), 5)
    return 2000 * 4 * 3 * arrays.shape[1] * 8 / seconds


def best(function: Callable[[], object], times: int) -> float:
    """Return the shortest of several runs [s], after one that is not counted."""
    function()
    seen = []
    for _ in range(times):
        start = time.perf_counter()
        function()
        seen.append(time.perf_counter() - start)
    return min(seen)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--others", action="store_true", help="run FiPy and py-pde too")
    others = parser.parse_args().others
    reference, _ = ours(140, 280, pace=Pace(1.0, 0.01, 20.0))

    def solid(found: Array) -> float:
        after = int(np.argmax(found < SOLID))
        share = (found[after - 1] - SOLID) / (found[after - 1] - found[after])
        return float(TIMES[after - 1] + share * EVERY)

    def error(found: Array) -> str:
        late = 100 * (solid(found) / solid(reference) - 1)
        off = np.sqrt(np.mean((found - reference) ** 2))
        return f"sets {late:+.2f} %, {off:.2f} K"

    print("cores free:", os.getloadavg()[0], "load over the last minute")
    found, stages = ours()
    mine = best(ours, 20)
    updates = stages * COLUMNS * ROWS / mine
    print(f"ours, super-time-stepping {1e3 * mine:8.1f} ms  {error(found)}")
    peak = bandwidth()
    moved = updates * TRAFFIC * 8
    print(
        f"  {stages} stages, {updates / 1e6:.0f} million ring updates a second;"
        f" {moved / 1e9:.0f} of {peak / 1e9:.0f} GB/s of the cache: {moved / peak:.0%} of its roof"
    )
    explicit = Pace(2.0, 0.0, 2.0)
    plain = best(lambda: ours(pace=explicit), 3)
    print(f"ours, small steps         {1e3 * plain:8.1f} ms  {error(ours(pace=explicit)[0])}")
    start = time.perf_counter()
    twin, _ = ours(engine=Engine.NUMPY)
    print(f"ours, NumPy twin          {1e3 * (time.perf_counter() - start):8.1f} ms  {error(twin)}")
    if others:
        run = pypde()
        told = run()
        explicit_time = best(run, 3)
        print(
            f"py-pde, compiled explicit {1e3 * explicit_time:8.1f} ms  {error(told)}"
            f"  {explicit_time / mine:.0f} × ours"
        )
        start = time.perf_counter()
        told = fipy()
        implicit = time.perf_counter() - start
        print(
            f"FiPy, 60 s steps          {1e3 * implicit:8.1f} ms  {error(told)}"
            f"  {implicit / mine:.0f} × ours"
        )


if __name__ == "__main__":
    main()
