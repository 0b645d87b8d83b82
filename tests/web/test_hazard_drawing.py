"""The measuring glass of loads, the dots of a lot, and words that keep out of one another's way."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.hazard.component import Component
from rushlight.hazard.law import Law
from rushlight.hazard.margin import Scale, scale
from rushlight.hazard.mixture import Part
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.hazard.recipe import Recipe
from rushlight.quantity.si import Fraction1
from rushlight.web.drawing.apart import apart, steps
from rushlight.web.drawing.lot import Level, lot
from rushlight.web.drawing.scale import drawn_marks, load_scale
from rushlight.web.drawing.signs import drawn_sign

places = st.lists(st.floats(0, 300), max_size=12).map(sorted)


@given(places)
def test_words_keep_their_order_and_their_distance(wanted: list[float]) -> None:
    """Twelve words of 20 in 300: always inside, never on one another."""
    placed = apart(wanted, 20.0, 0.0, 300.0)
    assert len(placed) == len(wanted)
    for one, other in pairwise(placed):
        assert other - one >= 20.0 - 1e-6
    assert all(-1e-6 <= place <= 300.0 + 1e-6 for place in placed)


@given(places)
def test_words_with_room_stay_where_they_belong(wanted: list[float]) -> None:
    """Nothing moves that need not."""
    if all(other - one >= 20.0 for one, other in pairwise(wanted)):
        assert apart(wanted, 20.0, 0.0, 300.0) == wanted


@given(st.floats(0, 1000), st.floats(1e-3, 1000))
def test_figures_of_a_scale_are_round_and_inside(low: float, span: float) -> None:
    """Between 2 and 14 figures, each within the scale."""
    found = steps(low, low + span, 6)
    assert 2 <= len(found) <= 14
    assert all(low - span * 1e-6 <= value <= low + span * (1 + 1e-6) + 1e-6 for value in found)


def loads_of(rows: str, load: float) -> Scale:
    """Return the scale of a candle of one oil."""
    components: tuple[Component, ...] = read_rows("name,range,classes\n" + rows).check()
    oil = SafetySheet(name="oil", components=components)
    return scale(Recipe(name="x", oils=(Part(oil, Fraction1(1.0)),), load=Fraction1(load)), Law.EU)


def height(drawn: str, name: str) -> float:
    """Return the y of a line of a class."""
    found = re.search(rf'<line[^>]* y1="([\d.]+)"[^>]* class="{name}"', drawn)
    assert found
    return float(found[1])


def test_the_oil_stands_below_a_mark_that_is_not_reached_and_above_one_that_is() -> None:
    """12 % linalool, EU: EUH208 from 0.83 %, H317 from 8.33 % of the total (arithmetic)."""
    for load, above in ((0.05, 1), (0.1, 2), (0.005, 0)):
        drawn = str(load_scale(loads_of("linalool,12,Skin Sens. 1B", load)))
        marks = [float(y) for y in re.findall(r'y1="([\d.]+)"[^>]* class="l-mark"', drawn)]
        assert len(marks) == 2
        now = height(drawn, "l-now")
        assert sum(mark > now for mark in marks) == above  # y grows downwards
        assert drawn.count('class="l-balloon on"') == above
        oil = re.search(r'y="([\d.]+)"[^>]*class="l-oil"', drawn)
        assert oil
        assert float(oil[1]) == pytest.approx(now, abs=0.01)


def test_both_bases_stand_at_the_same_height() -> None:
    """25 % of the wax is 20 % of the total: 0.25 / 1.25 (arithmetic)."""
    drawn = str(load_scale(loads_of("linalool,12,Skin Sens. 1B", 0.02)))
    ticks = {
        (side, words): float(y)
        for side, y, words in re.findall(
            r'<text x="(\d+)[\d.]*" y="([\d.]+)" class="l-figure"[^>]*>([^<]+)<', drawn
        )
    }
    left = {words: y for (side, words), y in ticks.items() if float(side) < 100}
    right = {words: y for (side, words), y in ticks.items() if float(side) > 100}
    total = {float(words.split()[0]): y for words, y in right.items()}
    for words, y in left.items():
        of_wax = float(words.split()[0]) / 100
        of_total = 100 * of_wax / (1 + of_wax)
        low, high = min(total), max(total)
        expected = total[low] + (total[high] - total[low]) * (of_total - low) / (high - low)
        assert y == pytest.approx(expected, abs=0.05)


def test_a_mark_beyond_the_drawn_scale_is_left_to_the_table() -> None:
    """2 % of a sensitiser: H317 from half of the candle on, past what is drawn."""
    found = loads_of("linalool,1.6,Skin Sens. 1B", 0.05)
    assert len(drawn_marks(found)) < len(found.marks)
    assert str(load_scale(found)).count('class="l-mark"') == len(drawn_marks(found))


@given(st.lists(st.floats(0.05, 0.4), min_size=1, max_size=80))
def test_every_jar_is_a_dot_inside_the_drawing(masses: list[float]) -> None:
    """Light ones are rings with their number; all stand within the frame."""
    floor = 0.2
    drawn = str(lot(masses, [Level("label", 0.226, "label")], floor=floor))
    dots = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"[^>]* class="(n-\w+)"', drawn)
    assert len(dots) == len(masses)
    assert sum(kind == "n-short" for *_, kind in dots) == sum(mass < floor for mass in masses)
    assert all(0 < float(x) < 480 and 0 < float(y) < 330 for x, y, _ in dots)


@pytest.mark.parametrize("code", ["GHS02", "GHS05", "GHS06", "GHS07", "GHS08", "GHS09"])
def test_a_pictogram_is_drawn_with_its_name_and_without_inline_style(code: str) -> None:
    """Shapes with classes only, for the strict policy; a title for a reader by ear."""
    drawn = str(drawn_sign(code))
    assert "style=" not in drawn
    assert re.search(r'aria-label="\w', drawn)
    assert drawn.count("<path") >= 2
