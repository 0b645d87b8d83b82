"""`rushlight label`: labels of a candle as a PDF at true size."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pymupdf
import pytest
import zxingcpp
from pypdf import PdfReader

Run = Callable[..., Any]
KEYS = json.loads((Path(__file__).parent / "label_keys.json").read_text("utf-8"))
ROWS = '[fragrance.oils.sheet]\nrows = "Linalool;78-70-6;80 %;Skin Sens. 1B"\n'


@pytest.fixture
def sheeted(candle: Path) -> Path:
    """Return the example candle with an oil that makes it an allergen."""
    mark = 'flash_point = "99 C"\n'
    text = candle.read_text("utf-8")
    assert mark in text
    candle.write_text(text.replace(mark, mark + ROWS, 1), "utf-8")
    return candle


def text_of(path: Path) -> str:
    """Return what a PDF says."""
    reader = PdfReader(io.BytesIO(path.read_bytes()))
    return " ".join(" ".join(page.extract_text().split()) for page in reader.pages)


def test_a_hazard_label_is_printed(run: Run, sheeted: Path, tmp_path: Path) -> None:
    """Statement and name in the PDF; a full sheet unless copies are asked for."""
    out = tmp_path / "h.pdf"
    ran = run("label", sheeted, "--pdf", out, "--net", "175 g", "--date", "2026-05-12")
    assert ran.status == 0, ran.err
    said = text_of(out)
    assert said.count("May cause an allergic skin reaction.") == 8
    assert "Net weight: 175 g" in said
    again = tmp_path / "again.pdf"
    run("label", sheeted, "--pdf", again, "--net", "175 g", "--date", "2026-05-12")
    assert again.read_bytes() == out.read_bytes()


@pytest.mark.parametrize("kind", ["warning", "front"])
def test_the_other_labels_are_printed(run: Run, candle: Path, tmp_path: Path, kind: str) -> None:
    """The fire warning needs nothing; the front needs the net weight."""
    out = tmp_path / "x.pdf"
    typed = ("label", candle, "--pdf", out, "--kind", kind, "--copies", "1")
    ran = run(*typed, "--net", "175 g")
    assert ran.status == 0, ran.err
    assert out.read_bytes().startswith(b"%PDF")
    if kind == "front":
        assert run(*typed).status == 2


def test_any_grid_by_its_measures(run: Run, candle: Path, tmp_path: Path) -> None:
    """Size, grid, pitch and margins in millimetres, on Letter, from the third cell."""
    out = tmp_path / "x.pdf"
    ran = run(
        *("label", candle, "--kind", "warning", "--pdf", out, "--paper", "letter"),
        *("--size", "90 x 50", "--grid", "2 x 4", "--pitch", "95x55", "--margins", "10 x 20"),
        *("--start", "3"),
    )
    assert ran.status == 0, ran.err
    assert "6 labels of 90 × 50 mm" in ran.out
    box = PdfReader(io.BytesIO(out.read_bytes())).pages[0].mediabox
    assert float(box.width) == pytest.approx(612, abs=0.1)  # 8½ in


@pytest.mark.parametrize(
    ("options", "place"),
    [
        (["--size", "90"], "--size"),
        (["--grid", "2 x 4"], "--grid"),
        (["--size", "90 x 50", "--grid", "2.5 x 4"], "--grid"),
        (["--sheet", "no such"], "--sheet"),
        (["--size", "90 x 50", "--sheet", "8 of"], "--sheet"),
        (["--copies", "-1"], "--copies"),
        (["--date", "soon"], "--date"),
        (["--start", "99"], "sheet.start"),
        (["--size", "300 x 300"], "sheet."),
    ],
)
def test_what_is_no_sheet_is_refused_in_place(
    run: Run, candle: Path, tmp_path: Path, options: list[str], place: str
) -> None:
    """Nothing is written."""
    out = tmp_path / "x.pdf"
    ran = run("label", candle, "--kind", "warning", "--pdf", out, *options)
    assert ran.status == 2
    assert ran.err.startswith(place), ran.err
    assert not out.exists()


def test_a_us_household_candle_gets_no_such_label(run: Run, sheeted: Path, tmp_path: Path) -> None:
    """It is refused with the reason, unless she asks."""
    out = tmp_path / "x.pdf"
    ran = run("label", sheeted, "--pdf", out, "--law", "us")
    assert ran.status == 2
    assert "FHSA" in ran.err
    assert run("label", sheeted, "--pdf", out, "--law", "us", "--pictograms").status == 0


def test_a_label_too_small_for_its_text_is_an_error(
    run: Run, sheeted: Path, tmp_path: Path
) -> None:
    """Never a silent shrink."""
    out = tmp_path / "x.pdf"
    ran = run("label", sheeted, "--pdf", out, "--size", "20 x 20")
    assert ran.status == 2
    assert not out.exists()


def test_the_supplier_of_the_workshop_stands_on_it(
    run: Run, workshop_file: Path, tmp_path: Path
) -> None:
    """Name, address and telephone from the settings."""
    out = tmp_path / "x.pdf"
    ran = run("label", "Slipway", "--workshop", workshop_file, "--pdf", out, "--copies", "1")
    assert ran.status == 0, ran.err
    assert "Nowhere Reach" in text_of(out)


MAKER = "The Boathouse, 1 Nowhere Reach, Rockland, ME 04841"
TYPED: dict[str, tuple[str, ...]] = {
    "hazard": ("--law", "eu"),
    "warning": (),
    "front": ("--net", "175 g"),
    "lot": ("--lot", "2026-05-A", "--poured", "12 May 2026", "--code", "LOT 2026-05-A"),
    "barcode": ("--gtin", "6 291041 500213", "--line", "Slipway"),
    "qr": ("--code", "https://example.org/slipway", "--line", "Where it was made"),
    "us-caution": ("--caution", "sensitizer", "--maker", MAKER),
}


def keys(tree: Any, before: str = "") -> set[str]:
    """Return the dotted keys of a tree; the rows of a list share theirs."""
    if isinstance(tree, dict):
        return {name for key, value in tree.items() for name in keys(value, f"{before}.{key}")}
    if isinstance(tree, list) and tree:
        return {name for row in tree for name in keys(row, f"{before}[]")}
    return {before.lstrip(".")}


@pytest.mark.parametrize("kind", sorted(TYPED))
def test_the_answer_says_what_was_printed(
    run: Run, sheeted: Path, tmp_path: Path, kind: str
) -> None:
    """Every text of the answer stands in the PDF, none lower than its rule; keys are a promise."""
    out = tmp_path / "x.pdf"
    typed = ("label", sheeted, "--kind", kind, "--pdf", out, "--copies", "1", "--size", "99 x 90")
    ran = run(*typed, *TYPED[kind], "--json")
    assert ran.status == 0, ran.out
    data = ran.data
    assert (data["kind"], data["copies"], data["sheets"]) == (kind, 1, 1)
    printed = text_of(out).replace("\xa0", " ").replace("\u200b", "").replace(" ", "")
    for text in data["texts"]:
        assert text["text"].replace(" ", "") in printed
        assert text["x_height_mm"] >= text["least_x_height_mm"] > 0
        assert text["capital_height_mm"] > text["x_height_mm"]
        assert text["rule"]
    assert [check["check"] for check in data["checks"]][:1] == ["room"]
    assert "licensed practice" in data["aid"]
    assert sorted(keys(data)) == KEYS[kind]


def test_a_lot_is_its_number_and_its_date(run: Run, candle: Path, tmp_path: Path) -> None:
    """As typed; without a number there is none."""
    out = tmp_path / "x.pdf"
    typed = ("label", candle, "--kind", "lot", "--pdf", out, "--copies", "1")
    assert run(*typed, *TYPED["lot"]).status == 0
    assert "Lot 2026-05-A Poured 12 May 2026" in text_of(out).replace("\xa0", " ")
    ran = run(*typed, "--json")
    assert (ran.status, ran.problems[0]["place"]) == (2, "--lot")


def test_a_wrong_check_digit_is_refused(run: Run, candle: Path, tmp_path: Path) -> None:
    """GS1, "How to calculate a check digit manually": 629104150021 calls for 3."""
    out = tmp_path / "x.pdf"
    typed = ("label", candle, "--kind", "barcode", "--pdf", out)
    ran = run(*typed, "--gtin", "6291041500214")
    assert ran.status == 2
    assert ran.err.startswith("--gtin")
    assert "call for 3" in ran.err
    assert run(*typed).err.startswith("--gtin")
    assert not out.exists()
    ran = run(*typed, "--gtin", "6291041500213")
    assert "The last digit, 3, is the one the others call for" in ran.out
    assert "in-house" not in ran.out.replace("none of those for in-house use", "")


def test_an_in_house_number_is_printed_with_that_said(
    run: Run, candle: Path, tmp_path: Path
) -> None:
    """GS1 prefixes 20 to 29, from memory; to a person and to a script."""
    typed = ("label", candle, "--kind", "barcode", "--pdf", tmp_path / "x.pdf")
    ran = run(*typed, "--gtin", "2000000000008")
    assert "kept for in-house use" in ran.out
    data = run(*typed, "--gtin", "2000000000008", "--json").data
    assert data["barcode"]["in_house"] is True
    assert data["barcode"]["check_digit"] == 8


def test_codes_are_read_back_from_the_paper(run: Run, candle: Path, tmp_path: Path) -> None:
    """By somebody else's reader, from 300 dpi."""
    for kind, said in (("barcode", "6291041500213"), ("qr", TYPED["qr"][1])):
        out = tmp_path / f"{kind}.pdf"
        ran = run("label", candle, "--kind", kind, "--pdf", out, "--copies", "1", *TYPED[kind])
        assert ran.status == 0, ran.err
        opened: Any = pymupdf.open(out)  # type: ignore[no-untyped-call]
        pixels = opened[0].get_pixmap(dpi=300, colorspace=pymupdf.csGRAY, alpha=False)
        picture = np.frombuffer(pixels.samples, np.uint8).reshape(pixels.height, pixels.stride)
        assert [code.text for code in zxingcpp.read_barcodes(picture)] == [said]


