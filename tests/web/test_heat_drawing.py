"""The drawings of heat: contours where they belong, to scale, nothing off the sheet."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.document import read
from rushlight.candle.kinds import built_in
from rushlight.candle.sheet import JarSheet
from rushlight.candle.weigh import weigh
from rushlight.heat.ensemble import Spread
from rushlight.heat.from_candle import setting_of
from rushlight.heat.set import COARSE, Frames, forecast
from rushlight.heat.wick_window import Verdict, WickRate, WickWindow
from rushlight.quantity.show import METRIC, US
from rushlight.web.drawing import field
from rushlight.web.drawing.alone import alone
from rushlight.web.drawing.contour import contour
from rushlight.web.drawing.curve import HEIGHT, WIDTH, Chart, Level, Line, curve
from rushlight.web.drawing.range import window_range
from rushlight.web.heat_words import answer, degrees, lengths, span

SHAPES = tuple(built_in().names("vessel"))


def jar(vessel: str) -> JarSheet:
    """Return a plain candle in a vessel."""
    document = {
        "name": "Slipway",
        "vessel": {"use": vessel},
        "fill": {"percent": "85 %"},
        "wax": {"use": "soy container"},
        "wick": {"use": "cotton flat"},
    }
    return weigh(read(document, built_in()))


def test_a_contour_lies_where_the_field_has_its_value() -> None:
    """A circle of radius 6 cells comes back as one, to a fiftieth of a cell."""
    y, x = np.mgrid[0:20, 0:20]
    away = np.hypot(x - 9.5, y - 9.5)
    found = contour(away, 6.0)
    assert len(found) > 30
    for x1, y1, x2, y2 in found:
        assert math.hypot(x1 - 9.5, y1 - 9.5) == pytest.approx(6, abs=0.05)
        assert math.hypot(x2 - x1, y2 - y1) < 1.5
    # closed: every end is the end of two segments
    ends = [(round(x, 9), round(y, 9)) for a, b, c, d in found for x, y in ((a, b), (c, d))]
    assert all(ends.count(end) == 2 for end in ends)


def test_a_contour_stays_out_of_the_unknown() -> None:
    """Outside the wax there is no line."""
    away = np.full((6, 6), np.nan)
    away[:, :3] = np.arange(3)
    assert all(max(x1, x2) <= 2 for x1, _, x2, _ in contour(away, 1.5))
    assert contour(np.full((4, 4), 1.0), 0.5) == []


@pytest.mark.parametrize("vessel", SHAPES)
def test_the_section_of_every_shape_is_well_formed_and_on_the_sheet(vessel: str) -> None:
    """The wax in its outline; early and late."""
    sheet = jar(vessel)
    told = forecast(setting_of(sheet), members=0, cell=2 * COARSE)
    scale = field.Scale(290.0, 345.0)
    for at in (0, len(told.frames.times) // 3, len(told.frames.times) - 1):
        drawn = str(
            field.section(
                sheet.candle.vessel, told.frames, at, scale, surface=told.surface, says="A moment"
            )
        )
        ET.fromstring(drawn)  # noqa: S314 - our own drawing
        outline = re.findall(r'd="([^"]+)" class="h-glass"', drawn)
        places = re.findall(r"(-?[\d.]+) (-?[\d.]+)", outline[0])
        assert all(0 <= float(x) <= field.WIDTH for x, _ in places)
        assert all(0 <= float(y) <= field.HEIGHT for _, y in places)
        assert 'aria-label="A moment"' in drawn


def test_every_ring_of_wax_gets_its_tint() -> None:
    """Coldest and warmest are the ends of the ramp; outside the wax there is none."""
    scale = field.Scale(300.0, 314.0)
    warm = np.array([[300.0, 306.9, 314.0, np.nan]])
    assert scale.level(warm).tolist() == [[0, 6, field.LEVELS - 1, -1]]
    assert str(field.ramp(scale, METRIC)).count('class="h-') == field.LEVELS


def test_the_front_is_drawn_on_both_sides_of_the_middle() -> None:
    """The wax is round: what is left is right."""
    radius = np.asarray((np.arange(8) + 0.5) * 0.004, dtype=np.float64)
    height = np.asarray((np.arange(10) + 0.5) * 0.006, dtype=np.float64)
    liquid = np.where(np.hypot(radius[None, :], height[:, None] - 0.03) < 0.018, 1.0, 0.0)
    frames = Frames(np.zeros(1), np.full((1, 10, 8), 320.0), liquid[None], radius, height,
                    np.zeros((1, 1)), np.zeros(1))  # fmt: skip
    drawn = str(field.section(jar("straight tumbler").candle.vessel, frames, 0,
                              field.Scale(290, 340), says=""))  # fmt: skip
    front = re.search(r'd="([^"]+)" class="h-front"', drawn)
    assert front
    places = re.findall(r"[ML](\S+) \d", front[1])
    across = sorted(float(x) - field.WIDTH / 2 for x in places)
    assert across[0] == pytest.approx(-across[-1], abs=0.2)
    assert across[0] < -20


values = st.lists(st.one_of(st.floats(-50, 900), st.just(math.nan)), min_size=2, max_size=200)


@given(values, st.sampled_from(["hours", "°C"]))
def test_whatever_the_values_a_curve_stays_on_its_sheet(row: list[float], unit: str) -> None:
    """Gaps for what does not come about, never a NaN in the drawing."""
    chart = Chart(
        "Anything", list(range(len(row))), [Line("", row, [v - 1 for v in row], row)],
        unit, unit, mark=(1.0, "here"), levels=[Level("a level", 12.0)], band=(0.0, 5.0, "a band"),
    )  # fmt: skip
    drawn = str(curve(chart))
    ET.fromstring(drawn)  # noqa: S314 - our own drawing
    assert "nan" not in drawn.replace("unknown", "")
    points = re.findall(r"(-?\d+\.\d\d) (-?\d+\.\d\d)", drawn)
    assert all(0 <= float(x) <= WIDTH and 0 <= float(y) <= HEIGHT for x, y in points)


def test_a_hostile_name_is_only_words() -> None:
    """Nothing typed becomes part of the drawing's code."""
    name = '"><script>alert(1)</script>'
    wick = WickRate(name, 4.0, 5.0)
    drawn = str(window_range(WINDOW, [wick], now=(4.5, name)))
    assert "<script" not in drawn
    assert "<script" not in alone(name, [(name, window_range(WINDOW, [wick], now=None))])


