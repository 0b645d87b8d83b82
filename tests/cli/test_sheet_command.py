"""`rushlight sheet`: what to weigh, as a table, as JSON, on paper."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdf
import pytest

Run = Callable[..., Any]


def text_of(pdf: Path) -> str:
    """Return the text of a PDF on one line."""
    reader = pypdf.PdfReader(io.BytesIO(pdf.read_bytes()))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_the_table_says_what_to_weigh(run: Run, candle: Path) -> None:
    """Names, targets, windows, pieces and cautions."""
    ran = run("sheet", candle, "--jars", "24")
    assert (ran.status, ran.err) == (0, "")
    for said in ("Slipway", "24 jars and 1 spare", "soy container", "Tar and samphire", "25 ×"):
        assert said in ran.out
    # soy: fragrance at about 185 °F, poured at 163 °F as the file says (common practice)
    assert "85 °C" in ran.out
    assert "73 °C" in ran.out
    assert "29 CFR 1910.106(a)(19)" in " ".join(ran.out.split())


def test_units_can_be_those_of_an_american_bench(run: Run, candle: Path) -> None:
    """Ounces, inches, Fahrenheit."""
    out = run("sheet", candle, "--units", "us").out
    for said in (" oz", " in ", "185 °F", "163 °F", "8.00 fl oz"):
        assert said in out


def test_json_is_in_si_units_named_in_the_keys(run: Run, candle: Path) -> None:
    """8 fl oz is 236.588 236 5 ml (NIST Handbook 44, App. C); 163 °F is 72.78 °C."""
    data = run("sheet", candle, "--json").data
    jar, windows, batch = data["jar"], data["windows"], data["batch"]
    assert jar["brim_volume_ml"] == pytest.approx(236.5882365, abs=1e-6)
    assert jar["headspace_mm"] == pytest.approx(12)
    assert jar["fill_height_mm"] == pytest.approx(64)
    assert windows["pour_temperature_c"] == pytest.approx((163 - 32) / 1.8)
    assert windows["add_temperature_c"] == pytest.approx((185 - 32) / 1.8)
    assert windows["stir_s"] == pytest.approx(120)
    assert windows["cure_s"] == pytest.approx(7 * 86400)
    assert windows["lowest_flash_point_c"] == pytest.approx(93)
    assert windows["flash_gap_k"] == pytest.approx(93 - 85)
    # density x volume = mass, and wax x load = fragrance
    mass = jar["density_used_kg_m3"] * jar["fill_volume_ml"] / 1000
    assert jar["fill_mass_g"] == pytest.approx(mass)
    assert jar["fragrance_mass_g"] == pytest.approx(0.08 * jar["wax_mass_g"])
    assert sum(line["mass_g"] for line in jar["lines"]) == pytest.approx(jar["fill_mass_g"])
    assert sum(line["pot_mass_g"] for line in batch["lines"]) == pytest.approx(batch["pot_mass_g"])
    assert batch["total_mass_g"] == pytest.approx(batch["pots"] * batch["pot_mass_g"])


def test_the_command_line_overrules_the_file(run: Run, candle: Path) -> None:
    """Jars, spares and what a pot holds; the rest of the batch stays."""
    batch = run(
        "sheet", candle, "--json", "--jars", "40", "--spares", "0", "--capacity", "5 lb"
    ).data["batch"]
    assert (batch["jars"], batch["spares"], batch["jars_poured"]) == (40, 0, 40)
    # 1 lb is 453.592 37 g (NIST Handbook 44, App. C)
    assert batch["capacity_g"] == pytest.approx(5 * 453.59237)
    assert batch["pot_mass_g"] <= batch["capacity_g"] + 1
    assert batch["spill_percent"] == pytest.approx(1)


def test_a_bad_option_is_refused_like_a_bad_field(run: Run, candle: Path) -> None:
    """All of them at once."""
    problems = run("sheet", candle, "--json", "--jars", "many", "--capacity", "8 fl oz").problems
    assert [problem["place"] for problem in problems] == ["batch.jars", "batch.capacity"]


@pytest.mark.parametrize(("paper", "width"), [("a4", 595.3), ("letter", 612.0)])
def test_the_sheet_is_printed_on_the_paper_asked_for(
    run: Run, candle: Path, tmp_path: Path, paper: str, width: float
) -> None:
    """In points of 1/72 in: 210 mm and 8½ in."""
    out = tmp_path / "sheet.pdf"
    ran = run("sheet", candle, "--pdf", out, "--paper", paper, "--date", "2026-05-02")
    assert ran.status == 0
    assert f"{out}: written." in ran.out
    box = pypdf.PdfReader(io.BytesIO(out.read_bytes())).pages[0].mediabox
    assert float(box.width) == pytest.approx(width, abs=0.5)
    assert "Saturday 2 May 2026" in text_of(out)


def test_paper_and_table_say_the_same(run: Run, candle: Path, tmp_path: Path) -> None:
    """Every target of the table stands on the paper."""
    out = tmp_path / "sheet.pdf"
    run("sheet", candle, "--pdf", out)
    batch = run("sheet", candle, "--json").data["batch"]
    printed = text_of(out)
    for line in batch["lines"]:
        shown = line["counted"] or f"{line['pot_mass_g']:.0f} g"
        assert shown in printed
    assert f"{batch['pot_mass_g']:.0f} g" in printed


@pytest.mark.parametrize("where", ["", "missing/sheet.pdf"])
def test_a_place_that_cannot_be_written_is_refused(
    run: Run, candle: Path, tmp_path: Path, where: str
) -> None:
    """A folder, and a folder that is not there; nothing half-written stays behind."""
    ran = run("sheet", candle, "--pdf", tmp_path / where)
    assert ran.status == 2
    assert "cannot be written" in ran.err
    assert sorted(tmp_path.iterdir()) == [candle]


def test_a_date_that_is_none_is_refused(run: Run, candle: Path) -> None:
    """With how to type one."""
    ran = run("sheet", candle, "--date", "2 May")
    assert ran.status == 2
    assert ran.err.startswith("--date: “2 May” is not a date.")


def test_nothing_in_a_name_can_steer_the_terminal(run: Run, candle: Path) -> None:
    """Markup is not read, escapes and overrides do not come through."""
    text = candle.read_text("utf-8").replace("Tar and samphire", "[red]Tar[/red] [link=x]")
    candle.write_text(text, "utf-8")
    out = run("sheet", candle).out
    assert "[red]Tar[/red] [link=x]" in out
    assert "\x1b" not in out


def test_the_candle_of_a_workshop_comes_with_its_supplies(run: Run, workshop_file: Path) -> None:
    """By name, whatever its case; needed, in hand, promised and short."""
    from rushlight.workshop import candles
    from rushlight.workshop.opening import open_workshop

    shop = open_workshop(workshop_file)
    line = candles.listing(shop)[0]
    shop.close()
    ran = run("sheet", line.name.upper(), "--workshop", workshop_file, "--json")
    assert ran.status == 0
    assert ran.data["candle"] == line.name
    assert {"wax", "vessel", "wick"} <= {supply["role"] for supply in ran.data["supplies"]}
    table = run("sheet", line.slug, "--workshop", workshop_file)
    assert "In hand" in table.out


def test_a_candle_the_workshop_does_not_have_is_said_with_those_it_has(
    run: Run, workshop_file: Path
) -> None:
    """Or with the one that was meant."""
    ran = run("sheet", "no such thing", "--workshop", workshop_file)
    assert ran.status == 2
    assert "There is no candle called “no such thing” in this workshop." in ran.err


def test_a_workshop_that_is_not_there_is_refused(run: Run, tmp_path: Path) -> None:
    """By name, with what to do."""
    ran = run("sheet", "x", "--workshop", tmp_path / "none.rushlight")
    assert ran.status == 2
    assert "none.rushlight" in ran.err


def test_a_file_that_is_no_workshop_is_left_alone(run: Run, candle: Path) -> None:
    """Exit 1, as for every workshop that cannot be used (`rushlight.errors`)."""
    before = candle.read_bytes()
    ran = run("sheet", "x", "--workshop", candle)
    assert ran.status == 1
    assert "is not a workshop" in ran.err
    assert len(ran.err.splitlines()) == 1
    assert candle.read_bytes() == before
