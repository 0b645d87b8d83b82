"""The table of a sweep as a Parquet file, with pyarrow where it is installed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rushlight.errors import BadInput

Cell = str | float | None


def as_parquet(rows: Sequence[Mapping[str, Cell]]) -> bytes:
    """Return rows as a Parquet file, the columns in order of first appearance.

    A column is of text where any of its cells is, else of float64; a cell that is missing
    or not a number is null. Raises BadInput where pyarrow is not installed.
    """
    try:
        import pyarrow as pa
        from pyarrow import parquet
    except ImportError as missing:
        raise BadInput.one(
            "Parquet needs pyarrow, which is not installed.",
            'Install it with pip install "rushlight[sweep]", or write a .csv file.',
            "table",
        ) from missing
    names = dict.fromkeys(key for row in rows for key in row)
    columns = {name: [_cell(row.get(name)) for row in rows] for name in names}
    text = {name: any(isinstance(cell, str) for cell in cells) for name, cells in columns.items()}
    table = pa.table(
        {
            name: pa.array(
                cells if not text[name] else [None if c is None else str(c) for c in cells],
                type=pa.string() if text[name] else pa.float64(),
            )
            for name, cells in columns.items()
        }
    )
    file = pa.BufferOutputStream()
    parquet.write_table(table, file)
    return bytes(file.getvalue())


def _cell(cell: Cell) -> Cell:
    return None if cell is None or cell != cell else cell  # noqa: PLR0124 -- NaN alone is not itself
