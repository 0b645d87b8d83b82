"""Sheets of labels, read back from the PDF and from its raster."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from collections.abc import Callable
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np
import pymupdf
import pypdf
import pytest
import typst
import zxingcpp
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.hazard.label import Label as HazardLabel
from rushlight.hazard.netcontents import panel
from rushlight.press.labels import preview, render, stock
from rushlight.press.labels.codes import Barcode, QrCode
from rushlight.press.labels.design import Frame, Label, Outline, Shape, Words
from rushlight.press.labels.faces import Face
from rushlight.press.labels.fire import Warn
from rushlight.press.labels.front import Front, Look
from rushlight.press.labels.hazardous import Hazard
from rushlight.press.labels.lot import Lot
from rushlight.press.labels.sheet import Kind, Lie, Sheet
from rushlight.press.paper import Paper
from rushlight.quantity.si import Metre

from .conftest import DAY, POINT, Read, sheet_for

Printed = Callable[..., Read]
NEAR = 0.1  # mm
HOSTILE = [
    '#eval("1+1")',
    "#import sys: inputs",
    "*bold* _it_ $x^2$ `raw` @ref <a>",
    "= Heading",
    "<script>alert(1)</script>",
    "\\u{41}\\",
    "{{ t }} {% for %}",
    '"; #panic()',
    "'; DROP TABLE c; --",
]


def front(outline: Outline, **changed: Any) -> Label:
    """Return a front label."""
    asked = {"name": "Slipway", "net": "Net Wt 8 oz (226 g)", "kind": "Scented candle"}
    return Front(**(asked | changed)).label(outline)


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


def read_code(label: Label, **changed: Any) -> list[Any]:
    """Print one label, rasterise it at 300 dpi and return what zxing-cpp reads."""
    sheet = sheet_for(label.outline, **changed)
    picture = Read(render([label], sheet, Paper.A4, created=DAY)).raster(dpi=300)
    return list(zxingcpp.read_barcodes(picture))


@pytest.mark.parametrize(
    ("digits", "read"),
    [
        ("6291041500213", "6291041500213"),  # GS1, "How to calculate a check digit manually"
        ("7300011000017", "7300011000017"),  # GS1 Sweden
        ("5012345678900", "5012345678900"),  # GS1 UK's example number
        ("036000291452", "0036000291452"),  # a UPC is an EAN with a 0 before it
        ("96385074", "96385074"),
    ],
)
@pytest.mark.parametrize("magnification", [0.8, 1.0])
def test_bars_are_read_back_from_the_raster(
    outline: Outline, digits: str, read: str, magnification: float
) -> None:
    """At 300 dpi, by somebody else's reader."""
    label = Barcode(digits=digits, magnification=magnification, text="Slipway").label(outline)
    (found,) = read_code(label)
    assert found.text in {read, read.removeprefix("0")}


@pytest.mark.parametrize("text", ["LOT 2026-05-02-A", "https://example.org/ä?x=1&y=2", "x" * 120])
@pytest.mark.parametrize("module", [0.4, 0.5])
def test_a_qr_code_is_read_back_from_the_raster(outline: Outline, text: str, module: float) -> None:
    """At 300 dpi, letter for letter."""
    (found,) = read_code(QrCode(said=text, module=module, text="Slipway").label(outline))
    assert found.text == text


def test_both_codes_of_one_sheet_are_read(printed: Printed, outline: Outline) -> None:
    """Beside each other, with their quiet zones."""
    lot = Lot(number="A1", code="LOT A1", date="2 May 2026").label(outline)
    read = printed(Barcode(digits="96385074").label(outline), lot)
    found = {code.text for code in zxingcpp.read_barcodes(read.raster())}
    assert found == {"96385074", "LOT A1"}


def test_the_bars_are_as_wide_as_the_specification_says(printed: Printed, outline: Outline) -> None:
    """0.330 mm a module, 22.85 mm high, guards five modules longer (GS1, from memory)."""
    read = printed(Barcode(digits="6291041500213").label(outline))
    bars = [box for box in read.boxes() if 22 < box[3] - box[1] < 26]
    assert len(bars) == 30  # 2 × 3 guards of two bars, 12 figures of two bars
    modules = [(box[2] - box[0]) / 0.330 for box in bars]
    assert np.allclose(modules, np.round(modules), atol=0.02)
    assert max(box[2] for box in bars) - min(box[0] for box in bars) == pytest.approx(
        95 * 0.330, abs=NEAR
    )
    heights = sorted({round(box[3] - box[1], 1) for box in bars})
    assert heights == pytest.approx([22.85, 22.85 + 5 * 0.330], abs=NEAR)