def test_the_net_weight_for_the_us_is_as_high_as_the_panel_of_the_jar_asks(
    run: Run, candle: Path, tmp_path: Path
) -> None:
    """Not of the label: 40 % of height × circumference (16 CFR 500.21), here over 5 in²."""
    typed = ("label", candle, "--kind", "front", "--pdf", tmp_path / "x.pdf", "--size", "45 x 70")
    data = run(*typed, "--law", "us", "--net", "6 oz (170 g)", "--json").data
    net = next(text for text in data["texts"] if text["place"] == "net weight")
    assert net["rule"] == "16 CFR 500.21: 1/8 in"
    assert net["least_x_height_mm"] == pytest.approx(25.4 / 8)


def test_the_us_caution_says_its_sizes_and_what_is_missing(
    run: Run, sheeted: Path, tmp_path: Path
) -> None:
    """Sizes by the jar's panel; names from the classification; every gap at its option."""
    typed = ("label", sheeted, "--kind", "us-caution", "--pdf", tmp_path / "x.pdf")
    size = ("--size", "99 x 90")
    data = run(*typed, *size, *TYPED["us-caution"], "--json").data
    texts = {text["place"]: text for text in data["texts"]}
    assert texts["components"]["text"] == "Contains: Linalool."
    assert texts["signal word"]["text"] == "WARNING"
    assert "16 CFR 1500.121: capitals of 7/64 in" in texts["signal word"]["rule"]
    assert texts["signal word"]["capital_height_mm"] == pytest.approx(25.4 * 7 / 64)
    assert run(*typed, *size, "--maker", MAKER, "--json").problems[0]["place"] == "--caution"
    ran = run(*typed, *size, "--caution", "sensitizer", "--json")
    assert ran.problems[0]["place"] == "--maker"
    small = run(*typed, "--size", "40 x 30", *TYPED["us-caution"], "--json")
    assert "16 CFR 1500.121" in " ".join(problem["remedy"] for problem in small.problems)
