"""Sheets and certificates that a candle document carries itself."""

import tomllib
from pathlib import Path

import pytest

from rushlight.candle.sheet import Role
from rushlight.cli.hazard_found import with_files
from rushlight.errors import BadInput, Problems
from rushlight.hazard.certificate import Standing
from rushlight.hazard.document import carried, entries

ROWS = {"rows": "Linalool;78-70-6;5 - 10 %;Skin Sens. 1B", "flash_point": "93 C"}


def test_oils_dyes_and_additives_may_carry_them() -> None:
    """By the name they have in the candle."""
    document = {
        "fragrance": {"oils": [{"name": "Tide", "sheet": ROWS}, {"use": "Cedar"}]},
        "dyes": [{"use": "liquid dye", "sheet": ROWS}],
        "additives": [{"use": "x", "name": "y", "certificate": {"limit": "unknown"}}],
    }
    found = carried(document)
    assert set(found.sheets) == {(Role.FRAGRANCE, "Tide"), (Role.DYE, "liquid dye")}
    assert found.certificates[Role.ADDITIVE, "y"].standing is Standing.UNKNOWN
    assert [entry.place for entry in entries(document)] == [
        "fragrance.oils.0",
        "fragrance.oils.1",
        "dyes.0",
        "additives.0",
    ]


def test_the_documented_example_is_read(tmp_path: Path) -> None:
    """docs/candle-file.md: one oil with a file of rows, one with a table and a certificate."""
    text = (Path(__file__).parents[2] / "docs" / "candle-file.md").read_text("utf-8")
    block = text.split("### `sheet` and `certificate`")[1].split("```toml\n")[1].split("```")[0]
    document = tomllib.loads(block)
    (tmp_path / "driftwood.csv").write_text(ROWS["rows"], "utf-8")
    problems = Problems()
    made = with_files(document, tmp_path, problems)
    problems.check()
    found = carried(made)
    assert {name: len(s.components) for (_, name), s in found.sheets.items()} == {
        "Driftwood": 1,
        "Sea fennel": 2,
    }
    assert found.sheets[Role.FRAGRANCE, "Driftwood"].flash_point is not None
    assert found.certificates[Role.FRAGRANCE, "Sea fennel"].limit == 0.12


def test_every_problem_has_its_place() -> None:
    """In the sheet's rows, in its fields, in the certificate, in what is no table."""
    oils = [
        {"name": "a", "sheet": {"rows": "x;78-70-7;5 %", "colour": "red"}},
        {"name": "b", "certificate": {"limit": "12 %"}},
        {"name": "c", "sheet": "rows.csv"},
        {"name": "d", "sheet": {"rows": ["x"]}},
        {"name": "e", "certificate": 5},
    ]
    with pytest.raises(BadInput) as bad:
        carried({"fragrance": {"oils": oils}})
    assert {problem.place for problem in bad.value.problems} == {
        "fragrance.oils.0.sheet.colour",
        "fragrance.oils.0.sheet.rows.0.cas",
        "fragrance.oils.1.certificate.category",
        "fragrance.oils.1.certificate.amendment",
        "fragrance.oils.2.sheet",
        "fragrance.oils.3.sheet",
        "fragrance.oils.4.certificate",
    }


@pytest.mark.parametrize(
    "document", [{}, {"fragrance": 3}, {"fragrance": {"oils": "x"}}, {"dyes": [3, None, "x"]}]
)
def test_what_is_no_document_carries_nothing(document: dict[str, object]) -> None:
    """The candle's own reader says what is wrong with it."""
    found = carried(document)
    assert (dict(found.sheets), dict(found.certificates)) == ({}, {})
