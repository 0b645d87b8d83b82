"""The rings of wax and the shell round them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.profile import Profile, shouldered, straight, tapered
from rushlight.errors import BadInput
from rushlight.heat.grid import vessel_grid
from rushlight.quantity.si import Metre

STRAIGHT = straight(depth=Metre(0.09), diameter=Metre(0.075))
SHOULDERED = shouldered(
    depth=Metre(0.1), diameter=Metre(0.08), shoulder_height=Metre(0.06), neck_diameter=Metre(0.045)
)


@given(
    st.floats(0.03, 0.12), st.floats(0.03, 0.12), st.floats(0.1, 0.99), st.integers(4, 30),
    st.integers(4, 40),
)  # fmt: skip
def test_the_rings_hold_exactly_what_the_vessel_holds(
    base: float, mouth: float, full: float, columns: int, rows: int
) -> None:
    """Volume to the fill level is the vessel's, whatever the taper and the cells."""
    profile = tapered(depth=Metre(0.09), base_diameter=Metre(base), diameter=Metre(mouth))
    fill = 0.09 * full
    grid = vessel_grid(profile, fill=fill, wall=0.003, base=0.005, columns=columns, rows=rows)
    assert grid.rings.volume.sum() == pytest.approx(float(profile.volume_below(Metre(fill))))
    assert np.all(grid.rings.across >= 0)
    assert np.all(grid.rings.up >= 0)


@pytest.mark.parametrize("profile", [STRAIGHT, SHOULDERED], ids=["straight", "shouldered"])
def test_wax_touches_the_whole_inside(profile: Profile) -> None:
    """Contact area is base plus the slant area of the wall up to the fill."""
    fill, rows = 0.085, 40
    grid = vessel_grid(profile, fill=fill, wall=0.003, base=0.005, columns=20, rows=rows)
    levels = np.linspace(0, fill, rows + 1)
    radii = np.array([profile.diameter_at(Metre(z)) / 2 for z in levels])
    side = np.sum(np.pi * (radii[1:] + radii[:-1]) * np.hypot(np.diff(radii), np.diff(levels)))
    assert grid.touch.area.sum() == pytest.approx(side + np.pi * radii[0] ** 2, rel=1e-3)


def test_no_ring_outside_the_vessel_is_linked() -> None:
    """Links exist only between two rings that both hold wax."""
    rings = vessel_grid(SHOULDERED, fill=0.09, wall=0.003, base=0.005, columns=16, rows=30).rings
    full = rings.volume > 0
    linked = np.flatnonzero(rings.across)
    assert np.all(full[linked] & full[linked - 1])
    linked = np.flatnonzero(rings.up)
    assert np.all(full[linked] & full[linked - rings.stride])


def test_the_shell_weighs_what_a_shell_weighs() -> None:
    """Volume of base and wall of a straight glass, from outer less inner cylinder."""
    shell = vessel_grid(STRAIGHT, fill=0.08, wall=0.003, base=0.006, columns=20, rows=40).shell
    outer = np.pi * 0.0405**2 * (0.09 + 0.006)
    inner = np.pi * 0.0375**2 * 0.09
    assert shell.volume.sum() == pytest.approx(outer - inner)
    assert np.count_nonzero(shell.link == 0) == 1  # one chain, open at its first end


def test_a_hair_of_rim_makes_no_stiff_node() -> None:
    """Filled to a hair below the brim, the shell has no sliver of a node above the wax."""
    grid = vessel_grid(STRAIGHT, fill=0.09 - 1e-9, wall=0.003, base=0.006, columns=10, rows=20)
    wall = grid.shell.volume[grid.shell.height >= 0]
    assert wall.min() > 0.5 * wall.max()


def test_what_cannot_be_gridded_is_refused_with_every_reason() -> None:
    """A fill above the brim, a wall of no thickness and too many cells: all are named."""
    with pytest.raises(BadInput) as refused:
        vessel_grid(STRAIGHT, fill=0.2, wall=0.0, base=0.006, columns=2000, rows=2000)
    assert [p.place for p in refused.value.problems] == ["fill", "vessel.wall", "cells"]


def test_a_two_metre_jar_is_refused() -> None:
    """A slip of the unit is caught before any time is spent."""
    huge = straight(depth=Metre(2.0), diameter=Metre(1.0))
    with pytest.raises(BadInput, match="more than 1 m"):
        vessel_grid(huge, fill=1.9, wall=0.003, base=0.006, columns=100, rows=100)
