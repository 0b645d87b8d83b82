"""The pour sheet on paper, read back from the PDF."""

from __future__ import annotations

import datetime as dt
import io
import re
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pymupdf
import pypdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rushlight.candle.sheet import BatchSheet
from rushlight.press.glyphs import BREAK
from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Care, Fact, PourSheetData, Weighing, render
from rushlight.press.pour_sheet_from import from_batch
from rushlight.quantity.show import METRIC, US

POINT = 25.4 / 72  # mm; a PDF point is 1/72 in (ISO 32000-1, 8.3.2.3)
Make = Callable[..., PourSheetData]


def opened(pdf: bytes) -> Any:
    """Return the pages as pymupdf reads them."""
    return pymupdf.open(stream=pdf, filetype="pdf")  # type: ignore[no-untyped-call]


def words(pdf: bytes) -> str:
    """Return all text, on one line, without places to break."""
    text = "\n".join(page.get_text() for page in opened(pdf))
    return " ".join(text.replace(BREAK, "").split())


def strokes(page: Any) -> list[tuple[float, float, float, float]]:
    """Return the straight lines of a page as x0, y0, x1, y1 [mm]."""
    found = []
    for drawing in page.get_drawings():
        for item in drawing["items"]:
            if item[0] == "l":
                a, b = item[1], item[2]
                found.append((a.x * POINT, a.y * POINT, b.x * POINT, b.y * POINT))
    return found


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        (Paper.A4, (210.0, 297.0)),  # ISO 216
        (Paper.LETTER, (215.9, 279.4)),  # 8½ in × 11 in
    ],
)
def test_every_page_has_the_size_of_the_paper(
    data: Make, paper: Paper, size: tuple[float, float]
) -> None:
    """Within a tenth of a millimetre."""
    reader = pypdf.PdfReader(io.BytesIO(render(data(), paper=paper)))
    for page in reader.pages:
        box = page.mediabox
        assert float(box.width) * POINT == pytest.approx(size[0], abs=0.1)
        assert float(box.height) * POINT == pytest.approx(size[1], abs=0.1)


@pytest.mark.parametrize("pref", [METRIC, US])
def test_everything_on_the_sheet_can_be_read_back(data: Make, pref: object) -> None:
    """Every name, figure, range, caution and source is printed as text."""
    made = data(METRIC if pref is METRIC else US)
    printed = words(render(made, paper=Paper.A4))
    expected = [made.title, made.note, made.pot_total, made.total, made.allowances]
    expected += [made.working_aid, made.section.note, made.section.wick_text]
    expected += [made.section.fill_text, made.section.headspace_text, made.section.depth_text]
    expected += [made.section.diameter_text]
    for fact in (*made.meta, *made.headline, *made.facts, *made.ready):
        expected += [fact.name, fact.value]
    for item in made.weighings:
        expected += [item.name, item.role, item.target, item.total, item.beside]
    for step in made.heat.steps:
        expected += [step.name, step.aim, step.span]
    expected += [tick.text for tick in made.heat.ticks]
    for care in made.cautions:
        expected += [care.what, care.remedy, care.source]
    missing = [text for text in expected if " ".join(text.split()) not in printed]
    assert missing == []


def test_the_same_sheet_gives_the_same_bytes(data: Make) -> None:
    """Nothing of the day it is printed, or of the run, gets into the file."""
    first = render(data(), paper=Paper.A4)
    time.sleep(1.1)  # a clock in whole seconds would show
    assert render(data(), paper=Paper.A4) == first


def test_the_file_is_dated_by_the_sheet(data: Make) -> None:
    """And carries the candle's name as its title."""
    about = pypdf.PdfReader(io.BytesIO(render(data(), paper=Paper.A4))).metadata
    assert about is not None
    assert about.title == "Slipway"
    assert about.creation_date is not None
    assert about.creation_date.date() == dt.date(2026, 5, 2)


