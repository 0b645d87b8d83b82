"""Labels read back: codes, fonts, the picture on screen, hostile text, and what is refused."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from collections.abc import Callable
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
from rushlight.hazard.mixture import of_parts
from rushlight.hazard.us_caution import UsCaution, caution
from rushlight.hazard.us_consumer import us_consumer
from rushlight.press.labels import preview, render, stock
from rushlight.press.labels.codes import Barcode, QrCode
from rushlight.press.labels.design import Frame, Label, Outline, Shape, Words
from rushlight.press.labels.faces import Face
from rushlight.press.labels.fire import Warn
from rushlight.press.labels.front import Front, Look
from rushlight.press.labels.hazardous import Hazard
from rushlight.press.labels.household import Household
from rushlight.press.labels.lot import Lot
from rushlight.press.paper import Paper

from .conftest import DAY, NEAR, POINT, Read, front, sheet_for

Printed = Callable[..., Read]
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
        Household(said=cautions(), maker="The Boathouse, Rockland, ME 04841").label(outline),
    ]


def cautions() -> UsCaution:
    """Return what a US household candle with a sensitiser says."""
    candle = us_consumer(of_parts("c", []))
    return caution(candle, chosen=("sensitizer",), components=("Linalool",))


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


@pytest.mark.parametrize("kind", range(7))
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
