"""Cells of wax in a vessel of any plan, and the shell about them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rushlight.candle.profile import Profile, straight, tapered
from rushlight.errors import BadInput
from rushlight.heat.box_grid import BoxGrid, box_grid
from rushlight.heat.box_plan import ROUND, Plan, oval, square
from rushlight.heat.grid import RIM, SIDE, vessel_grid
from rushlight.quantity.si import Metre

JAR = straight(depth=Metre(0.09), diameter=Metre(0.08))
CONE = tapered(depth=Metre(0.09), base_diameter=Metre(0.06), diameter=Metre(0.09))
SHAPES = {"round": ROUND, "square": square(), "oval": oval(0.6), "slab": Plan(breadth=0.3)}


def made(profile: Profile, plan: Plan, cell: float = 0.005) -> BoxGrid:
    """Return a vessel filled to 75 mm."""
    return box_grid(profile, plan, fill=0.075, wall=0.003, base=0.006, cell=cell)


@pytest.mark.parametrize("profile", [JAR, CONE], ids=["straight", "tapered"])
@pytest.mark.parametrize("shape", SHAPES)
def test_the_cells_hold_what_the_vessel_holds(shape: str, profile: Profile) -> None:
    """Wax volume is the profile's times the area of the plan over the circle's."""
    plan = SHAPES[shape]
    box = made(profile, plan)
    volume = float(profile.volume_below(Metre(0.075))) * plan.of_round
    assert box.grid.rings.volume.sum() == pytest.approx(volume, rel=1e-9)


@pytest.mark.parametrize("profile", [JAR, CONE], ids=["straight", "tapered"])
def test_a_round_box_has_the_shell_of_the_rings(profile: Profile) -> None:
    """Glass, wetted wall, outside and base of a round vessel agree with the ring model's."""
    box = made(profile, ROUND)
    rings = vessel_grid(profile, fill=0.075, wall=0.003, base=0.006, columns=18, rows=30)
    ours, theirs = box.grid, rings
    assert ours.shell.volume.sum() == pytest.approx(theirs.shell.volume.sum(), rel=1e-3)
    assert ours.touch.area.sum() == pytest.approx(theirs.touch.area.sum(), rel=1e-3)
    for air in (SIDE, RIM):
        here = ours.shell.area[ours.shell.air == air].sum()
        assert here == pytest.approx(theirs.shell.area[theirs.shell.air == air].sum(), rel=1e-3)
    assert ours.open.area.sum() == pytest.approx(theirs.open.area.sum(), rel=1e-2)


@settings(max_examples=8, deadline=None)
@given(st.sampled_from(sorted(SHAPES)), st.floats(0.0035, 0.012))
def test_a_grid_is_its_own_mirror_image(shape: str, cell: float) -> None:
    """Volumes, links and contacts are alike left and right, front and back."""
    box = made(CONE, SHAPES[shape], cell)
    size = len(box.grid.rings.volume)
    wet = np.zeros(size)
    np.add.at(wet, box.grid.touch.cell, box.grid.touch.area / box.grid.touch.half)
    for field in (box.grid.rings.volume, wet, box.grid.rings.up):
        cells = field[:size].reshape(box.grid.rings.rows + 2, -1, box.at.pitch)
        scale = cells.max()
        np.testing.assert_allclose(cells[:, :, ::-1], cells, atol=1e-9 * scale)
        np.testing.assert_allclose(cells[:, ::-1, :], cells, atol=1e-9 * scale)


@settings(max_examples=8, deadline=None)
@given(st.sampled_from(sorted(SHAPES)), st.floats(0.0035, 0.012))
def test_no_sliver_is_left(shape: str, cell: float) -> None:
    """Every cell holds at least four tenths of a whole one, so that steps stay long."""
    box = made(JAR, SHAPES[shape], cell)
    held = box.area[box.area > 0] / box.at.dx**2
    assert held.min() > 0.4
    assert held.max() < 2.5


def test_a_vessel_that_cannot_be_is_refused_with_every_reason() -> None:
    """A 2 m jar at 1 mm cells with a metre of glass is told all of it before any work."""
    vast = straight(depth=Metre(2.0), diameter=Metre(2.0))
    with pytest.raises(BadInput) as refused:
        box_grid(vast, ROUND, fill=3.0, wall=1.0, base=0.006, cell=0.001)
    assert [p.place for p in refused.value.problems] == ["fill", "vessel", "vessel.wall", "cells"]
