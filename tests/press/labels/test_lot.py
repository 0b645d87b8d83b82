"""The code of a jar lot on its label: read at arm's length, and by a scanner."""

from __future__ import annotations

import math
from typing import Any

import pytest
import zxingcpp

from rushlight.errors import BadInput
from rushlight.press.labels import gs1, render, stock
from rushlight.press.labels.design import Outline
from rushlight.press.labels.faces import Face
from rushlight.press.labels.gtin import Gtin
from rushlight.press.labels.lot import ARMS_LENGTH, Lot

from .conftest import DAY, POINT, Read

CODE = "260518-01-7"
GTIN = "6291041500213"  # GS1's own example, "How to calculate a check digit manually"
WIDE = ["A4, 8 of 99.1 × 67.7 mm", "A4, 14 of 99.1 × 38.1 mm", "Letter, 10 of 4 × 2 in"]


def jar_lot(**changed: Any) -> Lot:
    """Return the label of a lot of jars."""
    asked: dict[str, Any] = {
        "number": CODE,
        "code": CODE,
        "name": "Slipway",
        "date": "18 May 2026",
        "number_x_height": ARMS_LENGTH,
    }
    return Lot(**(asked | changed))


def printed(lot: Lot, name: str) -> Read:
    """Print it on a common sheet and read it back."""
    sheet, paper = stock.sheet(name)
    return Read(render([lot.label(sheet.outline)], sheet, paper, created=DAY))


def test_arms_length_is_what_its_source_asks_for() -> None:
    """16 minutes of arc at 60 cm at the least, 20 to 22 better (NUREG-0700, 1.3.1-4)."""
    cut = Face.SANS_BOLD.cut
    figure = ARMS_LENGTH / cut.x_height * cut.figure
    minutes = [math.degrees(math.atan(high / 600)) * 60 for high in (ARMS_LENGTH, figure)]
    assert minutes[0] > 16
    assert 20 < minutes[1] < 23


SMALL = "A4, 24 round of 40 mm"


@pytest.mark.parametrize("name", [name for name in stock.sheets() if name != SMALL])
def test_a_lot_of_jars_fits_common_labels_large_and_is_read_by_a_scanner(name: str) -> None:
    """The figures are 3.9 mm high on paper, the code comes back at 300 dpi."""
    read = printed(jar_lot(), name)
    (found,) = zxingcpp.read_barcodes(read.raster(dpi=300))
    assert found.text == CODE
    (span,) = [span for span in read.spans() if span["text"] == CODE]
    assert span["size"] * POINT * Face.SANS_BOLD.cut.x_height >= 3.0 - 0.01
    for text in ("Slipway", "Lot", "Poured 18 May 2026"):
        assert text in read.words


def test_on_a_label_too_small_it_is_refused_with_what_would_fit() -> None:
    """It never shrinks in silence."""
    with pytest.raises(BadInput, match="or a larger label"):
        printed(jar_lot(), SMALL)


@pytest.mark.parametrize("name", WIDE)
def test_with_a_licensed_number_the_bars_say_both(name: str) -> None:
    """Read back as GS1: (01) the number, (10) the lot; and printed so for people."""
    read = printed(jar_lot(gtin=GTIN), name)
    (found,) = zxingcpp.read_barcodes(read.raster(dpi=300))
    assert found.text == f"(01)0{GTIN}(10){CODE}"
    assert found.symbology_identifier == "]C1"  # Code 128 that begins with FNC1: GS1-128
    assert f"(01) 0{GTIN} (10) {CODE}" in read.words
    assert [span["text"] for span in read.spans()].count(CODE) == 1


@pytest.mark.parametrize("digits", ["96385074", "036000291452", GTIN])
def test_every_length_of_number_is_written_on_14_digits(digits: str) -> None:
    """Filled with noughts from the left (GS1 General Specifications, from memory)."""
    assert gs1.element_string(Gtin(digits), CODE) == f"01{digits:0>14}10{CODE}"


@pytest.mark.parametrize("lot", ["", "x" * 21, "lot 7", "größe", "a#b"])
def test_a_lot_that_a_gs1_code_cannot_hold_is_refused(lot: str) -> None:
    """At most 20 characters, of those that (10) may hold; said beside the field."""
    with pytest.raises(BadInput) as raised:
        gs1.element_string(Gtin(GTIN), lot)
    assert [problem.place for problem in raised.value.problems] == ["lot"]


def test_a_number_that_is_none_is_refused_beside_its_field() -> None:
    """Its check digit is looked at as on any other label."""
    with pytest.raises(BadInput) as raised:
        jar_lot(gtin="6291041500214").label(Outline(width=99.1, height=67.7))
    assert [problem.place for problem in raised.value.problems] == ["gtin"]


def test_bars_finer_than_a_printer_draws_are_refused(outline: Outline) -> None:
    """Three dots of 300 dpi are the least."""
    from rushlight.press.labels.design import Label, LotBars
    from rushlight.press.labels.fit import check

    bars = LotBars(gtin=Gtin(GTIN), lot=CODE, module=0.17)
    with pytest.raises(BadInput, match=r"0\.17 mm, less than 0\.25 mm"):
        check(Label(name="lot", outline=outline, parts=(bars,)))


def test_a_lot_of_her_own_book_stays_as_it_was() -> None:
    """Without the larger figures the number stands in its line."""
    read = printed(Lot(number="A1", date="2 May 2026"), WIDE[0])
    assert "Lot A1 Poured 2 May 2026" in read.words.replace("\u00a0", " ")