@pytest.mark.parametrize("day", [dt.date.min, dt.date(1969, 12, 31), dt.date.max])
def test_a_date_far_off_can_be_printed_too(sheet: Callable[..., BatchSheet], day: dt.date) -> None:
    """It is odd, but it is what was typed."""
    made = from_batch(sheet(), METRIC, created=day)
    assert str(day.year) in words(render(made, paper=Paper.A4))


def test_all_fonts_are_embedded_and_ours(data: Make) -> None:
    """A printer's own face would have other widths, or no Ø."""
    reader = pypdf.PdfReader(io.BytesIO(render(data(), paper=Paper.A4)))
    names = set()
    for page in reader.pages:
        fonts = page["/Resources"]["/Font"]  # type: ignore[index]
        for font in fonts.values():
            described = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = described["/FontDescriptor"].get_object()
            assert "/FontFile2" in descriptor or "/FontFile3" in descriptor
            names.add(str(descriptor["/FontName"]).split("+")[-1].split("-")[0])
    assert names == {"SourceSans3", "SourceSerif4"}


def test_only_black_and_greys_are_printed(data: Make) -> None:
    """Paper and ink; it also has to survive a copier."""
    for page in opened(render(data(), paper=Paper.A4)):
        for drawing in page.get_drawings():
            for colour in (drawing["color"], drawing["fill"]):
                # within what 8 bits can tell of a grey
                assert colour is None or max(colour) - min(colour) < 1 / 256


def test_every_weighing_of_every_pot_has_a_box_to_tick(data: Make) -> None:
    """4.6 mm squares: pots times weighings, of one size and in straight columns."""
    made = data()
    page = opened(render(made, paper=Paper.A4))[0]
    boxes = []
    for drawing in page.get_drawings():
        rect = drawing["rect"]
        if drawing["color"] and not drawing["fill"]:
            sides = (rect.width * POINT, rect.height * POINT)
            if all(abs(side - 4.6) < 0.1 for side in sides):
                boxes.append(rect)
    assert made.pots == 2
    assert len(boxes) == made.pots * len(made.weighings)
    columns = {round(box.x0 * POINT, 1) for box in boxes}
    assert len(columns) == made.pots


def test_the_jar_is_drawn_to_the_scale_that_is_printed(data: Make) -> None:
    """The dimension lines measure what they say, within a tenth of a millimetre."""
    made = data(cautions=())
    pdf = render(made, paper=Paper.A4)
    scale = re.search(r"Drawn at 1:(\d+)", words(pdf))
    assert scale
    assert int(scale.group(1)) == 2
    upright = [abs(y1 - y0) for x0, y0, x1, y1 in strokes(opened(pdf)[0]) if abs(x1 - x0) < 0.01]
    drawing = made.section
    depth = drawing.places[-1].height
    assert depth == 90.0
    assert drawing.fill == pytest.approx(78.0)
    for length in (depth, drawing.fill, depth - drawing.fill, drawing.wick):
        assert any(drawn == pytest.approx(length / 2, abs=0.1) for drawn in upright), length
    level = [abs(x1 - x0) for x0, y0, x1, y1 in strokes(opened(pdf)[0]) if abs(y1 - y0) < 0.01]
    across = drawing.places[-1].diameter
    assert any(drawn == pytest.approx(across / 2, abs=0.1) for drawn in level)


def test_a_jar_on_a_page_of_its_own_is_drawn_full_size(data: Make) -> None:
    """She can hold it against the paper."""
    many = tuple(Care("note", f"Caution {n}.", "Mind it.", "common practice") for n in range(20))
    made = data(cautions=many)
    pdf = render(made, paper=Paper.A4)
    assert "Drawn at 1:1" in words(pdf)
    last = opened(pdf)[-1]
    depth = made.section.places[-1].height
    assert any(abs(y1 - y0) == pytest.approx(depth, abs=0.1) for _, y0, _, y1 in strokes(last))


