"""Reading and writing many rows at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

_BLOCK = 5_000  # rows of one insert

Row = dict[str, Any]


def rows(connection: Connection, table: Table) -> list[Row]:
    """Return every row of a table, by number."""
    from sqlalchemy import select

    found = connection.execute(select(table).order_by(table.c.id)).mappings()
    return [dict(row) for row in found]


def insert_all(connection: Connection, table: Table, new: list[Row]) -> None:
    """Insert rows in blocks."""
    from sqlalchemy import insert

    for first in range(0, len(new), _BLOCK):
        connection.execute(insert(table), new[first : first + _BLOCK])


def copies(found: list[Row], more: int) -> Iterator[tuple[int, Row]]:
    """Yield so many times a new number and a row to copy."""
    first = max(row["id"] for row in found) + 1
    for i in range(more):
        yield first + i, found[i % len(found)]


def by(found: list[Row], key: str = "material_id") -> dict[int, list[Row]]:
    """Return rows by what they belong to."""
    grouped: dict[int, list[Row]] = {}
    for row in found:
        grouped.setdefault(row[key], []).append(row)
    return grouped


def of(row: Mapping[str, Any], **changed: Any) -> Row:
    """Return a row anew, without its number."""
    return {key: value for key, value in {**row, **changed}.items() if key != "id"}


def earlier(text: str | None, back: timedelta) -> str | None:
    """Return a moment as it is written, so much earlier."""
    from rushlight.store.marks import moment, stamp

    return None if text is None else stamp(moment(text) - back)


def last_number(connection: Connection, table: Table) -> int:
    """Return the highest number of a table, 0 where it is empty."""
    from sqlalchemy import func, select

    return int(connection.execute(select(func.max(table.c.id))).scalar() or 0)
