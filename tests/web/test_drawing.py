"""The drawing is to scale, escaped, and says what the sheet says."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any, Literal
from xml.etree import ElementTree as ET

import pytest

from rushlight.candle.document import read
from rushlight.candle.kinds import built_in
from rushlight.candle.sheet import JarSheet
from rushlight.candle.weigh import weigh
from rushlight.quantity.show import Preference
from rushlight.web.drawing.frame import HEIGHT, WIDTH, Frame
from rushlight.web.drawing.outline import outline
from rushlight.web.drawing.section import ITEMS, section
from rushlight.web.drawing.strip import strip

PREF = Preference()
SHAPES = tuple(built_in().names("vessel"))


def jar(vessel: str = "straight tumbler", **more: Any) -> JarSheet:
    """Return a plain candle in a vessel."""
    document = {
        "name": "Slipway",
        "vessel": {"use": vessel},
        "fill": {"percent": "85 %"},
        "wax": {"use": "soy container"},
        "wick": {"use": "cotton flat"},
    }
    return weigh(read(document | more, built_in()))


def points(drawn: str) -> list[tuple[float, float]]:
    """Return every place named in path data and lines."""
    pairs = re.findall(r"[ML]?(-?\d+\.\d\d) (-?\d+\.\d\d)", drawn)
    return [(float(x), float(y)) for x, y in pairs]


@pytest.mark.parametrize("vessel", SHAPES)
def test_every_shape_fits_the_sheet_and_is_well_formed(vessel: str) -> None:
    """Nothing is drawn off the sheet, whatever the vessel."""
    drawn = str(section(jar(vessel), PREF))
    ET.fromstring(drawn)  # noqa: S314 - our own drawing
    assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in points(drawn))


def test_the_drawing_is_to_scale() -> None:
    """Radii and heights share one scale."""
    sheet = jar("tapered tumbler")
    frame = Frame.around(sheet.candle.vessel, sheet.fill_height)
    x, y = frame.at(0.03, 0.05)
    assert x - frame.centre == pytest.approx(0.03 * frame.scale)
    assert frame.base - y == pytest.approx(0.05 * frame.scale)


def test_every_part_can_be_touched_and_is_named() -> None:
    """Each item is a link to its fields, with a name for those who cannot see it."""
    drawn = str(section(jar(), PREF))
    for number, item in enumerate(ITEMS, 1):
        assert f'href="#{item.key}"' in drawn
        assert f'aria-label="{number}, {item.name}: change it"' in drawn


def test_a_hostile_name_is_only_words() -> None:
    """Nothing typed becomes part of the drawing's code."""
    drawn = str(section(jar(name='"><script>alert(1)</script>'), PREF))
    assert "<script" not in drawn
    ET.fromstring(drawn)  # noqa: S314 - our own drawing


def test_the_finish_stays_below_the_gap_that_was_said() -> None:
    """A band that ends 20 mm under the rim is drawn so."""
    sheet = jar(finishes=[{"use": "mineral flakes", "amount": "4 g", "rim_gap": "20 mm"}])
    drawn = str(section(sheet, PREF))
    band = re.search(r'd="([^"]+)" class="d-finish"', drawn)
    assert band
    depth = sheet.candle.vessel.profile.depth
    frame = Frame.around(sheet.candle.vessel, sheet.fill_height + sheet.candle.wick.trim)
    assert min(y for _, y in points(band[1])) == pytest.approx(frame.y(depth - 0.020), abs=0.01)


def test_outlines_share_one_scale() -> None:
    """A vessel twice as tall is drawn twice as tall on the shelf."""

    def height(vessel: str) -> float:
        found = re.search(r'height="(\d+)"', str(outline(jar(vessel))))
        assert found
        return float(found[1])

    small, large = jar("small jar"), jar("large tumbler")
    apart = large.candle.vessel.profile.depth + large.candle.vessel.base
    apart -= small.candle.vessel.profile.depth + small.candle.vessel.base
    assert height("large tumbler") - height("small jar") == pytest.approx(apart * 1300, abs=1.01)


def test_the_strip_marks_the_flash_point_only_where_there_is_one() -> None:
    """No oil, no flash point."""
    oil = {"use": "fragrance oil", "flash_point": "93 C"}
    scented = jar(fragrance={"load": "8 %", "basis": "of wax", "oils": [oil]})
    assert "flash point" in str(strip(scented.windows, PREF))
    assert "flash point" not in str(strip(jar().windows, PREF))


@pytest.mark.parametrize("vessel", SHAPES)
@pytest.mark.parametrize("length", ["mm", "in"])
def test_fill_and_headspace_come_to_the_depth_as_shown(
    vessel: str, length: Literal["mm", "in"]
) -> None:
    """She adds the dimensions up in her head, in sixteenths too."""

    def read(words: str) -> Fraction:
        number, unit = words.rsplit(" ", 1)
        return sum((Fraction(part) for part in number.split()), Fraction(0)) * (unit == length)

    drawn = str(section(jar(vessel), Preference(length=length)))
    figures = re.findall(r'class="d-figure" text-anchor="start">([^<]+)<', drawn)
    fill, headspace, depth = (read(words) for words in figures[:3])
    assert fill + headspace == depth
