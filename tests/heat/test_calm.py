"""A cooling candle obeys the maximum principle: nothing gets colder than all about it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from rushlight.candle.profile import straight, tapered
from rushlight.heat.enthalpy import ZERO, Array
from rushlight.heat.march import Engine, Pace, march
from rushlight.heat.setting import Poured, Setting, pour
from rushlight.heat.surroundings import MATERIALS, REFRIGERATOR, Place
from rushlight.heat.system import heat_content
from rushlight.heat.waxes import SOY, WAXES
from rushlight.quantity.si import Metre

SLACK = 0.2  # K: a step is taken again where a ring strays by 0.1 K of solid wax, and rings that
# touch vessel or air are not looked after; the worst of 120 drawn jars was 0.10 K
# The jar in which the axis once fell to 28 °C between rings at 35 °C and rose again
GLASS = Setting(
    profile=straight(depth=Metre(0.088), diameter=Metre(0.067)),
    fill=0.074,
    wall=0.003,
    base=0.007,
    material="glass",
    wax=replace(SOY.melting_between(ZERO + 43, ZERO + 53), undercooling=4.0),
    pour=ZERO + 68,
    vessel=ZERO + 19,
    place=Place(room=ZERO + 19),
)
CLOCK = np.concatenate([np.arange(60.0, 7200, 60), np.arange(7200.0, 6 * 3600 + 1, 240)])


def too_cold(poured: Poured, frames: Array) -> Array:
    """Return by how much [K] each ring, frame by frame, is colder than all about it.

    All about it: itself and its neighbours in rings and shell, at this frame and the one
    before, and the air where it is open.
    """
    p = poured.parts
    warm = np.where(p.mass > 0, poured.line.temperature(frames[:, : p.cells]), np.inf)
    shell = frames[:, p.cells : p.cells + p.nodes]
    least, shell = np.minimum(warm[1:], warm[:-1]), np.minimum(shell[1:], shell[:-1])
    bound = warm[:-1].copy()
    for step in (-1, 1, -p.stride, p.stride):
        bound = np.minimum(bound, np.roll(least, step, axis=1))
    np.minimum.at(bound.T, p.touch_cell, shell[:, p.touch_node].T)
    np.minimum.at(bound.T, p.open_cell, p.ambient[p.open_air][:, None])
    wax = p.mass > 0
    return np.asarray(bound[:, wax] - warm[1:][:, wax])


@pytest.mark.parametrize("engine", list(Engine))
def test_the_axis_never_freezes_past_its_neighbours(engine: Engine) -> None:
    """As the last wax freezes, the ring on the axis stays between what is about it."""
    fine = engine is Engine.COMPILED
    poured = pour(GLASS, columns=30 if fine else 12, rows=67 if fine else 24)
    run = march(poured.parts, poured.state, CLOCK, engine=engine)
    frames = np.concatenate([poured.state[None], run.frames])
    assert too_cold(poured, frames).max() < SLACK
    axis = poured.line.temperature(frames[:, poured.grid.rings.index(30 if fine else 11, 0)])
    cooled = np.diff(axis[CLOCK.searchsorted(7200.0) :])
    assert cooled.max() < SLACK  # without a source it never warms again


def test_what_is_left_of_the_step_is_the_right_temperature() -> None:
    """Against steps of 2 s every ring is right within 1.5 K at each frame, 0.02 K in the mean.

    Before the mending one ring was 9 K off as it froze.
    """
    poured = pour(GLASS, columns=30, rows=67)
    ours = march(poured.parts, poured.state, CLOCK).frames[:, : poured.parts.cells]
    fine = march(poured.parts, poured.state, CLOCK, pace=Pace(2, 0.02, 4)).frames
    wax = poured.parts.mass > 0
    off = poured.line.temperature(ours[:, wax])
    off -= poured.line.temperature(fine[:, : poured.parts.cells][:, wax])
    share = poured.parts.mass[wax] / poured.parts.mass.sum()
    assert abs(off).max() < 1.5
    assert np.sqrt(np.mean(off**2 @ share)) < 0.02


@st.composite
def jars(draw: st.DrawFn) -> Setting:
    """Draw a jar, poured, anywhere."""
    wide, deep = draw(st.floats(0.04, 0.11)), draw(st.floats(0.04, 0.12))
    foot = draw(st.floats(0.7, 1.0))
    room = draw(st.floats(5.0, 24.0))
    wax = WAXES[draw(st.sampled_from(sorted(WAXES)))]
    return Setting(
        profile=tapered(depth=Metre(deep), base_diameter=Metre(foot * wide), diameter=Metre(wide)),
        fill=deep * draw(st.floats(0.6, 0.95)),
        wall=draw(st.floats(0.0015, 0.006)),
        base=draw(st.floats(0.002, 0.012)),
        material=draw(st.sampled_from(sorted(MATERIALS))),
        wax=wax,
        pour=wax.liquidus + draw(st.floats(2.0, 30.0)),
        vessel=ZERO + draw(st.floats(room, 60.0)),
        place=draw(st.sampled_from([Place(room=ZERO + room), REFRIGERATOR])),
    )


@settings(max_examples=12, deadline=None)
@example(jar=GLASS, cell=0.0011, every=240.0)
@given(jar=jars(), cell=st.floats(0.0011, 0.004), every=st.sampled_from([120.0, 240.0, 600.0]))
def test_nothing_gets_colder_than_all_about_it(jar: Setting, cell: float, every: float) -> None:
    """Over jars, waxes, rooms and grids; and the heat books stay closed."""
    widest = max(float(s.diameter) for s in jar.profile.stations)
    columns, rows = max(4, round(0.5 * widest / cell)), max(4, round(jar.fill / cell))
    poured = pour(jar, columns=columns, rows=rows)
    run = march(poured.parts, poured.state, np.arange(every, 6 * 3600 + 1, every))
    frames = np.concatenate([poured.state[None], run.frames])
    assert too_cold(poured, frames).max() < SLACK
    assert heat_content(poured.parts, frames[-1]) == pytest.approx(
        heat_content(poured.parts, poured.state), rel=1e-9
    )
