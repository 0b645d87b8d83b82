from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.workshop import Workshop
from rushlight.workshop.exchange.csv_writer import write_csv
from rushlight.workshop.exchange.imports import Mapping, preview, write
from rushlight.workshop.exchange.reader import read_table
from tests.support.dumps import dump

CELL = st.sampled_from(
    ["", "wax", "oil", "Soy", "1 kg", "1,5", "1.5", "=1", "-5", "2026-05-01", "1e9", "٣", "x" * 201]
) | st.text(st.characters(exclude_categories=("Cc", "Cs")), max_size=8)


@how(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from(["materials", "deliveries", "orders"]),
    st.lists(st.lists(CELL, min_size=24, max_size=24), min_size=1, max_size=4),
)
def test_any_cells_at_all_are_written_whole_or_refused_whole(
    empty: Workshop, kind: str, cells: list[list[str]]
) -> None:
    """A preview without problems is written, and one with problems is not; nothing else."""
    from rushlight.workshop.exchange.kinds import fields

    keys = fields(kind)[:24]
    rows = [row[: len(keys)] for row in cells if any(c.strip() for c in row[: len(keys)])]
    if not rows:
        return
    found = read_table("x", write_csv([f.key for f in keys], rows, plain=True))
    mapping = Mapping({f.key: i for i, f in enumerate(keys)})
    seen = preview(empty, kind, found, mapping)
    before = dump(empty)
    if seen.problems:
        with pytest.raises(BadInput):
            write(empty, kind, found, mapping)
        assert dump(empty) == before
    else:
        assert bool(write(empty, kind, found, mapping).deed) == seen.ready
