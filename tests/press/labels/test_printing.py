"""Sheets of labels, read back from the PDF and from its raster."""

from __future__ import annotations

import io
from collections.abc import Callable
from math import sqrt
from typing import Any

import numpy as np
import pypdf
import pytest

from rushlight.hazard.label import Label as HazardLabel
from rushlight.hazard.netcontents import panel
from rushlight.press.labels import render
from rushlight.press.labels.design import Frame, Outline
from rushlight.press.labels.faces import Face
from rushlight.press.labels.front import Front, Look
from rushlight.press.labels.hazardous import Hazard
from rushlight.press.labels.lot import Lot
from rushlight.press.labels.sheet import Kind, Lie, Sheet
from rushlight.press.paper import Paper
from rushlight.quantity.si import Metre

from .conftest import DAY, NEAR, POINT, Read, front, sheet_for

Printed = Callable[..., Read]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("lie", list(Lie))
def test_every_label_lies_in_its_cell(printed: Printed, paper: Paper, lie: Lie) -> None:
    """A proof draws the cells: each is where margin and pitch put it, within 0.1 mm."""
    outline = Outline(width=63.5, height=72.0)
    wide, high = sheet_for(outline, lie=lie).size(paper)
    read = printed(front(outline), paper=paper, lie=lie, kind=Kind.PROOF)
    page = read.pages[0].rect
    assert (page.width * POINT, page.height * POINT) == pytest.approx((wide, high), abs=NEAR)
    drawn = [box for box in read.boxes() if box[2] - box[0] == pytest.approx(63.5, abs=NEAR)]
    cells = sorted((box[0], box[1]) for box in drawn if box[3] - box[1] > 71)
    wanted = [(12 + x * 66.5, 18 + y * 76.0) for x in (0, 1) for y in (0, 1)]
    assert np.allclose(cells, wanted, atol=NEAR)


def test_the_printers_correction_moves_everything(printed: Printed, outline: Outline) -> None:
    """Right and down, ruler and all."""
    plain = printed(front(outline))
    moved = printed(front(outline), right=1.5, down=-2.0)
    shift = np.array(moved.boxes()) - np.array(plain.boxes())
    assert np.allclose(shift, [1.5, -2.0, 1.5, -2.0], atol=0.02)
    for one, two in zip(plain.spans(), moved.spans(), strict=True):
        way = np.subtract(two["origin"], one["origin"]) * POINT
        assert np.allclose(way, [1.5, -2.0], atol=0.02)


def test_a_part_used_sheet_begins_at_its_first_free_cell(
    printed: Printed, outline: Outline
) -> None:
    """Three labels from cell 3 on: two on the first sheet, one on a fresh one."""
    lots = [Lot(number=f"L-{n}").label(outline) for n in (1, 2, 3)]
    read = printed(*lots, start=3)
    assert len(read.pages) == 2
    where = {
        span["text"]: (page, span["origin"][0] * POINT, span["origin"][1] * POINT)
        for page in (0, 1)
        for span in read.spans(page)
        if span["text"].startswith("Lot")
    }
    for text, (page, left, top) in {
        "Lot L-1": (0, 12.0, 94.0),
        "Lot L-2": (0, 78.5, 94.0),
        "Lot L-3": (1, 12.0, 18.0),
    }.items():
        found = where[text]
        assert found[0] == page
        assert left < found[1] < left + outline.width
        assert top < found[2] < top + outline.height


def ruler_lines(read: Read, page: int) -> list[float]:
    """Return the long strokes of a page [mm]."""
    sides = [max(b[2] - b[0], b[3] - b[1]) for b in read.boxes(page)]
    return [side for side in sides if 95 < side < 105]


def test_every_sheet_has_a_ruler_of_100_mm(printed: Printed, outline: Outline) -> None:
    """It is what tells that the printer changed the size."""
    read = printed(*[front(outline)] * 6)
    for page in range(len(read.pages)):
        assert ruler_lines(read, page) == pytest.approx([100.0], abs=NEAR)
    assert "if this is not 100 mm long" in read.words


