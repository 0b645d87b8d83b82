"""The same by scikit-fem: bilinear elements, implicit steps, Newton's method on the enthalpy."""

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

CLOSE, MOST = 1e-3, 20  # Newton's steps stop below [K], or after so many


def solve(step: float = 60.0) -> Array:
    """Return the temperature [°C] in the middle every 5 min; step [s]."""
    fem: Any = import_module("skfem")
    sparse: Any = import_module("scipy.sparse")
    direct: Any = import_module("scipy.sparse.linalg")
    mesh = fem.MeshQuad.init_tensor(
        np.linspace(0.0, RADIUS, COLUMNS + 1), np.linspace(0.0, HEIGHT, ROWS + 1)
    )
    mesh = mesh.with_boundaries({"air": lambda x: ~np.isclose(x[0], 0.0)})
    basis = fem.Basis(mesh, fem.ElementQuad1())
    face = fem.FacetBasis(mesh, fem.ElementQuad1(), facets="air")
    weight = fem.BilinearForm(lambda u, v, w: RHO * w.x[0] * u * v).assemble(basis)
    mass = np.asarray(weight.sum(axis=1)).ravel()  # lumped, as an enthalpy method wants it
    flow = fem.BilinearForm(
        lambda u, v, w: K * w.x[0] * (u.grad[0] * v.grad[0] + u.grad[1] * v.grad[1])
    ).assemble(basis)
    flow = (flow + fem.BilinearForm(lambda u, v, w: FILM * w.x[0] * u * v).assemble(face)).tocsc()
    given = AIR * fem.LinearForm(lambda v, w: FILM * w.x[0] * v).assemble(face)
    middle = int(np.argmin(np.hypot(mesh.p[0], mesh.p[1] - 0.5 * HEIGHT)))
    warm = np.full(len(mass), START)
    found = []
    for n in range(1, round(TIMES[-1] / step) + 1):
        before = C * warm + LATENT * liquid(warm)
        for _ in range(MOST):
            melting = (warm > SOLID) & (warm < LIQUID)
            steep = C + LATENT / (LIQUID - SOLID) * melting
            short = mass * (C * warm + LATENT * liquid(warm) - before) / step + flow @ warm - given
            change = direct.spsolve(flow + sparse.diags(mass * steep / step, format="csc"), -short)
            warm = warm + change
            if np.abs(change).max() < CLOSE:
                break
        if n % round(EVERY / step) == 0:
            found.append(float(warm[middle]))
    return np.array(found)