@pytest.mark.parametrize(
    ("stations", "wick"),
    [
        (((0, 500), (500, 500)), 480),  # the largest vessel a document may hold
        (((0, 10), (5, 10)), 4),
        (((0, 60), (70, 90), (71, 40), (90, 40)), 120),  # a shoulder; a wick above the rim
        (((0, 300), (8, 300)), 7),
    ],
)
def test_any_vessel_fits_its_place(
    data: Make, stations: tuple[tuple[float, float], ...], wick: float
) -> None:
    """However large, flat or narrow."""
    made = data()
    places = tuple(type(made.section.places[0])(h, d) for h, d in stations)
    section = replace(made.section, places=places, fill=stations[-1][0] * 0.8, wick=wick)
    for page in opened(render(replace(made, section=section), paper=Paper.LETTER)):
        assert_inside(page)


def inked(page: Any) -> Iterator[tuple[str, tuple[float, float, float, float]]]:
    """Yield every letter that leaves ink, and its box [pt]: a space at a line's end leaves none."""
    for block in page.get_text("rawdict")["blocks"]:
        for line in block.get("lines", ()):
            for span in line["spans"]:
                for letter in span["chars"]:
                    if letter["c"].strip(f"{BREAK} \u00a0"):
                        yield letter["c"], letter["bbox"]


def assert_inside(page: Any) -> None:
    """Check that nothing is drawn or written beyond the margins of the sides."""
    left, right = 17 / POINT, page.rect.width - 17 / POINT
    for text, (x0, y0, x1, y1) in inked(page):
        assert left - 1 <= x0 <= x1 <= right + 1, text
        assert 0 <= y0 <= y1 <= page.rect.height, text
    for drawing in page.get_drawings():
        rect = drawing["rect"]
        assert left - 3 <= rect.x0 <= rect.x1 <= right + 3
        assert 0 <= rect.y0 <= rect.y1 <= page.rect.height


def test_a_figure_and_its_unit_stay_on_one_line(data: Make) -> None:
    """Wherever a column is too narrow for its text, the amount goes over whole."""
    amount = "42\u00a0285\u00a0g"
    text = " ".join(["Weigh 42\u00a0285 g of it,"] * 40)  # as `quantity.show` writes it
    made = data(note=text, cautions=(Care("note", text, text, "common practice"),))
    pages = opened(render(made, paper=Paper.A4))
    lines = [
        "".join(letter["c"] for span in line["spans"] for letter in span["chars"])
        for page in pages
        for block in page.get_text("rawdict")["blocks"]
        for line in block.get("lines", ())
    ]
    whole = [line for line in lines if "285" in line]
    assert len(whole) > 5
    assert sum(line.count(amount) for line in whole) == 3 * 40
    assert not any(line.strip().startswith(("285", "g ")) for line in lines)


