"""`rushlight hazard`: what a candle must say, from a file and from a workshop."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
ROWS = (
    "name;cas;range;classes;m\n"
    "Linalool;78-70-6;20 - 30 %;Skin Sens. 1B, Eye Irrit. 2;\n"
    "d-Limonene;5989-27-5;10 - 20 %;Skin Sens. 1B, Aquatic Acute 1, Aquatic Chronic 3;M=1\n"
)
CERTIFICATE = """
[fragrance.oils.certificate]
limit = "9 %"
category = "12"
amendment = "51"
"""
KEYS = json.loads((Path(__file__).parent / "hazard_keys.json").read_text("utf-8"))


@pytest.fixture
def sheeted(candle: Path) -> Path:
    """Return the example candle with a sheet beside it for its first oil."""
    (candle.parent / "rows.csv").write_text(ROWS, "utf-8")
    mark = 'flash_point = "99 C"\n'
    text = candle.read_text("utf-8")
    assert mark in text
    with_sheet = f'{mark}sheet = "rows.csv"\n{CERTIFICATE}'
    candle.write_text(text.replace(mark, with_sheet, 1), "utf-8")
    return candle


def keys(tree: Any, before: str = "") -> set[str]:
    """Return the dotted keys of a tree; the rows of a list share theirs."""
    if isinstance(tree, dict):
        return {name for key, value in tree.items() for name in keys(value, f"{before}.{key}")}
    if isinstance(tree, list) and tree:
        return {name for row in tree for name in keys(row, f"{before}[]")}
    return {before.lstrip(".")}


def heavy(candle: Path) -> None:
    """Give the first oil enough of the sensitiser that it classifies."""
    rows = ROWS.replace("20 - 30 %", "90 %").replace("10 - 20 %", "10 %")
    (candle.parent / "rows.csv").write_text(rows, "utf-8")


def test_the_rows_beside_the_file_are_read(run: Run, sheeted: Path) -> None:
    """Percentages are of the finished candle; the basis of the load is shown both ways."""
    data = run("hazard", sheeted, "--law", "eu", "--json").data
    assert data["law"] == "EU"
    # 8 % of wax is 7.4 % of everything: 8/108, less the dye
    assert data["load_of_wax_percent"] == pytest.approx(8.0)
    assert data["load_of_total_percent"] == pytest.approx(7.4, abs=0.02)
    assert [line["code"] for line in data["label"]["supplemental"]] == ["EUH208"]
    assert data["use_limit"]["oils"][1]["limit_percent"] == pytest.approx(9.0)
    assert any("no safety data sheet" in note for note in data["notes"])
    assert data["cautions"]


def test_a_table_for_a_person_says_the_same(run: Run, sheeted: Path) -> None:
    """Words, reasons, the scale of loads, and that it is a working aid."""
    heavy(sheeted)
    ran = run("hazard", sheeted)
    assert ran.status == 0
    for word in ("GB CLP", "H317", "Warning", "Linalool", "% of total", "working aid", "Use limit"):
        assert word in ran.out
    assert "complies" not in ran.out


def test_a_us_candle_shows_no_pictogram_unless_asked(run: Run, sheeted: Path) -> None:
    """It comes under the FHSA, and that is said plainly."""
    heavy(sheeted)
    plain = run("hazard", sheeted, "--law", "us", "--json").data
    assert plain["label"]["pictograms"] == []
    assert any("FHSA" in line for line in plain["consumer"]["plain"])
    asked = run("hazard", sheeted, "--law", "us", "--pictograms", "--json").data
    assert [sign["code"] for sign in asked["label"]["pictograms"]] == ["GHS07"]
    assert run("hazard", sheeted, "--law", "eu", "--json").data["consumer"] is None


def test_the_label_is_in_the_language_asked_for(run: Run, sheeted: Path) -> None:
    """Statements and duties, in German."""
    heavy(sheeted)
    label = run("hazard", sheeted, "--language", "de", "--json").data["label"]
    assert label["signal"] == "Achtung"
    assert label["hazards"][0]["text"].startswith("Kann allergische")


def test_what_has_no_sheet_is_never_called_nothing_to_say(run: Run, tmp_path: Path) -> None:
    """Without one safety data sheet the answer is "not known", and each gap is named."""
    candle = tmp_path / "slipway.toml"
    assert run("new", candle).status == 0
    said = run("hazard", candle, "--json").data
    assert said["label"]["hazards"] == []
    assert {gap["name"] for gap in said["without_sheet"]} == {
        "Tar and samphire",
        "Cedar shavings",
        "Slate blue",
    }
    told = run("hazard", candle).out
    assert "not known" in told
    assert "call for no hazard label" not in told


def test_the_keys_are_those_promised(run: Run, sheeted: Path) -> None:
    """A key that goes or changes its name breaks a script; a new one is added to the list."""
    heavy(sheeted)
    assert sorted(keys(run("hazard", sheeted, "--law", "eu", "--json").data)) == KEYS["hazard"]
    weighed = run("netweight", "226.1", "210", "227", "--label", "226 g", "--json").data
    assert sorted(keys(weighed)) == KEYS["netweight"]


def test_every_problem_is_said_at_once_in_the_one_shape(run: Run, sheeted: Path) -> None:
    """A wrong CAS in the rows, a sheet that is not there, a certificate without its category."""
    rows = ROWS.replace("78-70-6", "78-70-7")
    (sheeted.parent / "rows.csv").write_text(rows, "utf-8")
    text = sheeted.read_text("utf-8").replace('category = "12"\n', "")
    sheeted.write_text(text, "utf-8")
    ran = run("hazard", sheeted, "--json")
    assert ran.status == 2
    places = {problem["place"] for problem in ran.problems}
    assert "fragrance.oils.1.certificate.category" in places
    assert "fragrance.oils.1.sheet.rows.0.cas" in places


@pytest.mark.parametrize(
    "content", [b"\xff\xfe\x00", b"x" * 2_000_000, None], ids=["not text", "huge", "missing"]
)
def test_rows_that_cannot_be_read_are_refused_in_place(
    run: Run, sheeted: Path, content: bytes | None
) -> None:
    """Not UTF-8, two megabytes, or not there at all."""
    path = sheeted.parent / "rows.csv"
    if content is None:
        path.unlink()
    else:
        path.write_bytes(content)
    ran = run("hazard", sheeted, "--json")
    assert ran.status == 2
    assert [problem["place"] for problem in ran.problems] == ["fragrance.oils.1.sheet"]


def test_the_sheet_of_the_file_is_no_matter_of_weighing(run: Run, sheeted: Path) -> None:
    """`rushlight sheet` weighs a candle file with sheets and certificates like any other."""
    ran = run("sheet", sheeted, "--json")
    assert ran.status == 0


def test_a_candle_of_the_workshop_is_reviewed_by_its_law(run: Run, workshop_file: Path) -> None:
    """Its own settings count; an option goes before them."""
    own = run("hazard", "Slipway", "--workshop", workshop_file, "--json").data
    assert (own["law"], own["candle"]) == ("GB", "Slipway")
    assert [c["statement"] for c in own["classes"]][:1] == ["H317"]
    other = run("hazard", "Slipway", "--workshop", workshop_file, "--law", "un", "--json").data
    assert other["law"] == "UN"
    assert run("hazard", "No such", "--workshop", workshop_file).status == 2


def test_the_example_without_any_sheet_says_that_all_is_unknown(run: Run, candle: Path) -> None:
    """Nothing known is never nothing to say."""
    data = run("hazard", candle, "--json").data
    assert data["label"]["empty"]
    assert sum("no safety data sheet" in note for note in data["notes"]) >= 2
    assert data["use_limit"]["standing"] == "unknown"
