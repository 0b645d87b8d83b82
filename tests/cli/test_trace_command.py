"""`rushlight trace`: both ways along a thread, and the recall of a lot."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

Run = Callable[..., Any]


@pytest.fixture
def jars(run: Run, workshop_file: Path) -> dict[str, Any]:
    """Return the oldest lot of jars of the demo, some of which are sold."""
    found = run("stock", "jars", "--workshop", workshop_file, "--json").data["lots"]
    return dict(found[0])


def test_from_jars_to_every_lot_reading_and_person(run: Run, demo_place: str) -> None:
    """And on to whoever bought them; what was used of each lot is told."""
    where = ("--workshop", demo_place, "--json")
    first = run("stock", "jars", *where).data["lots"][0]
    ran = run("trace", first["lot"], *where)
    assert ran.status == 0, ran.out
    data = ran.data
    assert (data["code"], data["kind"], data["files"]) == (first["lot"], "jar_lot", [])
    assert [pour["pour"] for pour in data["pours"]] == [first["pour"]]
    assert data["pours"][0]["person"]
    assert {lot["role"] for lot in data["lots"]} >= {"wax", "fragrance", "wick", "vessel"}
    soy = next(lot for lot in data["lots"] if lot["role"] == "wax")
    assert (soy["supplier"], soy["supplier_lot"]) == ("The Imaginary Wax Barn", "MS-2209")
    assert soy["used_g"] > 0
    assert soy["used_pieces"] is None
    assert 40 < data["bench"]["readings"][0]["temperature_c"] < 120
    assert {work["person"] for work in data["bench"]["work"]} >= {"Wren"}
    weighed = sum(w["weighed_g"] for w in data["bench"]["weighings"] if "wax" in w["line"])
    assert weighed == pytest.approx(soy["used_g"])
    assert sum(sale["jars"] for sale in data["sales"]) == data["jars"][0]["sold_jars"]
    assert {row["into_code"] for row in data["thread"]} >= {first["lot"]}


def test_a_suppliers_own_code_is_enough(run: Run, workshop_file: Path) -> None:
    """From it to every jar, order and buyer; a slip or an unknown code is said."""
    where = ("--workshop", workshop_file)
    data = run("trace", "st-77-a", *where, "--json").data
    assert (data["kind"], data["lots"][0]["supplier_lot"]) == ("stock_lot", "ST-77-A")
    assert {sale["buyer"] for sale in data["sales"]} >= {"A Gallery That Is Not"}
    code = data["code"]
    assert run("trace", code.lower().replace("-", " "), *where, "--json").data["code"] == code
    wrong = f"{code[:-1]}{(int(code[-1]) + 1) % 10}"
    ran = run("trace", wrong, *where)
    assert (ran.status, "has a slip in it" in ran.err) == (2, True)
    ran = run("trace", "ZZZ-1", *where)
    assert (ran.status, "Nothing here is called “ZZZ-1”" in ran.err) == (2, True)
    ran = run("trace", "\x1b[31m", *where)
    assert (ran.status, "\x1b" in ran.err) == (2, False)


def test_a_thread_is_told_to_a_person_and_as_csv(
    run: Run, workshop_file: Path, jars: dict[str, Any], tmp_path: Path
) -> None:
    """The thread and its tables; the file has a row for each link."""
    out = tmp_path / "thread.csv"
    where = ("--workshop", workshop_file)
    ran = run("trace", jars["lot"], *where, "--csv", out)
    assert ran.status == 0, ran.err
    for title in ("Thread", "Lots", "Pours", "Weighed", "Readings", "Work", "Jars", "Orders"):
        assert title in ran.out.splitlines()
    rows = list(csv.reader(io.StringIO(out.read_text("utf-8-sig"))))
    data = run("trace", jars["lot"], *where, "--json").data
    assert len(rows) == 1 + len(data["thread"])
    assert ["Made-up Aromatics", "", "M37-5", "M37-5", "1000 g"] in rows
    ran = run("trace", jars["lot"], *where, "--pdf", tmp_path / "x.pdf")
    assert (ran.status, ran.err.startswith("--pdf: ")) == (2, True)


def test_every_jar_of_a_recall_is_somewhere(
    run: Run, workshop_file: Path, jars: dict[str, Any], tmp_path: Path
) -> None:
    """On the terminal, as JSON, as CSV whose jars add up, and on paper."""
    where = ("--workshop", workshop_file)
    paper, table = tmp_path / "recall.pdf", tmp_path / "recall.csv"
    ran = run("trace", "ST-77-A", "--recall", *where, "--csv", table, "--pdf", paper, "--json")
    assert ran.status == 0, ran.out
    data = ran.data
    assert data["files"] == [str(table), str(paper)]
    away = ("in_hand", "picked", "sold", "given", "testing", "broken", "missing")
    found = sum(data[f"{name}_jars"] for name in away) - data["came_back_jars"]
    assert data["made_jars"] == found > 0
    assert jars["lot"] in {lot["lot"] for lot in data["jars"]}
    assert all(lot["supplier_lot"] == "ST-77-A" for lot in data["lots"])
    rows = list(csv.DictReader(io.StringIO(table.read_text("utf-8-sig"))))
    assert sum(int(row["Jars"]) for row in rows) == data["made_jars"]
    text = " ".join(" ".join(p.extract_text().split()) for p in PdfReader(paper).pages)
    assert f"Jars touched {data['made_jars']}" in text
    assert jars["lot"] in text
    said = " ".join(run("trace", jars["lot"], "--recall", *where).out.split())
    assert f"Recall of {jars['lot']}: {jars['made_jars']} jars touched." in said
    assert "Whom to tell" in said
    unknown = data["unknown_buyer_jars"]
    assert f"nobody knows who has {unknown}" in said


def test_a_recall_starts_from_a_lot(run: Run, workshop_file: Path) -> None:
    """An order is none; a batch that came as several lots is one recall, whichever is typed."""
    where = ("--workshop", workshop_file)
    ran = run("trace", "S1-9", "--recall", *where)
    assert (ran.status, "is no lot" in ran.err) == (2, True)
    line = "Salt timber, 1 x 1 kg, lot ST-77-A"
    made = run("receive", *where, "--supplier", "Made-up Aromatics", "--line", line, "--json")
    new = made.data["lines"][0]["lot"]
    ran = run("trace", "ST-77-A", *where)
    assert (ran.status, new in ran.err, "M37-5" in ran.err) == (2, True, True)
    data = run("trace", "ST-77-A", "--recall", *where, "--json").data
    assert {lot["lot"] for lot in data["lots"]} == {new, "M37-5"}
    again = run("trace", new, "--recall", *where, "--json").data
    assert again["made_jars"] == data["made_jars"] > 0


def test_a_code_of_two_batches_is_asked_about(run: Run, workshop_file: Path) -> None:
    """Another supplier's lot of the same code is another batch: nothing is recalled by guess."""
    where = ("--workshop", workshop_file)
    line = "Salt timber, 1 x 1 kg, lot ST-77-A"
    run("receive", *where, "--supplier", "Somebody Else", "--line", line)
    ran = run("trace", "ST-77-A", "--recall", *where, "--json")
    assert (ran.status, ran.problems[0]["what"]) == (2, "2 things are called so.")


