"""How jars of any plan with several wicks burn."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rushlight.candle.profile import Profile, Station, straight, tapered
from rushlight.errors import BadInput
from rushlight.heat import burn as rings
from rushlight.heat.box_burn import forecast, life, once
from rushlight.heat.box_burn_run import BoxCandle, build, out, session
from rushlight.heat.box_plan import ROUND, Plan, oval, square, wicks
from rushlight.heat.burn_run import Burning, at_rate
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.march import Engine
from rushlight.heat.surroundings import MATERIALS
from rushlight.heat.system import heat_content
from rushlight.heat.waxes import SOY, WAXES
from rushlight.quantity.si import Metre

WIDE = Burning(
    profile=straight(depth=Metre(0.09), diameter=Metre(0.1)),
    fill=0.075,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    density=900.0,
    rate=4.0 * GRAMS_PER_HOUR,
)
NARROW = replace(
    WIDE, profile=straight(depth=Metre(0.09), diameter=Metre(0.075)), rate=5.0 * GRAMS_PER_HOUR
)
CONE = replace(
    WIDE, profile=tapered(depth=Metre(0.09), base_diameter=Metre(0.08), diameter=Metre(0.11))
)
CASES = {
    "two in a round": (WIDE, ROUND, 2),
    "three in a square": (WIDE, square(), 3),
    "two in a tapered oval": (CONE, oval(0.6), 2),
    "four in a tin": (replace(WIDE, material="tin", wall=0.0004, base=0.0004), square(0.4), 4),
}


def candle(case: str, cell: float = 0.01) -> BoxCandle:
    """Return a cold candle on coarse cells."""
    burning, plan, count = CASES[case]
    return build(burning, plan, wicks(count, plan, 0.1), cell=cell)


@pytest.mark.parametrize("case", CASES)
def test_wax_and_heat_are_kept_through_burning_and_cooling(case: str) -> None:
    """At every output time: wax left + burnt = wax poured, and heat likewise, to 1e-9."""
    c = candle(case, 0.006)
    start = c.mass.sum()
    for lit in (None, out(c), None):
        for _ in range(3):
            session(c, 1800.0, lit=lit, every=1800.0)
            fuel, carried, fed = c.books
            assert c.mass.sum() + fuel == pytest.approx(start, rel=1e-12)
            held = heat_content(c.block.parts, c.y) + carried - fed
            assert held == pytest.approx(c.at_start, rel=1e-9)
    assert c.books[0] == pytest.approx(len(c.wicks) * 3 * 4e-3, rel=1e-6)  # 3 h at 4 g/h each


@settings(max_examples=10, deadline=None)
@given(
    st.sampled_from(sorted(WAXES)),
    st.sampled_from(sorted(MATERIALS)),
    st.builds(Plan, breadth=st.floats(0.4, 1.0), corner=st.floats(0.0, 1.0), oval=st.booleans()),
    st.integers(1, 4),
    st.floats(0.07, 0.14),
    st.floats(0.7, 1.4),
    st.floats(1.0, 12.0),
)
def test_any_candle_burns_with_closed_books(  # noqa: PLR0913, PLR0917 -- what a candle may be
    name: str, material: str, plan: Plan, count: int, width: float, taper: float, rate: float
) -> None:
    """Whatever plan, vessel, wax and wicks: `session` refuses to lose wax or heat."""
    profile = tapered(depth=Metre(0.08), base_diameter=Metre(width), diameter=Metre(width * taper))
    c = build(
        replace(
            WIDE,
            profile=profile,
            fill=0.06,
            wax=WAXES[name],
            material=material,
            wall=0.0005 if material in {"tin", "aluminium"} else 0.004,
            rate=rate * GRAMS_PER_HOUR,
        ),
        plan,
        wicks(count, plan, min(width, float(profile.diameter_at(Metre(0.06))))),
        cell=0.012,
    )
    for lit, seconds in ((None, 3600.0), (out(c), 1800.0), (None, 1800.0)):
        record = session(c, seconds, lit=lit, every=600.0)
        assert np.all(np.isfinite(record.log))
        assert np.all(record.log[:, 1] <= plan.area(width * max(1.0, taper)) * (1 + 1e-9))
        assert np.all(record.log[:, 7] <= count)
    warm = c.line.temperature(c.y[: c.block.parts.cells][c.mass > 0])
    assert warm.min() > WIDE.place.room - 0.5
    assert np.all(c.mass >= 0.0)


@pytest.mark.parametrize("case", CASES)
def test_the_compiled_burn_equals_its_numpy_twin(case: str) -> None:
    """Five minutes of flame and five of rest give the same candle in both engines.

    All but which of two equally hot nodes is named hottest.
    """
    logs = []
    candles = [candle(case, 0.012) for _ in range(2)]
    for c, engine in zip(candles, (Engine.COMPILED, Engine.NUMPY), strict=True):
        session(c, 300.0, engine=engine)
        logs.append(session(c, 300.0, lit=out(c), engine=engine).log)
    fast, slow = candles
    np.testing.assert_allclose(fast.mass, slow.mass, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(fast.y, slow.y, rtol=1e-8, atol=1e-4)
    told, also = (np.delete(log, 4, axis=1) for log in logs)
    np.testing.assert_allclose(told, also, rtol=1e-8, atol=1e-9)


@pytest.mark.parametrize("plan", [ROUND, square(), oval(0.6)], ids=["round", "square", "oval"])
def test_two_wicks_burn_as_mirror_images(plan: Plan) -> None:
    """Half an hour of two wicks: wax and temperature alike left and right, front and back."""
    c = build(WIDE, plan, wicks(2, plan, 0.1), cell=0.005)
    record = session(c, 1800.0)
    warm = c.line.temperature(c.y[: c.block.parts.cells])
    for field, scale in ((c.mass, c.mass.max()), (warm, 50.0)):
        cells = field.reshape(c.box.grid.rings.rows + 2, -1, c.box.at.pitch)
        np.testing.assert_allclose(cells[:, :, ::-1], cells, atol=1e-9 * scale)
        np.testing.assert_allclose(cells[:, ::-1, :], cells, atol=1e-9 * scale)
    np.testing.assert_allclose(record.log[:, 8], record.log[:, 9], rtol=1e-9)


def test_one_wick_in_a_round_box_burns_like_the_rings() -> None:
    """4 mm cells beside 2 mm rings, 4 h: pool within 6 %, depth 3 mm, wall 1 K, heat 2 %.

    Through the burn as well as at its end.
    """
    figures, record, c = once(NARROW, wicks=1)
    known, told, other = rings.once(NARROW)
    across = 2 * np.sqrt(record.log[:, 1] / np.pi)
    late = record.times > 1200
    assert np.abs(across / (2 * told.log[:, 1]) - 1)[late].max() < 0.10
    assert np.abs(across / (2 * told.log[:, 1]) - 1)[late].mean() < 0.03
    assert figures.pool == pytest.approx(known.pool, rel=0.06)
    assert figures.depth == pytest.approx(known.depth, abs=0.003)
    assert figures.wall == pytest.approx(known.wall, abs=1.0)
    assert figures.flame == pytest.approx(known.flame, rel=1e-12)
    assert c.books[2] == pytest.approx(other.books[2], rel=0.02)
    assert figures.joined_at == 0.0


def test_pools_join_later_the_farther_apart_the_wicks_stand() -> None:
    """Small wicks: two pools at first, one later, and never one when far apart."""
    small = at_rate(WIDE, 2.0)
    when, pools = [], []
    for half in (0.010, 0.016, 0.040):
        places = ((-half, 0.0), (half, 0.0))
        figures, record, _ = once(small, wicks=places, seconds=5400.0, cell=0.005)
        when.append(figures.joined_at)
        pools.append(record.log[-1, 7])
    assert when[0] < when[1] < 5400
    assert np.isnan(when[2])
    assert pools == [1, 1, 2]


def test_two_wicks_fill_a_wide_jar_better_than_one() -> None:
    """Common practice: past some 80–100 mm one wick does not reach the wall; two do better."""
    one = once(WIDE, wicks=1, cell=0.006)[0]
    two = once(WIDE, wicks=2, cell=0.006)[0]
    three = once(WIDE, wicks=3, cell=0.006)[0]
    assert one.pool_share < two.pool_share < three.pool_share
    assert one.wall < two.wall < three.wall
    assert three.full_at < 4 * 3600
    assert two.power == pytest.approx(2 * one.power, rel=1e-12)


def test_the_wall_is_hottest_where_it_is_nearest_the_wicks() -> None:
    """In an oval with its wicks along the length, that is not at its far ends."""
    figures, _, c = once(WIDE, square(0.3), wicks=((-0.03, 0.0), (0.03, 0.0)), cell=0.006)
    assert abs(figures.wall_x) == pytest.approx(0.05, abs=0.004)
    assert abs(figures.wall_y) < 0.02
    assert figures.wall > c.burning.place.room + 15


def test_burn_life_is_fuel_over_rate() -> None:
    """Hours = (wax − heel of 1/2 in) / burn rate of both wicks; the spread lies about it."""
    found = life(at_rate(WIDE, 6.0), wicks=2, cell=0.008)
    hours = np.pi * 0.05**2 * (0.075 - 0.0127) * 900 / 12e-3
    assert found.hours.likely / 3600 == pytest.approx(hours, abs=0.25)
    assert found.hours.low < found.hours.likely < found.hours.high
    assert found.sessions == int(np.ceil(hours / 4))
    assert "Test burn" in found.words[-1]


def test_a_forecast_carries_its_spread_and_its_words() -> None:
    """Low ≤ likely ≤ high on figures and curves; the words tell of pools, glass and tests."""
    found = forecast(WIDE, wicks=2, members=3, cell=0.006, coarse=0.008)
    for name in ("pool", "depth", "wall", "joined_at"):
        spread = found.spreads[name]
        assert spread.low <= spread.likely <= spread.high
    assert np.all(found.pool_low <= found.pool_high)
    assert found.own_pool.shape == (len(found.times), 2)
    assert found.pools[-1] == 1
    assert "join after" in found.words[0]
    assert any("hot glass" in word for word in found.words)
    assert "test burn before you sell" in found.words[-1]


@pytest.mark.parametrize("places", [((0.049, 0.0),), ((0.0, 0.0), (0.2, 0.0)), ()])
def test_a_wick_that_does_not_stand_in_the_wax_is_refused(
    places: tuple[tuple[float, float], ...],
) -> None:
    """In the wall, outside the vessel, or none at all: the place is named."""
    with pytest.raises(BadInput) as refused:
        build(WIDE, ROUND, places)
    assert refused.value.problems[0].place.startswith("wick.places")


def test_too_many_wicks_and_waists_are_refused() -> None:
    """Nine wicks, or a vessel that narrows and widens again, is not for this model."""
    with pytest.raises(BadInput, match="9 wicks"):
        once(WIDE, wicks=9)
    stations = [(0.0, 0.1), (0.045, 0.05), (0.09, 0.1)]
    waist = Profile(tuple(Station(Metre(z), Metre(d)) for z, d in stations))
    with pytest.raises(BadInput, match="narrows and widens"):
        once(replace(WIDE, profile=waist))


def test_a_short_candle_with_no_wax_to_burn_is_refused() -> None:
    """Filled no higher than what is left at the end of its life, nothing burns."""
    with pytest.raises(BadInput, match="no more wax"):
        once(replace(WIDE, fill=0.012), wicks=2, cell=0.006)


def test_the_room_is_where_it_began() -> None:
    """Without a flame a cold candle stays at room temperature."""
    c = candle("two in a round")
    session(c, 3600.0, lit=out(c))
    warm = c.line.temperature(c.y[: c.block.parts.cells][c.mass > 0])
    np.testing.assert_allclose(warm, ZERO + 21, atol=1e-6)
