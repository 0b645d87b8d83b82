"""How a poured jar sets."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rushlight.candle.profile import straight, tapered
from rushlight.errors import BadInput
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.march import Engine
from rushlight.heat.set import COARSE, forecast, once, pour_curve
from rushlight.heat.setting import Setting
from rushlight.heat.surroundings import MATERIALS, REFRIGERATOR, Place, blocked, opening
from rushlight.heat.waxes import PARAFFIN, SOY, WAXES
from rushlight.quantity.si import Metre

JAR = Setting(
    profile=straight(depth=Metre(0.09), diameter=Metre(0.075)),
    fill=0.078,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    pour=ZERO + 72,
    vessel=ZERO + 21,
)


@pytest.mark.parametrize("name", WAXES)
def test_a_three_inch_jar_sets_in_a_few_hours(name: str) -> None:
    """Common practice: a 3 in jar sets within an evening, skin first, then all, then cool."""
    pour = {"palm": 90.0}.get(name, 75.0)
    found = once(replace(JAR, wax=WAXES[name], pour=ZERO + pour), cell=COARSE).figures
    assert 2 * 3600 < found.whole < 7 * 3600
    assert 300 < found.skin < found.closes < found.whole < found.movable
    assert found.last_radius < 0.02  # last in the middle
    assert 0.01 < found.last_height < 0.065


@pytest.mark.parametrize("wax", [SOY, PARAFFIN], ids=["soy", "paraffin"])
def test_the_refrigerator_makes_sinkholes_more_likely(wax: object) -> None:
    """Common practice; it also cools the wall harder, and sets sooner."""
    room = replace(JAR, wax=wax)  # type: ignore[arg-type]
    cold = replace(room, place=REFRIGERATOR)
    here, there = forecast(room, members=5), forecast(cold, members=5)
    assert there.sinkhole > here.sinkhole
    assert there.figures.cavity > here.figures.cavity
    assert there.figures.wall_rate > here.figures.wall_rate
    assert there.figures.whole < here.figures.whole


def test_a_hotter_pour_and_a_draught_leave_more_cavity() -> None:
    """Common practice: hot pours and draughts bring sinkholes."""
    calm = once(JAR, cell=COARSE).figures
    assert once(replace(JAR, pour=ZERO + 90), cell=COARSE).figures.cavity > calm.cavity
    assert once(JAR.changed(draught=2.5), cell=COARSE).figures.cavity > calm.cavity


def test_jars_close_together_set_slower() -> None:
    """Neighbours take away view and air; a warm vessel is set later too."""
    alone = once(JAR, cell=COARSE).figures
    assert once(JAR.changed(gap=0.01), cell=COARSE).figures.whole > 1.1 * alone.whole
    assert once(replace(JAR, vessel=ZERO + 50), cell=COARSE).figures.whole > alone.whole


def test_paraffin_asks_for_a_relief_pour_of_a_twentieth_to_a_tenth() -> None:
    """Common practice: 5–10 % of the fill, 3–6 °C hotter than the first, before it is cold."""
    found = forecast(replace(JAR, wax=PARAFFIN, pour=ZERO + 75), members=5)
    mass = 3.446e-4 * 771  # fill volume × density of the liquid at 75 °C
    assert 0.04 * mass < found.figures.relief < 0.1 * mass
    assert found.figures.closes < found.figures.relief_at < found.figures.whole
    assert 3 <= found.relief_pour - (ZERO + 75) <= 6
    assert found.sinkhole > 0.5


def test_every_figure_lies_within_its_spread() -> None:
    """Low ≤ likely ≤ high, and times really do spread; the heat books are closed."""
    found = forecast(JAR, members=5)
    for name, spread in found.spreads.items():
        if np.isfinite(spread.likely):
            assert spread.low <= spread.likely <= spread.high, name
    whole = found.spreads["whole"]
    assert 1.1 < whole.high / whole.low < 2.0
    assert found.books < 1e-9
    assert "pour one" in found.words[-1]
    again = forecast(JAR, members=5)
    assert again.spreads == found.spreads  # a forecast is the same each time it is made


def test_both_engines_give_the_same_forecast() -> None:
    """The figures of compiled kernel and NumPy twin agree."""
    fast = once(JAR, cell=0.004).figures
    slow = once(JAR, cell=0.004, engine=Engine.NUMPY).figures
    assert fast.whole == pytest.approx(slow.whole, rel=1e-9)
    assert fast.cavity == pytest.approx(slow.cavity, rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(sorted(WAXES)),
    st.sampled_from(sorted(MATERIALS)),
    st.floats(0.03, 0.11),
    st.floats(0.6, 1.6),
    st.floats(0.3, 1.0),
    st.floats(4, 26),
)
def test_any_jar_sets_with_closed_books(  # noqa: PLR0913, PLR0917 -- what a jar may be
    name: str, material: str, diameter: float, taper: float, full: float, room: float
) -> None:
    """Whatever the vessel, wax and room: heat is kept, and one thing happens after another."""
    jar = replace(
        JAR,
        profile=tapered(
            depth=Metre(0.08), base_diameter=Metre(diameter), diameter=Metre(diameter * taper)
        ),
        fill=0.08 * full,
        wall=0.0004 if material in {"tin", "aluminium"} else 0.004,
        wax=WAXES[name],
        material=material,
        pour=WAXES[name].liquidus + 12,
        place=Place(room=ZERO + room),
    )
    run = once(jar, cell=0.006)
    assert run.books < 1e-9
    assert run.figures.whole <= run.figures.movable + 60
    assert 0 <= run.figures.cavity_share < 0.15
    assert np.nanmin(run.frames.temperature) > ZERO + room - 0.5


def test_a_finer_grid_moves_the_setting_time_little() -> None:
    """Halving the cells moves the time to set by less than 3 %, the cavity by 15 %."""
    coarse, fine = once(JAR, cell=COARSE).figures, once(JAR).figures
    assert fine.whole == pytest.approx(coarse.whole, rel=0.03)
    assert fine.cavity == pytest.approx(coarse.cavity, rel=0.15)


def test_the_pour_advice_is_a_curve() -> None:
    """One forecast for each temperature; setting takes longer the hotter the pour."""
    temperatures = ZERO + np.array([60.0, 70.0, 80.0])
    found = pour_curve(JAR, temperatures)
    assert np.all(np.diff([f.figures.whole for f in found]) > 0)


def test_what_cannot_set_is_refused_with_every_reason() -> None:
    """A cold pour, a hot room and an unknown vessel are all named before any time is spent."""
    odd = replace(JAR, pour=ZERO + 40, material="paper", place=Place(room=ZERO + 55))
    with pytest.raises(BadInput) as refused:
        once(odd)
    places = [p.place for p in refused.value.problems]
    assert places == ["vessel.material", "wax.pour", "place.room"]


def test_view_factors_keep_their_limits() -> None:
    """A wax level with the rim sees all of the room; neighbours far off hide nothing."""
    assert opening(0.0, 0.07) == pytest.approx(1.0)
    assert opening(0.035, 0.07) == pytest.approx(0.382, abs=1e-3)  # ½(3 − √5), exact
    assert blocked(None, 0.08, 0.1) == 0.0
    assert blocked(0.005, 0.08, 0.1) > blocked(0.05, 0.08, 0.1) > 0.0
