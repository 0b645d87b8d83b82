"""The table of a sweep on disc."""

import io
import sys

import pytest

from rushlight.errors import BadInput
from rushlight.workshop.sweep_table import Cell, as_parquet

ROWS: list[dict[str, Cell]] = [
    {"case": "cool", "problem": "", "skin": float("nan"), "whole": 15000.0},
    {"case": "bad", "problem": "It does not pour."},
    {"case": "hot", "problem": "", "skin": 300.0, "whole": 18000, "note": None},
]


def test_parquet_keeps_every_cell_and_its_type() -> None:
    """Text stays text, numbers are exact, and what does not come about is null."""
    pytest.importorskip("pyarrow")
    from pyarrow import parquet

    table = parquet.read_table(io.BytesIO(as_parquet(ROWS)))
    assert table.column_names == ["case", "problem", "skin", "whole", "note"]
    assert [str(f.type) for f in table.schema] == ["string", "string", "double", "double", "double"]
    assert table.column("skin").to_pylist() == [None, None, 300.0]
    assert table.column("whole").to_pylist() == [15000.0, None, 18000.0]
    assert table.column("problem").to_pylist() == ["", "It does not pour.", ""]


def test_a_table_of_nothing_is_a_table() -> None:
    """Also before anything is worked out, so that a missing pyarrow is told at once."""
    pytest.importorskip("pyarrow")
    assert as_parquet([])[:4] == b"PAR1"  # the magic number of the format


def test_without_pyarrow_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """And what to write instead."""
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    with pytest.raises(BadInput, match=r"rushlight\[sweep\].*\.csv"):
        as_parquet(ROWS)