def test_all_fonts_are_embedded_and_ours(printed: Printed, outline: Outline) -> None:
    """So that a label looks the same from every printer."""
    looks = [Look(name=face) for face in Face]
    read = printed(*[front(outline, look=look) for look in looks])
    reader = pypdf.PdfReader(io.BytesIO(read.bytes))
    names = set()
    for page in reader.pages:
        fonts: Any = page["/Resources"]
        for font in fonts["/Font"].values():
            descriptor = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"]
            assert {"/FontFile2", "/FontFile3"} & set(descriptor.get_object())
            names.add(str(descriptor.get_object()["/FontName"]).split("+")[-1])
    assert names == {Path(face.cut.file).stem.replace("-It", "-It") for face in Face}


def test_no_character_is_without_its_glyph(printed: Printed, outline: Outline) -> None:
    """Glyph 0 is the empty box: it is nowhere, and the text reads back as typed."""
    read = printed(front(outline, name="Größe ½ œuvre ℮"))
    assert "Größe ½ œuvre ℮" in read.words
    for page in read.pages:
        for trace in page.get_texttrace():
            assert all(glyph[1] != 0 for glyph in trace["chars"])


def test_a_reader_by_ear_hears_signs_and_codes(
    printed: Printed, outline: Outline, said: Callable[..., HazardLabel]
) -> None:
    """Each is a figure with its meaning in words (PDF/UA-1)."""
    bars = Barcode(digits="96385074").label(outline)
    warning, hazard = Warn().label(outline), Hazard(said=said(), product="S").label(outline)
    reader = pypdf.PdfReader(io.BytesIO(printed(bars, warning, hazard).bytes))
    things: list[Any] = [reader.get_object(n) for n in range(1, len(reader.xref[0]) + 1)]
    spoken = {str(thing["/Alt"]) for thing in things if "/Alt" in str(thing)}
    assert {"Barcode 96385074", "Exclamation mark", "Environment", "Burn within sight"} <= spoken


def all_kinds(outline: Outline, said: HazardLabel) -> list[Label]:
    """Return one of every kind."""
    return [
        front(outline, maker="The Boathouse"),
        Warn().label(outline),
        Hazard(said=said, product="Slipway").label(outline),
        Lot(number="A1", code="LOT A1", date="2 May 2026").label(outline),
        Barcode(digits="6291041500213").label(outline),
        QrCode(said="https://example.org", text="Where it was made").label(outline),
    ]


SCRIPT = """
import datetime, hashlib
from rushlight.press.labels import render, preview
from rushlight.press.labels.codes import Barcode
from rushlight.press.labels.fire import Warn
from rushlight.press.labels.stock import sheet
grid, paper = sheet("A4, 12 of 63.5 × 72 mm")
labels = [Warn().label(grid.outline), Barcode(digits="96385074").label(grid.outline)]
pdf = render(labels, grid, paper, created=datetime.date(2026, 5, 2))
print(hashlib.sha256(pdf + preview(labels[0]).encode()).hexdigest())
"""