HOSTILE = [
    '#eval("1+1")',
    "#import sys: inputs",
    "*bold* _it_ $x^2$ `raw` @ref <label> // gone /* gone */",
    "= Heading",
    "<b>bold</b><script>alert(1)</script>",
    "\\u{41}\\",
    "{{ title }} {% for %}",
    '"; #panic()',
    "../../../../etc/passwd",
    "'; DROP TABLE candles; --",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_only_ever_text(data: Make, name: str) -> None:
    """It is printed letter for letter wherever it stands, and does nothing."""
    item = Weighing("wax", name, "1 g", "2 g", name)
    pdf = render(data(title=name, note=name, weighings=(item,)), paper=Paper.A4)
    assert words(pdf).count(name) >= 3


@pytest.mark.parametrize("name", ["x" * 300, "long name " * 30, "W" * 120])
def test_a_long_name_wraps_and_stays_on_the_paper(data: Make, name: str) -> None:
    """In the title, in a table, in a list; nothing is lost."""
    item = Weighing("wax", name, "12 lb 13.45 oz", "128 lb 6.50 oz")
    ready = (Fact("vessel", f"12 × {name}"),)
    facts = (Fact("Vessel", name),)
    made = data(title=name, weighings=(item,) * 3, ready=ready, facts=facts, pots=3)
    pdf = render(made, paper=Paper.A4)
    for page in opened(pdf):
        assert_inside(page)
    printed = words(pdf).replace(" ", "")
    assert printed.count(name.replace(" ", "")) >= 5


def test_what_has_no_glyph_is_shown_and_said(data: Make) -> None:
    """An emoji becomes a lozenge, and the foot of the page explains it."""
    pdf = render(data(title="Kerze 🕯 am See"), paper=Paper.A4)
    assert "Kerze ◊ am See" in words(pdf)
    assert "stands for a character" in words(pdf)
    assert "stands for a character" not in words(render(data(), paper=Paper.A4))


def test_text_that_runs_from_right_to_left_turns_nothing_round(data: Make) -> None:
    """A direction override goes; the figures beside it stay as they are."""
    made = data(weighings=(Weighing("wax", "\u202ewax\u202c נר", "123 g", "246 g"),))
    printed = words(render(made, paper=Paper.A4))
    assert "wax ◊◊" in printed
    assert "123 g" in printed


@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(name=st.text(max_size=300), other=st.text(max_size=60))
def test_any_text_at_all_can_be_printed(data: Make, name: str, other: str) -> None:
    """No text makes the press fail."""
    item = Weighing(other, name, "1 g", "2 g", other)
    care = Care("stop", name, other, other)
    made = data(title=name, weighings=(item,), cautions=(care,), meta=(Fact(other, name),))
    assert render(made, paper=Paper.A4).startswith(b"%PDF-")


def test_many_pots_and_materials_go_on_over_the_page(data: Make) -> None:
    """Every page after the first repeats what sheet it is of; each table its heads."""
    items = tuple(Weighing("additive", f"Additive {n}", f"{n} g", f"{n * 7} g") for n in range(40))
    pdf = render(data(weighings=items, pots=7), paper=Paper.A4)
    pages = [" ".join(page.get_text().split()) for page in opened(pdf)]
    assert len(pages) > 4
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page
        assert "licensed practice decide" in page
        if number > 1:
            assert page.startswith("Slipway Revision 3")
        if "Additive 20" in page:
            assert "Material" in page
    everything = words(pdf)
    for head in ("pots 1 to 3", "pots 4 to 6", "Weigh, pots 7", "Pot 7, actual"):
        assert head in everything


def test_a_plain_candle_for_one_pot_fits_one_page(data: Make) -> None:
    """Three materials and a few cautions: one calm page, on either paper."""
    made = data()
    made = replace(made, pots=1, weighings=made.weighings[:3], cautions=made.cautions[-2:], note="")
    for paper in Paper:
        assert len(opened(render(made, paper=paper))) == 1, paper


def test_a_reader_by_ear_hears_what_is_drawn(data: Make) -> None:
    """The page is tagged, has a language and headings, and the drawing is described."""
    reader = pypdf.PdfReader(io.BytesIO(render(data(), paper=Paper.A4)))
    root: Any = reader.trailer["/Root"]
    assert root["/Lang"].startswith("en")
    assert root["/MarkInfo"]["/Marked"]
    things: list[Any] = [reader.get_object(n) for n in range(1, len(reader.xref[0]) + 1)]
    spoken = [str(thing["/Alt"]) for thing in things if "/Alt" in str(thing)]
    assert any("inner depth 90 mm" in text for text in spoken)


def test_a_sheet_is_set_within_its_budget(data: Make) -> None:
    """300 ms a sheet; the best of three, so that a busy machine is no failure."""
    made = data()
    render(made, paper=Paper.A4)

    def once() -> float:
        start = time.perf_counter()
        render(made, paper=Paper.A4)
        return time.perf_counter() - start

    assert min(once() for _ in range(3)) < 0.3
