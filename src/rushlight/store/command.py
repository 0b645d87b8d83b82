"""What a command is: one write as data, and what comes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Table, insert

from rushlight.errors import Refused

Args = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Command:
    """One write, as data."""

    name: str
    args: Args


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a command: the id of the row it wrote, and what makes up for it."""

    id: int
    inverse: tuple[Command, ...]


def inserted(connection: Connection, table: Table, values: Args) -> int:
    """Insert a row; return its id."""
    made = connection.execute(insert(table).values(**values)).inserted_primary_key
    if made is None:  # every table here has one; this keeps the type checker honest
        raise Refused(f"A row of {table.name} was not written.")
    return int(made[0])