def test_the_same_labels_give_the_same_bytes(
    printed: Printed, outline: Outline, said: Callable[..., HazardLabel]
) -> None:
    """In this run and, with other hash seeds, in others."""
    kinds = all_kinds(outline, said())
    assert printed(*kinds).bytes == printed(*kinds).bytes
    runs = {
        subprocess.run(
            [sys.executable, "-c", SCRIPT],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": "src"},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(runs) == 1


def pixels_of_preview(svg: str, folder: Path) -> Any:
    """Return the picture on screen as grey pixels at 300 dpi."""
    (folder / "label.svg").write_text(svg, "utf-8")
    page = "#set page(width: auto, height: auto, margin: 0pt, fill: white)\n#image('label.svg')"
    (folder / "label.typ").write_text(page.replace("'", '"'), "utf-8")
    png = typst.compile(folder / "label.typ", format="png", ppi=300)
    read: Any = pymupdf.Pixmap  # without type information
    shown = read(pymupdf.csGRAY, read(png))
    return np.frombuffer(shown.samples, np.uint8).reshape(shown.height, shown.width, -1)[..., 0]


@pytest.mark.parametrize("kind", range(6))
def test_the_picture_on_screen_is_the_label_that_is_printed(
    said: Callable[..., HazardLabel], tmp_path: Path, kind: int
) -> None:
    """Both as pixels at 300 dpi: the same ink in the same places, to the width of an edge."""
    outline = Outline(width=63.5, height=71.966667)  # 750 × 850 pixels at 300 dpi
    label = all_kinds(outline, said())[kind]
    sheet = sheet_for(outline, left=12.7, top=25.4)  # whole pixels
    paper = Read(render([label], sheet, Paper.A4, created=DAY)).raster(dpi=300)[300:1150, 150:900]
    screen = pixels_of_preview(preview(label), tmp_path)[:850, :750]
    assert (paper < 128).sum() > 1000
    assert paper.shape == screen.shape

    def blurred(picture: Any) -> Any:
        whole = picture.astype(float)
        return sum(np.roll(whole, (y, x), (0, 1)) for y in (-1, 0, 1) for x in (-1, 0, 1)) / 9

    assert np.abs(blurred(paper) - blurred(screen)).max() < 100
    assert np.abs(blurred(paper) - blurred(screen)).mean() < 1.5


def test_the_picture_on_screen_has_its_true_size_and_asks_for_nothing(
    outline: Outline, said: Callable[..., HazardLabel]
) -> None:
    """No script, no style, no address but its own: a strict page may show it."""
    for label in all_kinds(outline, said()):
        svg = preview(label)
        size = re.match(r'<svg viewBox="0 0 \S+ \S+" width="([\d.]+)pt" height="([\d.]+)pt"', svg)
        assert size
        sides = [float(side) * POINT for side in size.groups()]
        assert sides == pytest.approx([outline.width, outline.height], abs=1e-3)
        for word in ("<script", "style=", "<style", 'href="http', "<image", "<text", "@font"):
            assert word not in svg
        # a font or an address is named nowhere: letters are paths
        assert svg.count("http") == svg.count("http://www.w3.org/")


@pytest.mark.parametrize("text", HOSTILE)
def test_what_was_typed_is_only_ever_text(printed: Printed, text: str) -> None:
    """Letter for letter on the label, in a name, in a code, and it does nothing."""
    outline = Outline(width=99.1, height=67.7)
    lot = Lot(number=text, date=text, name=text, code=text).label(outline)
    read = printed(front(outline, name=text, kind=text, maker=text), lot, left=3.0)
    # a reader takes letters set apart for words: compare without spaces
    assert read.words.replace(" ", "").count(text.replace(" ", "")) >= 6
    assert text in {code.text for code in zxingcpp.read_barcodes(read.raster())}
    assert "<script" not in preview(lot)


@settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    name=st.text("Slipwagq  Ä½–,()", max_size=40),
    kind=st.text("Slipwagq  Ä½–,()", max_size=40) | st.text(max_size=3),
    x_height=st.floats(min_value=0.8, max_value=5.0),
    shape=st.sampled_from(Shape),
    side=st.floats(min_value=20.0, max_value=90.0),
    frame=st.sampled_from(Frame),
)
def test_any_label_fits_its_outline_or_is_refused(  # noqa: PLR0913, PLR0917  one value of each
    printed: Printed,
    name: str,
    kind: str,
    x_height: float,
    shape: Shape,
    side: float,
    frame: Frame,
) -> None:
    """Whatever was typed: no ink outside the label, ever."""
    outline = Outline(width=side, height=side, shape=shape)
    look = Look(name_x_height=x_height, frame=frame)
    label = Front(name=name, net="220 g ℮", kind=kind, look=look).label(outline)
    try:
        read = printed(label, left=10.0, top=30.0)
    except BadInput:
        return
    dots = 150 / 25.4
    picture = read.raster(dpi=150)[: int(285 * dots)]  # above the ruler
    y, x = np.nonzero(picture < 200)
    assert len(x) > 0
    if shape is Shape.ROUND:
        away = np.hypot(x / dots - 10.0 - side / 2, y / dots - 30.0 - side / 2)
        assert away.max() <= side / 2 + NEAR
    else:
        assert x.min() / dots >= 10.0 - NEAR
        assert x.max() / dots <= 10.0 + side + NEAR
        assert y.min() / dots >= 30.0 - NEAR
        assert y.max() / dots <= 30.0 + side + NEAR


def test_a_label_of_another_size_than_the_sheet_is_refused(outline: Outline) -> None:
    """Together with everything else that is wrong with the sheet."""
    other = front(Outline(width=40.0, height=40.0))
    with pytest.raises(BadInput) as raised:
        render([other], sheet_for(outline, start=9, left=-1.0), Paper.A4, created=DAY)
    places = [problem.place for problem in raised.value.problems]
    assert places == ["sheet.start", "front.outline"]


@pytest.mark.parametrize("count", [0, 5001])
def test_no_labels_or_far_too_many_are_refused(outline: Outline, count: int) -> None:
    """With a number to ask for."""
    with pytest.raises(BadInput, match="1 to 5000"):
        render([front(outline)] * count, sheet_for(outline), Paper.A4, created=DAY)


@pytest.mark.parametrize("name", list(stock.sheets()))
def test_every_common_sheet_prints_a_lot_in_every_cell(name: str) -> None:
    """The last cell too lies where the measures put it."""
    sheet, paper = stock.sheet(name)
    count = sheet.rows * sheet.columns
    lot = Label(name="dot", outline=sheet.outline, parts=(Words(text="ooo"),))
    read = Read(render([lot] * count, sheet, paper, created=DAY))
    marks = [span for span in read.spans() if span["text"] == "ooo"]
    assert len(marks) == count
    offsets = {
        (
            round(mark["origin"][0] * POINT - cell.x, 1),
            round(mark["origin"][1] * POINT - cell.y, 1),
        )
        for mark, cell in zip(marks, sheet.cells, strict=True)
    }
    assert np.ptp(np.array(sorted(offsets)), axis=0).max() <= NEAR + 1e-6
