"""Plans of vessels: round, square, oval, and where their wicks stand."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.heat.box_plan import POINTS, ROUND, Plan, oval, square, wicks

plans = st.builds(
    Plan, breadth=st.floats(0.25, 1.0), corner=st.floats(0.0, 1.0), oval=st.booleans()
)


def polygon_area(points: np.ndarray) -> float:
    """Return the area of a polygon (shoelace formula)."""
    ahead = np.roll(points, -1, axis=1)
    return float(0.5 * (points[0] * ahead[1] - points[1] * ahead[0]).sum())


@given(plans)
def test_the_outline_encloses_the_area_and_mirrors_both_ways(plan: Plan) -> None:
    """Shoelace area of the outline is that of the plan; each point has its mirror images."""
    points = plan.outline(0.08)
    assert points.shape == (2, POINTS)
    assert polygon_area(points) == pytest.approx(plan.area(0.08), rel=2e-3)
    assert 2 * points[0].max() == pytest.approx(0.08, rel=1e-9)
    assert 2 * points[1].max() == pytest.approx(0.08 * plan.breadth, rel=1e-3)
    for x, y in ((-1, 1), (1, -1)):
        mirrored = np.roll((points * [[x], [y]])[:, ::-1], POINTS // 2 + 1 if x < 0 else 1, axis=1)
        np.testing.assert_allclose(mirrored, points, atol=1e-12)


@given(plans)
def test_what_is_inside_makes_up_the_area(plan: Plan) -> None:
    """The share of a fine raster that is inside is the area, and nothing outside the box is."""
    side = (np.arange(400) + 0.5) / 400 - 0.5
    x, y = np.meshgrid(side, side)
    assert plan.inside(x, y, 1.0).mean() == pytest.approx(plan.area(1.0), abs=0.004)
    assert not plan.inside(np.array([0.51]), np.array([0.0]), 1.0).any()


def test_circles_and_squares_have_their_known_measures() -> None:
    """π/4 of the square for a circle; 4A/P is the width of both (geometry)."""
    assert ROUND.area(0.1) == pytest.approx(np.pi * 0.05**2, rel=1e-12)
    assert ROUND.of_round == pytest.approx(1.0, rel=1e-12)
    assert square(0.0).area(0.1) == pytest.approx(0.01, rel=1e-12)
    assert ROUND.hydraulic(0.1) == pytest.approx(0.1, rel=1e-4)
    assert square(0.0).hydraulic(0.1) == pytest.approx(0.1, rel=5e-3)
    assert oval(0.5).area(0.1) == pytest.approx(np.pi * 0.05 * 0.025, rel=1e-12)


@pytest.mark.parametrize("plan", [ROUND, square(), oval(0.6)], ids=["round", "square", "oval"])
@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
def test_wicks_stand_balanced_and_inside(plan: Plan, count: int) -> None:
    """Any usual number of wicks balances about the middle and stands in the wax."""
    places = np.array(wicks(count, plan, 0.1))
    assert len(places) == count
    np.testing.assert_allclose(places.mean(axis=0), 0.0, atol=1e-12)
    assert plan.inside(places[:, 0], places[:, 1], 0.1).all()


def test_two_and_three_wicks_stand_a_third_of_the_width_apart() -> None:
    """Common practice: about a third of the width, centre to centre."""
    for count in (2, 3):
        places = np.array(wicks(count, ROUND, 0.09))
        gaps = [np.hypot(*(b - a)) for a, b in pairwise(places)]
        np.testing.assert_allclose(gaps, 0.03, rtol=1e-9)


def test_what_is_no_plan_is_refused_with_every_reason() -> None:
    """A trough with corners rounder than round is told both."""
    with pytest.raises(BadInput) as refused:
        Plan(breadth=0.1, corner=1.5)
    assert [p.place for p in refused.value.problems] == ["vessel.breadth", "vessel.corner"]