WINDOW = WickWindow(
    Spread(3.0, 4.0, 5.0), Spread(6.0, 8.0, 10.0), np.arange(2.0, 10.1),
    np.linspace(0.5, 1, 9), np.linspace(300, 350, 9), empty=False,
    wicks={"Flat": Verdict.INSIDE}, words=("",),
)  # fmt: skip


def test_the_window_is_drawn_between_its_two_ends_on_one_scale() -> None:
    """And a wick at the same rate stands at the same place."""
    drawn = str(window_range(WINDOW, [WickRate("Flat", 4.0, 8.0)], now=None))
    box = re.search(r'<rect x="([\d.]+)"[^>]*width="([\d.]+)"[^>]*class="w-window"', drawn)
    dots = sorted(float(x) for x in re.findall(r'cx="([\d.]+)"', drawn))
    assert box
    assert dots == pytest.approx([float(box[1]), float(box[1]) + float(box[2])], abs=0.02)


def test_an_empty_window_is_not_drawn_as_one() -> None:
    """Two ends that cross leave nothing worth testing."""
    from dataclasses import replace

    drawn = str(window_range(replace(WINDOW, empty=True), [], now=None))
    assert "w-window" not in drawn
    assert ">worth testing<" not in drawn


def test_a_drawing_alone_needs_no_style_sheet() -> None:
    """Every class became attributes; it is one document."""
    drawn = alone("Wicks", [("The window", window_range(WINDOW, [], now=None))])
    ET.fromstring(drawn)  # noqa: S314 - our own drawing
    assert drawn.startswith("<svg xmlns=")
    assert "class=" not in drawn
    assert "var(" not in drawn


def test_what_comes_about_in_some_cases_says_in_how_many() -> None:
    """And what never does says so instead of a number."""
    some = answer("", Spread(1.0, 2.0, 3.0, 0.6), lambda v: f"{v:.0f} h")
    assert (some.likely, some.between) == ("2 h", "1 to 3 h")
    assert "60 %" in some.note
    never = answer("", Spread(math.nan, math.nan, math.nan, 0.0), lambda v: f"{v:.0f} h")
    assert (never.likely, never.between) == ("does not come about", "")


def test_a_unit_both_ends_share_is_said_once() -> None:
    """And kept where they do not."""
    assert span("5 g", "8 g") == "5 to 8 g"
    assert span("45 min", "1 h") == "45 min to 1 h"
    assert span("5 g", "5 g") == "5 g"


def test_scales_are_in_the_makers_units() -> None:
    """85 °C is 185 °F; 25.4 mm is an inch (NIST SP 811, App. B)."""
    assert degrees(358.15, METRIC) == pytest.approx(85)
    assert degrees(358.15, US) == pytest.approx(185)
    assert lengths(0.0254, METRIC) == pytest.approx(25.4)
    assert lengths(0.0254, US) == pytest.approx(1)
