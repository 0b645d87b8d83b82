"""The tables as rows: out of a workshop, and into a new one of whatever schema.

Tables and columns are read from the database itself, so that an older schema is as good as
the newest. What the database keeps by itself (`DERIVED`) is left out: it comes back with the
rows it is kept from.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final, Literal

from sqlalchemy import (
    Connection,
    LargeBinary,
    MetaData,
    Table,
    Text,
    bindparam,
    except_,
    func,
    insert,
    null,
    select,
    update,
)

from rushlight.store import dialect
from rushlight.store.tables import DERIVED, jar_balance, jar_entry, movement, stock_balance
from rushlight.store.tables.described import Form, described

Cell = int | str | bytes | None
Kind = Literal["whole", "text", "file"]

_NOT_HERS: Final = frozenset({"alembic_version", *DERIVED})
_BLOCK: Final = 1_000
"""Rows read or written at a time."""


@dataclass(frozen=True, slots=True)
class Held:
    """A column as it is held: whole numbers, texts or files; whether it may be null."""

    name: str
    kind: Kind
    nullable: bool
    form: Form = ""


def tables_of(connection: Connection) -> tuple[Table, ...]:
    """Return the tables of the workshop, each after those it points at."""
    found = MetaData()
    found.reflect(connection)
    return tuple(table for table in found.sorted_tables if table.name not in _NOT_HERS)


def columns_of(table: Table) -> tuple[Held, ...]:
    """Return the columns of a table, in the order they are held."""
    return tuple(
        Held(
            column.name,
            _kind(column.type),
            nullable=bool(column.nullable),
            form=described(table.name, column.name).form,
        )
        for column in table.columns
    )


def _kind(held_as: object) -> Kind:
    if isinstance(held_as, LargeBinary):
        return "file"
    return "text" if isinstance(held_as, Text) else "whole"


def count(connection: Connection, table: Table) -> int:
    """Return how many rows a table has."""
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


def rows(connection: Connection, table: Table) -> Iterator[Sequence[Any]]:
    """Give the rows of a table in the order of their keys, files left out (as None)."""
    columns = [
        null().label(column.name) if _kind(column.type) == "file" else column
        for column in table.columns
    ]
    return _streamed(connection, table, columns, _BLOCK)


def files(connection: Connection, table: Table, column: str) -> Iterator[tuple[int, str, bytes]]:
    """Give the files in a column: the number of the row, the media type, what is in it."""
    columns = [table.c.id, table.c.media, table.c[column]]
    for number, media, content in _streamed(connection, table, columns, 1):
        yield int(number), str(media), bytes(content)


def _streamed(
    connection: Connection, table: Table, columns: Sequence[Any], block: int
) -> Iterator[Sequence[Any]]:
    key = [dialect.by_bytes(connection, column) for column in table.primary_key.columns]
    # no more than a block at a time is in memory
    streaming = {"yield_per": block}
    yield from connection.execute(select(*columns).order_by(*key), execution_options=streaming)


def load(connection: Connection, table: Table, found: Iterable[Sequence[Cell]]) -> int:
    """Add rows, in the order of the columns, to an empty table; return how many.

    A row may point at a later one of its own table: that link is made when both are there.
    """
    names = [column.name for column in table.columns]
    own = [names.index(name) for name in _own_links(table)]
    later: list[dict[str, Cell]] = []
    number, remaining = 0, iter(found)
    # a file may have megabytes: they are held one at a time
    most = 1 if any(_kind(column.type) == "file" for column in table.columns) else _BLOCK
    while block := [list(row) for row in islice(remaining, most)]:
        for row in block:
            for place in own:
                if row[place] is not None:
                    later.append({"_row": row[names.index("id")], names[place]: row[place]})
                    row[place] = None
        connection.execute(insert(table), [dict(zip(names, row, strict=True)) for row in block])
        number += len(block)
    for name in _own_links(table):
        links = [link for link in later if name in link]
        if links:
            made = update(table).where(table.c.id == bindparam("_row"))
            connection.execute(made.values({name: bindparam(name)}), links)
    dialect.count_on(connection, table)
    return number


def _own_links(table: Table) -> list[str]:
    return [key.parent.name for key in table.foreign_keys if key.column.table is table]


def wrong_balances(connection: Connection) -> list[str]:
    """Return the tables of sums that are not the sums of what they are kept from."""
    kept = (
        (stock_balance, movement, "stock_lot_id", ("amount", "value")),
        (jar_balance, jar_entry, "jar_lot_id", ("jars", "value")),
    )
    wrong = []
    for sums, ledger, lot, names in kept:
        said = select(sums.c[lot], *(sums.c[name] for name in names))
        added = select(ledger.c[lot], *(func.sum(ledger.c[name]) for name in names)).group_by(
            ledger.c[lot]
        )
        for one, other in ((said, added), (added, said)):
            if connection.execute(except_(one, other).limit(1)).first() is not None:
                wrong.append(sums.name)
                break
    return wrong