def test_a_sheet_without_margins_gets_its_ruler_on_a_page_of_its_own() -> None:
    """Labels over the whole paper leave no strip for it."""
    outline = Outline(width=105.0, height=148.5)
    sheet = Sheet(
        outline=outline, columns=2, rows=2, left=0.0, top=0.0, pitch_x=105.0, pitch_y=148.5
    )
    read = Read(render([front(outline)], sheet, Paper.A4, created=DAY))
    assert len(read.pages) == 2
    assert ruler_lines(read, 0) == []
    assert ruler_lines(read, 1) == pytest.approx([100.0], abs=NEAR)


def test_the_viewer_is_asked_not_to_scale(printed: Printed, outline: Outline) -> None:
    """ISO 32000-1, 12.2; and the tags for a reader by ear are still there."""
    reader = pypdf.PdfReader(io.BytesIO(printed(front(outline)).bytes))
    root: Any = reader.trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert root["/MarkInfo"]["/Marked"]
    assert reader.metadata is not None
    assert reader.metadata.title == "front"
    assert reader.metadata.creation_date is not None
    assert reader.metadata.creation_date.date() == DAY


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("x_height", [1.0, 1.2, 3.175])
def test_letters_have_the_height_that_was_asked(
    printed: Printed, outline: Outline, face: Face, x_height: float
) -> None:
    """Measured on the raster: the ink of a row of flat x, within a pixel."""
    look = Look(name=face, name_x_height=x_height, frame=Frame.NONE)
    read = printed(Front(name="xxxxzxxxx", net="1", look=look).label(outline))
    pixel = 25.4 / 1200
    picture = read.raster(dpi=1200)
    span = next(span for span in read.spans() if span["text"] == "xxxxzxxxx")
    x0, y0, x1, y1 = (int(side * POINT / pixel) for side in span["bbox"])
    inked = np.nonzero((picture[y0:y1, x0:x1] < 128).any(axis=1))[0]
    height = (inked[-1] - inked[0] + 1) * pixel
    # an italic x swings over its height; the others end within a pixel
    over = 0.08 * x_height if face is Face.SERIF_ITALIC else 0.0
    assert x_height - pixel <= height <= x_height + 2 * pixel + over


def test_the_letters_of_a_hazard_label_are_as_high_as_the_rule(
    printed: Printed, outline: Outline, said: Callable[..., HazardLabel]
) -> None:
    """Every span's size times the x-height of its face is at least 1.2 mm (2024/2865)."""
    read = printed(Hazard(said=said(), product="Slipway").label(outline))
    on_label = [span for span in read.spans() if span["origin"][1] * POINT < 90]
    shares = {"SourceSans3-Regular": 0.486, "SourceSans3-Semibold": 0.491}
    assert len(on_label) > 8
    for span in on_label:
        height = span["size"] * POINT * shares[span["font"].split("+")[-1]]
        assert height >= 1.2 - 1e-3, span["text"]
    lines = sorted({round(span["origin"][1] * POINT, 3) for span in on_label})
    closest = min(np.diff(lines))
    assert closest >= 1.2 * 1.2 / 0.491 - 1e-2  # 120 % of the size


def test_a_pictogram_has_the_side_that_was_asked(
    printed: Printed, outline: Outline, said: Callable[..., HazardLabel]
) -> None:
    """A red square on its point: from corner to corner it is √2 of its side."""
    read = printed(Hazard(said=said(), product="Slipway", side=10.0).label(outline))
    red = [
        drawing["rect"]
        for drawing in read.pages[0].get_drawings()
        if drawing["fill"] and drawing["fill"][0] > 0.5 > drawing["fill"][1]
    ]
    assert len(red) == 2
    for rect in red:
        assert rect.width * POINT == pytest.approx(10.0 * sqrt(2), abs=NEAR)
        assert rect.height * POINT == pytest.approx(10.0 * sqrt(2), abs=NEAR)


def test_the_net_weight_reads_back_in_the_bottom_of_its_label(
    printed: Printed, outline: Outline
) -> None:
    """16 CFR 500.6 and 500.21 (from memory): within 30 %, an eighth of an inch high."""
    least = panel.type_height(panel.cylinder(Metre(0.076), Metre(0.089)))
    read = printed(front(outline, panel=least))
    span = next(span for span in read.spans() if span["text"].startswith("Net Wt"))
    size = span["size"] * POINT
    assert size * 0.491 >= 25.4 / 8 - 1e-3
    top = span["origin"][1] * POINT - size * 0.654
    assert top - 18.0 >= 0.7 * outline.height
