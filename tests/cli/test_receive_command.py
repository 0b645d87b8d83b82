"""`rushlight receive`: a delivery becomes lots with their landed cost."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cli import receive_line
from rushlight.errors import BadInput

Run = Callable[..., Any]
SOY = "Millpond soy, 2 x 10 kg @ 52.00, lot MS-2301, until 2090-05-31"
MINT = "Lake mint, 1 x 500 g @ 38.50, retest 2090-01-01"
HERE = ("--supplier", "The Imaginary Wax Barn")


def test_the_lots_are_booked_with_their_share_of_the_freight(run: Run, demo_place: str) -> None:
    """12.50 by mass over 20 kg and 0.5 kg: 12.50 × 20 / 20.5 = 12.1951, and the rest 0.3049."""
    typed = ("receive", "--workshop", demo_place, *HERE, "--line", SOY, "--line", MINT)
    ran = run(*typed, "--freight", "12.50", "--freight-by", "mass", "--json")
    assert ran.status == 0, ran.out
    data = ran.data
    assert (data["booked"], data["freight"], data["landed_cost"]) == (True, 12.5, 155.0)
    soy, mint = data["lines"]
    assert (soy["freight_cost"], mint["freight_cost"]) == (12.1951, 0.3049)
    assert soy["landed_cost"] == pytest.approx(104 + 12.1951)
    assert soy["unit_cost_per_kg"] == pytest.approx(116.1951 / 20, abs=1e-4)
    assert (soy["came_g"], soy["came_pieces"]) == (20_000.0, None)
    assert (mint["expires_on"], mint["date_kind"]) == ("2090-01-01", "retest")
    lots = run("stock", "lots", "Millpond soy", "--workshop", demo_place, "--json").data["lots"]
    found = next(lot for lot in lots if lot["lot"] == soy["lot"])
    assert (found["supplier_lot"], found["left_g"]) == ("MS-2301", 20_000.0)
    assert found["cost"] == soy["landed_cost"]


def test_a_dry_run_books_nothing(run: Run, workshop_file: Path) -> None:
    """It says the same, without codes, and says that nothing is booked; no supplier is needed."""
    typed = ("receive", "--workshop", workshop_file, "--line", SOY, "--freight", "6")
    before = run("stock", "lots", "--workshop", workshop_file, "--json").data
    data = run(*typed, "--dry-run", "--json").data
    assert (data["booked"], data["delivery"], data["lines"][0]["lot"]) == (False, None, None)
    assert data["lines"][0]["landed_cost"] == 110.0
    ran = run(*typed, "--dry-run")
    assert "Nothing is booked" in ran.out
    assert "£110.00" in ran.out
    assert "Duty" not in ran.out
    assert run("stock", "lots", "--workshop", workshop_file, "--json").data == before


def test_the_lots_are_told_to_a_person(run: Run, workshop_file: Path) -> None:
    """Each with its code; a cost that nobody knows is never told as nothing."""
    line = "Harbour tumbler, 2 x 24"
    ran = run("receive", "--workshop", workshop_file, *HERE, "--line", SOY, "--line", line)
    assert ran.status == 0, ran.err
    code = run("stock", "lots", "Harbour tumbler", "--workshop", workshop_file, "--json")
    lots = code.data["lots"]
    new = next(lot for lot in lots if lot["cost"] is None)
    assert (new["value"], new["unit_cost_per_piece"], new["left_pieces"]) == (None, None, 48)
    assert new["lot"] in ran.out
    assert "not known" in ran.out
    assert "£104.00 in all, without 1 line of unknown cost" in " ".join(ran.out.split())


def test_every_problem_is_said_at_once_where_it_was_typed(run: Run, workshop_file: Path) -> None:
    """Of every line and every option; nothing is booked."""
    before = run("stock", "lots", "--workshop", workshop_file, "--json").data
    ran = run(
        *("receive", "--workshop", workshop_file, "--line", "Nothing at all", "--line"),
        *("Millpond soy, 2 x 10 kgg @ x, until soon", "--line", "Ghost, 2 x 1 kg"),
        *("--day", "2190-01-01", "--freight", "much", "--json"),
    )
    assert ran.status == 2
    assert [problem["place"] for problem in ran.problems] == [
        *("--line 1", "--supplier", "--day", "--freight"),
        *("--line 2, pack", "--line 2, price", "--line 2, expires", "--line 3, material"),
    ]
    assert all(problem["what"] and problem["remedy"] for problem in ran.problems)
    assert run("stock", "lots", "--workshop", workshop_file, "--json").data == before


def test_what_must_be_typed_is_asked_for(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """A line, a supplier, a workshop that is there."""
    ran = run("receive", "--workshop", workshop_file)
    assert (ran.status, "--line" in ran.err, "--help" in ran.err) == (2, True, True)
    ran = run("receive", "--workshop", workshop_file, "--line", SOY)
    assert ran.err.startswith("--supplier: The supplier is missing.")
    ran = run("receive", "--workshop", tmp_path / "none.rushlight", "--line", SOY)
    assert (ran.status, len(ran.err.splitlines())) == (2, 1)


@pytest.mark.parametrize(
    "hostile", ["[red]x[/red]", "<script>alert(1)</script>", "=HYPERLINK(1)", "x\x1b[31m"]
)
def test_hostile_text_is_shown_as_it_stands_or_refused(
    run: Run, workshop_file: Path, hostile: str
) -> None:
    """No markup is read in it, nothing in it steers the terminal."""
    line = f"Millpond soy, 2 x 10 kg @ 52.00, lot {hostile}"
    ran = run("receive", "--workshop", workshop_file, "--supplier", hostile, "--line", line)
    assert "\x1b" not in ran.out + ran.err
    if "\x1b" in hostile:
        assert (ran.status, "cannot be printed" in ran.err) == (2, True)
    else:
        assert hostile in " ".join(ran.out.split())


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        (
            "Gunwale tin, 4 fl oz, 3 × 24 @ 18,50, lot A-1",
            {"material": "Gunwale tin, 4 fl oz", "packs": "3", "pack": "24", "price": "18,50"}
            | {"supplier_lot": "A-1"},
        ),
        ("Dye, 10 x 0,5 kg", {"material": "Dye", "packs": "10", "pack": "0,5 kg", "price": ""}),
        (
            "Oil, 2*1 kg@£9, Retest 2090-01-01, LOT x y",
            {"material": "Oil", "packs": "2", "pack": "1 kg", "price": "£9"}
            | {"supplier_lot": "x y", "expires": "2090-01-01", "date_kind": "retest"},
        ),
    ],
)
def test_a_line_is_read_part_by_part(text: str, fields: dict[str, str]) -> None:
    """A name may hold commas, a number may have one, and what is not needed may be left out."""
    assert receive_line.read(text) == fields


@pytest.mark.parametrize(
    "text", ["", "Soy", "2 x 10 kg @ 5", "Soy, 2 x", "Soy, lot 3", "Soy, 2 x 1 kg, lot 1, lot 2"]
)
def test_what_is_no_line_is_refused(text: str) -> None:
    """With an example of one, or what is said twice."""
    with pytest.raises(BadInput) as bad:
        receive_line.read(text)
    assert bad.value.problems[0].remedy


@given(st.text(max_size=80))
def test_any_text_is_a_line_or_is_refused(text: str) -> None:
    """Never anything else; what is read has a name, packs and a pack."""
    found: dict[str, str] | None = None
    with suppress(BadInput):
        found = receive_line.read(text)
    if found is not None:
        assert found["material"]
        assert found["packs"].isdigit()
        assert found["pack"]
