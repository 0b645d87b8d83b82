"""The counting sheet, read back from the PDF."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from rushlight.press.counting_sheet import CountingSheet, Shelf, Sight, ToCount, render
from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from tests.support.pages import POINT, Pages

SIZES = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}  # ISO 216; 8½ × 11 in
SHEET = CountingSheet(
    title="Stocktake 4",
    created=dt.date(2026, 6, 5),
    sight=Sight.OPEN,
    meta=(Fact("Opened", "5 June 2026"),),
    shelves=(
        Shelf(
            "Waxes",
            tuple(
                ToCount(code=f"M104{n}-7", name="Soy container wax", unit="g",
                        detail=f"their lot 88-{n}", expected=f"12,{n}43 g")
                for n in range(5)
            ),
        ),
        Shelf("Finished jars", (
            ToCount(code="260518-01-7", name="Slipway", unit="jars", detail="poured 18 May 2026",
                    expected="31 jars"),
        )),
        Shelf("Dyes", ()),
    ),
    note="Tare of the blue tub: 412 g.",
)  # fmt: skip


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("sight", list(Sight))
def test_every_lot_stands_on_the_sheet(paper: Paper, sight: Sight) -> None:
    """Code, name, what tells it apart, and the unit it is counted in."""
    read = Pages(render(replace(SHEET, sight=sight), paper=paper))
    assert read.sizes == {SIZES[paper]}
    for shelf in SHEET.shelves:
        assert shelf.head in read.words
        for row in shelf.rows:
            assert {row.code, row.name, row.detail} <= {
                text for text in (row.code, row.name, row.detail) if text in read.words
            }
    for text in ("Stocktake 4", "Tare of the blue tub: 412 g.", "Nothing to count.", "Counted by"):
        assert text in read.words
    read.assert_within_margins()


def test_a_blind_sheet_does_not_hold_what_is_expected_at_all() -> None:
    """Not in print, not unseen in the file: two ledgers give the same bytes."""
    seen = Pages(render(SHEET, paper=Paper.A4)).words
    blind = replace(SHEET, sight=Sight.BLIND)
    unseen = Pages(render(blind, paper=Paper.A4))
    for row in (row for shelf in SHEET.shelves for row in shelf.rows):
        assert row.expected in seen
        assert row.expected not in unseen.words
    assert "Expected" not in unseen.words
    assert "Counted blind" in unseen.words
    shelves = tuple(
        replace(shelf, rows=tuple(replace(row, expected="9 kg") for row in shelf.rows))
        for shelf in SHEET.shelves
    )
    assert render(replace(blind, shelves=shelves), paper=Paper.A4) == unseen.bytes


def test_every_lot_has_a_box_to_write_in() -> None:
    """8 mm high and wide enough for a figure, beside its unit."""
    read = Pages(render(SHEET, paper=Paper.A4))
    boxes = [
        (drawing["rect"].width * POINT, drawing["rect"].height * POINT)
        for page in read.pages
        for drawing in page.get_drawings()
        if drawing["color"] and not drawing["fill"] and drawing["rect"].height * POINT > 5
    ]
    assert len(boxes) == 6
    assert all(tall == pytest.approx(8.0, abs=0.1) and wide > 20 for wide, tall in boxes)


def test_a_long_count_goes_on_over_the_page() -> None:
    """No lot is lost; each page says whose it is."""
    rows = tuple(ToCount(code=f"M{n:04}-7", name="Soy container wax", unit="g") for n in range(120))
    read = Pages(render(replace(SHEET, shelves=(Shelf("Waxes", rows),)), paper=Paper.LETTER))
    assert len(read.texts) > 3
    assert all(read.words.count(row.code) == 1 for row in rows)
    assert all("Stocktake 4" in text for text in read.texts)


@settings(max_examples=15)
@example("\u202e", Sight.BLIND)
@example("", Sight.OPEN)
@given(
    st.text(max_size=200) | st.sampled_from(["#panic()", "<script>", "W" * 90]),
    st.sampled_from(list(Sight)),
)
def test_any_text_at_all_can_be_printed(text: str, sight: Sight) -> None:
    """And stays within the margins."""
    row = ToCount(code=text, name=text, unit=text[:6], detail=text, expected=text[:12])
    made = replace(
        SHEET, title=text, sight=sight, note=text, meta=(Fact(text, text),),
        shelves=(Shelf(text, (row,)),),
    )  # fmt: skip
    Pages(render(made, paper=Paper.A4)).assert_within_margins()
