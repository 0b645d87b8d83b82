"""The same by FiPy: finite volumes, implicit steps, latent heat linearised in sweeps."""

from __future__ import annotations

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
    liquid,
)


def solve(step: float = 60.0, sweeps: int = 5, solver: str = "") -> Array:
    """Return the temperature [°C] in the middle every 5 min.

    step [s]; solver: name of FiPy's linear solver, its own choice unless said.
    """
    f: Any = import_module("fipy")
    linear = getattr(f, solver)(tolerance=1e-6) if solver else None
    dr, dz = RADIUS / COLUMNS, HEIGHT / ROWS
    mesh = f.CylindricalGrid2D(nr=COLUMNS, nz=ROWS, dr=dr, dz=dz)
    warm = f.CellVariable(mesh=mesh, value=START, hasOld=True)
    right = np.asarray(mesh.facesRight.value)
    outer = right | np.asarray(mesh.facesTop.value) | np.asarray(mesh.facesBottom.value)
    film = outer / (1.0 / FILM + np.where(right, 0.5 * dr, 0.5 * dz) / K)
    normals = np.asarray(mesh.faceNormals)
    robin = f.FaceVariable(mesh=mesh, rank=1, value=film * normals).divergence
    inner = f.FaceVariable(mesh=mesh, value=np.where(outer, 0.0, K))
    slope = f.CellVariable(mesh=mesh, value=0.0)  # of the latent heat, about the last sweep
    datum = f.CellVariable(mesh=mesh, value=0.0)
    equation = f.TransientTerm(coeff=RHO * C) == (
        f.DiffusionTerm(coeff=inner)
        - f.ImplicitSourceTerm(coeff=robin + slope)
        + robin * AIR
        + datum
    )
    found = []
    per_step = RHO * LATENT / step
    for n in range(1, round(TIMES[-1] / step) + 1):
        warm.updateOld()
        before = liquid(np.array(warm.value))
        for _ in range(sweeps):
            t = np.array(warm.value)
            steep = ((t > SOLID) & (t < LIQUID)) / (LIQUID - SOLID)
            slope.setValue(per_step * steep)
            datum.setValue(per_step * (steep * t - liquid(t) + before))
            equation.sweep(var=warm, dt=step, solver=linear)
        if n % round(EVERY / step) == 0:
            axis = warm.value.reshape(ROWS, COLUMNS)[:, 0]
            found.append(0.5 * (axis[ROWS // 2 - 1] + axis[ROWS // 2]))
    return np.array(found)
