"""The signs drawn for Rushlight."""

from __future__ import annotations

from math import hypot
from typing import Any

import pytest

from rushlight.hazard.classes import known
from rushlight.press.labels import fire, symbols

PICTOGRAMS = [name for name in symbols.names() if name.startswith("GHS")]


def points(shape: dict[str, Any]) -> list[tuple[float, float]]:
    """Return all points of a shape, those that only bend a curve too."""
    return [point for step in shape["steps"] for point in step[1:]]


def test_every_pictogram_a_rule_asks_for_is_drawn() -> None:
    """So that no class can end at a missing picture."""
    asked = {hazard.pictogram for hazard in known().values() if hazard.pictogram}
    assert asked <= set(PICTOGRAMS)
    assert len(asked) == 6


def test_every_fire_statement_has_its_sign() -> None:
    """The usual ones and the one for candles side by side."""
    assert {f"fire-{key}" for key in (*fire.USUAL, "distance")} <= set(symbols.names())


@pytest.mark.parametrize("name", PICTOGRAMS)
def test_a_pictogram_is_black_on_white_in_a_red_square_on_its_point(name: str) -> None:
    """CLP Annex V and 1.2.1.1: the frame's corners are the middles of the sides."""
    frame, *drawing = symbols.sign(name).shapes
    outer = points(frame)[:4]
    assert frame["fill"] == "red"
    assert outer == [(50, 0), (100, 50), (50, 100), (0, 50)]
    assert {shape["fill"] for shape in drawing} | {shape["stroke"] for shape in drawing} <= {
        "black",
        "white",
        "none",
    }
    assert any("black" in (shape["fill"], shape["stroke"]) for shape in drawing)


@pytest.mark.parametrize("name", PICTOGRAMS)
def test_the_drawing_stays_inside_its_frame(name: str) -> None:
    """No black on the red: |x − 50| + |y − 50| is less than the inside of the frame."""
    frame, *drawing = symbols.sign(name).shapes
    inside = 50 - min(y for _, y in points(frame)[4:])
    for shape in drawing:
        reach = max(abs(x - 50) + abs(y - 50) for x, y in points(shape))
        half = shape["thick"] / 2 if shape["stroke"] != "none" else 0.0
        assert reach + half * 2**0.5 <= inside + 0.5, shape


@pytest.mark.parametrize("name", symbols.names())
def test_a_sign_stays_on_its_square_and_has_a_name_to_speak(name: str) -> None:
    """A reader by ear hears what it says."""
    sign = symbols.sign(name)
    assert sign.title
    assert sign.title != name
    for shape in sign.shapes:
        half = shape["thick"] / 2 if shape["stroke"] != "none" else 0.0
        for x, y in points(shape):
            assert half - 1e-9 <= x <= 100 - half + 1e-9
            assert half - 1e-9 <= y <= 100 - half + 1e-9


def test_a_circle_is_round() -> None:
    """Its four curves meet on the circle, and bend on it half-way (within 0.03 %)."""
    steps = symbols._circle(50, 50, 40)
    start = steps[0][1]
    for letter, one, two, end in steps[1:5]:
        assert letter == "C"
        middle = tuple(
            (a + 3 * b + 3 * c + d) / 8 for a, b, c, d in zip(start, one, two, end, strict=True)
        )
        assert hypot(middle[0] - 50, middle[1] - 50) == pytest.approx(40, rel=3e-4)
        start = end


def test_a_path_is_read_step_by_step() -> None:
    """Moves, lines, both kinds of curves; further pairs go on as before."""
    steps = symbols._steps("M 0 0 L 1 2 3 4.5 C 1 1 2 2 3 3 Q 4 4 -5 5 Z")
    assert [step[0] for step in steps] == ["M", "L", "L", "C", "Q", "Z"]
    assert steps[2] == ["L", (3.0, 4.5)]
    assert steps[4] == ["Q", (4.0, 4.0), (-5.0, 5.0)]
