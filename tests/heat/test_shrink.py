"""What shrinkage leaves behind, by the side from which the heat is taken."""

from dataclasses import replace

import numpy as np
import pytest

from rushlight.heat.enthalpy import ZERO, Transition, WaxThermal, curve
from rushlight.heat.grid import plain_grid
from rushlight.heat.march import march
from rushlight.heat.shrink import Shrinkage, shrinkage
from rushlight.heat.system import assemble, constant_air, start_state
from rushlight.heat.waxes import SOY

SHARP = replace(
    SOY,
    transitions=(Transition(ZERO + 50, ZERO + 50, 1.3e5),),
    conduct_liquid=SOY.conduct_solid,
    expansion_solid=0.0,
    expansion_liquid=0.0,
)


def sinks(wax: WaxThermal, faces: str, *, columns: int = 30, rows: int = 24) -> Shrinkage:
    """Freeze a cylinder, R 30 mm and H 60 mm, at its melting point from some of its faces."""
    line = curve(wax)
    grid = plain_grid(0.03, 0.06, columns=columns, rows=rows, faces=faces)
    cold = constant_air(200.0, ZERO + 20)
    parts = assemble(grid, line, density=880, shell=None, airs=(cold, cold, cold, cold))
    state = start_state(parts, enthalpy=float(line.enthalpy(ZERO + 50)), shell=0.0)
    times = np.linspace(60, 40000, 700)
    frames = march(parts, state, times).frames
    h = np.concatenate([state[None, :], frames])[:, : parts.cells]
    return shrinkage(
        rings=grid.rings,
        mass=parts.mass,
        wax=wax,
        times=np.concatenate([[0.0], times]),
        liquid=line.liquid_fraction(h),
        warm=line.temperature(h),
    )


@pytest.mark.parametrize("beta", [0.05, 0.08, 0.12])
def test_frozen_from_the_side_it_leaves_a_pipe(beta: float) -> None:
    """Its profile is h(r)/h₀ = (r/R)^(2β).

    Own derivation, verified by integration; the same idea as "Solidification pipes:
    from solder pots to igneous rocks" (preprint).
    """
    found = sinks(replace(SHARP, shrink=beta / (1 + beta)), "s")
    outer = found.radius > 0.3 * 0.03  # further in the surface counts as closed
    edges = found.radius - 0.5 * 0.03 / 30  # a column is left where its inner edge froze
    expected = 0.06 * (np.maximum(edges, 1e-6) / 0.03) ** (2 * beta)
    assert found.surface[outer] == pytest.approx(expected[outer], rel=0.03)


def test_frozen_from_below_it_leaves_a_flat_top_and_no_cavity() -> None:
    """Observed: Void formation in unidirectional solidification, Exp. Heat Transfer 3:239 (1990).

    The whole top sinks by β/(1+β) of the depth at most, and evenly.
    """
    found = sinks(replace(SHARP, shrink=0.08), "b", columns=6, rows=60)
    assert found.dip == pytest.approx(0.0, abs=1e-9)
    assert found.cavity < 0.01 * np.pi * 0.03**2 * 0.06
    assert found.surface[0] == pytest.approx(0.06 * (1 - 0.08), rel=0.01)


def test_frozen_from_above_it_hides_a_cavity() -> None:
    """Same source: from above, the shrinkage stays inside as voids."""
    found = sinks(replace(SHARP, shrink=0.08), "t", columns=6, rows=60)
    assert found.closes is not None
    whole = np.pi * 0.03**2 * 0.06 * 0.08 / (1 - 0.08)
    assert found.cavity > 0.7 * whole
    assert found.dip == pytest.approx(0.0, abs=1e-9)


def test_a_wax_that_does_not_shrink_leaves_nothing() -> None:
    """No shrinkage, no dip, no cavity, whichever way it freezes."""
    for faces in ("s", "t", "b", "stb"):
        found = sinks(replace(SHARP, shrink=1e-12), faces, columns=8, rows=12)
        assert found.cavity == pytest.approx(0.0, abs=1e-14)
        assert found.dip == pytest.approx(0.0, abs=1e-9)
