"""`rushlight stock`: what is there, and one lot counted or thrown away."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rushlight.workshop import Workshop, materials

Run = Callable[..., Any]


def test_the_stores_at_a_glance(run: Run, demo_place: str) -> None:
    """The sums are those of the lots, the low ones stand among the materials."""
    where = ("--workshop", demo_place, "--json")
    ran = run("stock", *where)
    assert ran.status == 0, ran.out
    data = ran.data
    lots = run("stock", "lots", *where).data["lots"]
    jars = run("stock", "jars", *where).data["lots"]
    assert data["materials_value"] == pytest.approx(sum(lot["value"] or 0 for lot in lots))
    assert data["jars_value"] == pytest.approx(sum(lot["value"] or 0 for lot in jars))
    assert {m["material"] for m in data["materials"] if m["low"]} <= set(data["low"])
    for name in ("low", "expiring", "curing", "ready", "orders"):
        assert data[name], name
    for material in data["materials"]:
        held = sum(
            (lot["left_g"] or 0) + (lot["left_pieces"] or 0)
            for lot in lots
            if lot["material"] == material["material"]
        )
        on_hand = (material["on_hand_g"] or 0) + (material["on_hand_pieces"] or 0)
        assert on_hand == pytest.approx(held)
        assert None in (material["on_hand_g"], material["on_hand_pieces"])
    ready = sum(lot["left_jars"] for lot in jars if lot["state"] == "ready")
    assert sum(candle["jars"] for candle in data["ready"]) == ready


def test_they_are_told_to_a_person(run: Run, workshop_file: Path) -> None:
    """All materials, then what asks for something to be done."""
    ran = run("stock", "--workshop", workshop_file)
    assert ran.status == 0, ran.err
    for title in ("Materials", "Expiring", "Curing", "Ready", "Orders to send"):
        assert title in ran.out.splitlines()
    data = run("stock", "--workshop", workshop_file, "--json").data
    assert all(lot["lot"] in ran.out for lot in data["expiring"])
    assert "past its expiry date" in " ".join(ran.out.split())


def test_lots_of_one_material_or_candle(run: Run, workshop_file: Path) -> None:
    """By name whatever the case; those used up only when asked for."""
    where = ("--workshop", workshop_file, "--json")
    found = run("stock", "lots", "LAKE  mint", *where).data["lots"]
    assert {lot["material"] for lot in found} == {"lake-mint"}
    assert [lot["expires_on"] is None for lot in found] == sorted(
        lot["expires_on"] is None for lot in found
    )
    code = found[0]["lot"]
    assert run("stock", "count", code, "0", *where).data["lots"][0]["left_g"] == 0
    left = run("stock", "lots", "lake-mint", *where).data["lots"]
    assert code not in {lot["lot"] for lot in left}
    every = run("stock", "lots", "lake-mint", "--empty", *where).data["lots"]
    assert code in {lot["lot"] for lot in every}
    jars = run("stock", "jars", "slipway", *where).data["lots"]
    assert {lot["candle"] for lot in jars} == {"slipway"}
    assert len(run("stock", "lots", "--limit", "3", *where).data["lots"]) == 3
    assert "M" in run("stock", "lots", "lake mint", "--workshop", workshop_file).out
    said = run("stock", "jars", "Low Water", "--workshop", workshop_file).out
    assert "curing" in said


def test_what_is_not_there_is_said_with_what_is(run: Run, workshop_file: Path) -> None:
    """Nearly right is offered."""
    ran = run("stock", "lots", "Lake mnt", "--workshop", workshop_file)
    assert (ran.status, "Did you mean “lake mint”?" in ran.err) == (2, True)
    ran = run("stock", "lots", "zzz", "--workshop", workshop_file)
    assert ran.err.startswith("MATERIAL: There is no material “zzz”")
    assert run("stock", "jars", "zzz", "--workshop", workshop_file).status == 2


def test_a_lot_of_either_kind_is_counted(run: Run, workshop_file: Path) -> None:
    """The code as typed or scanned; the reason is kept with the difference."""
    where = ("--workshop", workshop_file, "--json")
    lot = run("stock", "lots", "lake mint", *where).data["lots"][0]
    bare = lot["lot"].replace("-", "").lower()
    counted = run("stock", "count", bare, "60 g", "--why", "spilt some", *where).data["lots"][0]
    assert (counted["lot"], counted["left_g"]) == (lot["lot"], 60.0)
    jars = run("stock", "jars", *where).data["lots"][0]
    more = jars["left_jars"] + 2
    assert run("stock", "count", jars["lot"], more, *where).data["lots"][0]["left_jars"] == more
    after = run("stock", "scrap", jars["lot"], "1", "--why", "dropped", *where).data["lots"][0]
    assert after["left_jars"] == more - 1
    scrapped = run("stock", "scrap", lot["lot"], "10 g", *where).data["lots"][0]
    assert scrapped["left_g"] == 50.0
    assert lot["lot"] in run("stock", "scrap", lot["lot"], "10 g", *where[:2]).out


@pytest.mark.parametrize(
    ("code", "amount", "place"),
    [
        ("M44-8", "60 g", "CODE"),
        ("M99999-3", "60 g", ""),
        ("hello", "60 g", "CODE"),
        ("S1-9", "1", "CODE"),
        ("M44-7", "sixty", "AMOUNT"),
        ("M44-7", "-1 g", "AMOUNT"),
        ("M44-7", "900 kg", "AMOUNT"),
    ],
)
def test_what_cannot_be_scrapped_is_refused_in_place(
    run: Run, workshop_file: Path, code: str, amount: str, place: str
) -> None:
    """A slip in the code, no such lot, an order, no amount, more than there is."""
    ran = run("stock", "scrap", "--workshop", workshop_file, "--json", "--", code, amount)
    assert (ran.status, ran.problems[0]["place"]) == (2, place)


def test_options_before_the_command_below_hold_for_it(run: Run, workshop_file: Path) -> None:
    """`stock --workshop FILE lots` is `stock lots --workshop FILE`; without a file, it is said."""
    before = run("stock", "--workshop", workshop_file, "--json", "lots")
    assert before.data == run("stock", "lots", "--json", "--workshop", workshop_file).data
    ran = run("stock")
    assert (ran.status, ran.err.startswith("--workshop: ")) == (2, True)
    ran = run("stock", "lots", "--json")
    assert "rushlight stock lots --help" in ran.problems[0]["remedy"]


def test_hostile_names_are_shown_as_they_stand(
    run: Run, workshop: Workshop, workshop_file: Path
) -> None:
    """No markup is read in them."""
    name = "[bold]<script>alert(1)</script>"
    materials.save(workshop, None, {"role": "dye", "name": name})
    assert name in run("stock", "--workshop", workshop_file).out
    data = run("stock", "--workshop", workshop_file, "--json").data
    assert name in {material["name"] for material in data["materials"]}


def test_a_workshop_that_is_none_is_one_clear_line(run: Run, tmp_path: Path) -> None:
    """No such file: 2. Another program's file: 1, and nothing is done to it."""
    ran = run("stock", "--workshop", tmp_path / "none.rushlight")
    assert (ran.status, len(ran.err.splitlines())) == (2, 1)
    other = tmp_path / "other.rushlight"
    other.write_bytes(b"not ours at all" * 100)
    ran = run("stock", "--workshop", other, "--json")
    assert (ran.status, len(ran.problems)) == (1, 1)
    assert other.read_bytes() == b"not ours at all" * 100


