"""Vessels that are not round: what they hold, and what is refused."""

from __future__ import annotations

from math import pi
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.document import read
from rushlight.candle.kinds import built_in
from rushlight.candle.parts import Vessel
from rushlight.candle.plan import SLENDEREST, Plan, PlanShape
from rushlight.errors import BadInput


def vessel(**typed: Any) -> Vessel:
    """Read a vessel 80 mm deep and 60 mm wide, and what else is typed."""
    document = {
        "name": "Crate",
        "vessel": {"height": "80 mm", "diameter": "60 mm", **typed},
        "fill": {"headspace": "12 mm"},
        "wax": {"use": "soy container"},
        "wick": {"use": "cotton flat"},
    }
    return read(document, built_in()).vessel


def test_a_square_and_an_oval_hold_what_geometry_says() -> None:
    """60 × 60 × 80 mm is 288 ml; with round corners of 10 mm less (4 − π) r²; an ellipse πab."""
    assert vessel(plan="square").brim_volume == pytest.approx(288e-6)
    rounded = (60 * 60 - (4 - pi) * 10**2) * 80 * 1e-9
    assert vessel(plan="square", corner="10 mm").brim_volume == pytest.approx(rounded)
    assert vessel(plan="square", breadth="40 mm").brim_volume == pytest.approx(192e-6)
    oval = pi * 30 * 20 * 80 * 1e-9
    assert vessel(plan="oval", breadth="40 mm").brim_volume == pytest.approx(oval)


def test_round_corners_as_large_as_half_the_breadth_make_a_circle() -> None:
    """The two families meet."""
    assert vessel(plan="square", corner="30 mm").brim_volume == pytest.approx(vessel().brim_volume)


def test_what_was_weighed_still_goes_before_the_plan() -> None:
    """Water is believed; the plan only says what the shape would hold."""
    weighed = vessel(plan="square", water="250 g", water_at="20 C")
    assert weighed.brim_volume == pytest.approx(0.250 / 998.2, rel=1e-4)


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ({"plan": "triangle"}, "vessel.plan"),
        ({"breadth": "40 mm"}, "vessel.breadth"),
        ({"plan": "oval", "corner": "5 mm"}, "vessel.corner"),
        ({"plan": "square", "corner": "31 mm"}, "vessel.corner"),
        ({"plan": "square", "breadth": "70 mm"}, "vessel.breadth"),
        ({"plan": "oval", "breadth": "10 mm"}, "vessel.breadth"),
    ],
)
def test_what_is_no_plan_is_refused_in_its_place(typed: dict[str, str], place: str) -> None:
    """With a remedy."""
    with pytest.raises(BadInput) as caught:
        vessel(**typed)
    assert place in {problem.place for problem in caught.value.problems}
    assert all(problem.remedy for problem in caught.value.problems)


@given(st.sampled_from(list(PlanShape)), st.floats(SLENDEREST, 1.0), st.floats(0.0, 1.0))
def test_no_plan_is_larger_than_its_square(shape: PlanShape, breadth: float, corner: float) -> None:
    """Nor smaller than the ellipse within it."""
    area = Plan(shape=shape, breadth=breadth, corner=corner).area
    assert min(breadth, 1.0) - 1e-12 <= area <= 4 / pi + 1e-12
