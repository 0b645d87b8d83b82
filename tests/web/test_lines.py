"""How many rows a form of numbered lines needs, whatever its fields are called."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.web.lines import rows_of


@pytest.mark.parametrize(
    ("names", "rows"),
    [
        ([], 0),
        (["supplier", "lines"], 0),
        (["lines.0.material"], 1),
        (["lines.0.material", "lines.11.pack"], 12),
        (["lines.x.pack", "lines..pack", "lines.-1.pack", "lines.1e3.pack", "lines.３.pack"], 0),
        (["lines." + "9" * 5000 + ".pack"], 0),
    ],
)
def test_the_last_line_named_says_how_many_rows_there_are(names: list[str], rows: int) -> None:
    """Names that are no line's are passed over."""
    assert rows_of(names) == rows


@given(st.lists(st.text() | st.integers().map(lambda n: f"lines.{n}.x")))
def test_any_names_make_a_number_of_rows(names: list[str]) -> None:
    """Never a crash, never more than four digits can say."""
    assert 0 <= rows_of(names) <= 10_000