def test_hostile_text_is_written_as_text(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """In a terminal as it stands, in a spreadsheet never as a formula."""
    where, name, out = ("--workshop", workshop_file), "=HYPERLINK([red]1)", tmp_path / "x.csv"
    line = "Salt timber, 1 x 1 kg, lot <b>+1"
    made = run("receive", *where, "--supplier", name, "--line", line, "--json").data
    ran = run("trace", made["lines"][0]["lot"], *where, "--csv", out)
    assert name in ran.out
    assert "<b>+1" in ran.out
    cells = [c for row in csv.reader(io.StringIO(out.read_text("utf-8-sig"))) for c in row]
    assert f"'{name}" in cells
    assert not any(cell.startswith("=") for cell in cells)


def test_a_file_that_cannot_be_written_is_said(run: Run, workshop_file: Path) -> None:
    """Where it was to be, in one line."""
    out = workshop_file.parent / "none" / "x.csv"
    ran = run("trace", "M37-5", "--workshop", workshop_file, "--csv", out)
    assert (ran.status, ran.err.startswith(str(out))) == (2, True)


def test_a_recall_of_cartons_names_who_has_them(
    run: Run, workshop_file: Path, tmp_path: Path
) -> None:
    """To a person, as JSON and as a table, the same orders."""
    where = ("--workshop", workshop_file)
    out = tmp_path / "recall.csv"
    data = run("trace", "KC-14", "--recall", "--csv", out, *where, "--json").data
    assert data["made_jars"] == 0
    assert all(one["packed_pieces"] > 0 and one["packed_g"] is None for one in data["packed"])
    orders = {one["order"] for one in data["packed"]}
    assert orders
    table = list(csv.DictReader(io.StringIO(out.read_text("utf-8-sig"))))
    assert {row["Order"] for row in table} == orders
    pieces = sum(one["packed_pieces"] for one in data["packed"])
    said = run("trace", "KC-14", "--recall", *where).out
    assert f"{len(orders)} orders packed in it: {pieces} pieces." in said
    assert all(one["contact"] in said for one in data["packed"])