COMMAND = "from rushlight.cli.main import run; run()"
PARTS = "import sqlalchemy, typer, pydantic; from pydantic import TypeAdapter; TypeAdapter(str)"
HEAVY = {"numpy", "scipy", "numba", "rich", "fastapi", "alembic", "openpyxl", "typst", "jinja2"}


def test_nothing_is_brought_in_that_it_does_not_need(workshop_file: Path) -> None:
    """No numbers, no web, no paper; asked as JSON not even what draws tables."""
    code = f"""
import sys, io
sys.stdout, out = io.StringIO(), sys.stdout
try:
    {COMMAND}
finally:
    out.write(" ".join({{name.partition(".")[0] for name in sys.modules}}))
"""
    words = ("stock", "--json", "--workshop", str(workshop_file))
    done = subprocess.run(
        [sys.executable, "-c", code, *words], check=True, capture_output=True, text=True, timeout=60
    )
    assert "rushlight" in done.stdout.split()
    assert HEAVY & set(done.stdout.split()) == set()


@pytest.mark.skipif(sys.platform == "win32", reason="processor time of children is not told")
def test_the_stores_are_told_within_their_budget(workshop_file: Path) -> None:
    """The whole process takes at most 2.4 times what bringing in its three libraries takes.

    That is 0.4 s where those take 0.17 s. Processor time, best of five of each, so that other
    work on the machine stands less in the way.
    """

    def spent(*words: str) -> float:
        before = os.times()
        subprocess.run([sys.executable, "-c", *words], check=True, capture_output=True, timeout=60)
        after = os.times()
        user = after.children_user - before.children_user
        return user + after.children_system - before.children_system

    words = ("stock", "--json", "--workshop", str(workshop_file))
    pairs = [(spent(COMMAND, *words), spent(PARTS)) for _ in range(5)]
    libraries = min(measure for _, measure in pairs)
    assert 0 < libraries < min(taken for taken, _ in pairs) < 2.4 * libraries
