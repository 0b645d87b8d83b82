"""A deed done in a copy of the workshop first, and then only written into the workshop.

Working out a large import takes far longer than writing its rows, and whoever writes keeps all
others waiting. So it is worked out in a copy, where nobody waits, and what it wrote there is
written here: the same rows under the same numbers, with the same inverse.

That holds only where the workshop still stands as it was copied, which is checked once nobody
else can write. Every deed leaves a row in the record, so none can have come between unseen; what
is ticked and read at another bench meanwhile lies beside it, and does no harm.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, Select, Table, bindparam, delete, func, insert, select, update

from rushlight.store.command import Command
from rushlight.store.deeds import Work
from rushlight.store.tables import deed, fact, metadata

_KNOWN: Final = frozenset({"change", "facts", "move", "unmoved"})
"""Inverses of commands whose rows can be told from others, see `_changed` and `_facts`."""
_AT_ONCE: Final = 500  # numbers in one question

Rows = list[dict[str, Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rehearsed:
    """What a deed wrote. before: the last number of each table when it began.

    changed: new values of rows that were there, with their numbers. gone: facts that were there.
    """

    before: Mapping[str, int]
    said: str
    subject: str
    result: Mapping[str, Any]
    inverse: Sequence[Command]
    added: Sequence[tuple[Table, Rows]]
    changed: Sequence[tuple[Table, Rows]]
    gone: Rows

    def stands(self, connection: Connection, beside: Collection[str]) -> bool:
        """Say whether a workshop still is as it was copied; beside: verbs that do not matter."""
        since = select(deed.c.id).where(
            deed.c.id > self.before["deed"], deed.c.verb.not_in(sorted(beside))
        )
        now = standing(connection)
        same = all(now[table.name] == self.before[table.name] for table, _ in self.added)
        return same and connection.execute(since.limit(1)).first() is None

    def written(self, work: Work, beside: Collection[str]) -> bool:
        """Write it into the workshop; False, and nothing is, where that no longer `stands`."""
        connection = work.connection
        if not self.stands(connection, beside):
            return False
        for table, rows in self.changed:
            for row in rows:
                values = {name: value for name, value in row.items() if name != "id"}
                connection.execute(update(table).where(table.c.id == row["id"]).values(**values))
        if self.gone:
            named = (fact.c.material_id == bindparam("of")) & (fact.c.name == bindparam("called"))
            connection.execute(delete(fact).where(named), self.gone)
        for table, rows in self.added:
            connection.execute(insert(table), rows)
        work.said, work.subject, work.result = self.said, self.subject, dict(self.result)
        work.inverse = list(self.inverse)
        return True


def standing(connection: Connection) -> dict[str, int]:
    """Return the last number of each table; that of the record of deeds tells if any was done."""
    return {
        t.name: int(connection.execute(select(func.max(t.c.id))).scalar() or 0) for t in _numbered()
    }


def read_back(work: Work, before: Mapping[str, int]) -> Rehearsed | None:
    """Return what a deed has written so far; None where it did what cannot be told afterwards."""
    if not {command.name for command in work.inverse} <= _KNOWN:
        return None
    gone, facts = _facts(work, before["material"])
    added = [
        (table, facts if table is fact else _rows(work, _since(table, before)))
        for table in _numbered()
        if table is not deed
    ]
    return Rehearsed(
        before=dict(before),
        said=work.said,
        subject=work.subject,
        result=work.result,
        inverse=tuple(work.inverse),
        added=[(table, rows) for table, rows in added if rows],
        changed=list(_changed(work, before)),
        gone=gone,
    )


def _numbered() -> Iterator[Table]:
    """Give the tables with numbers, those that others point to first; sums keep themselves."""
    return (table for table in metadata.sorted_tables if "id" in table.c)


def _since(table: Table, before: Mapping[str, int]) -> Select[Any]:
    return select(table).where(table.c.id > before[table.name]).order_by(table.c.id)


def _changed(work: Work, before: Mapping[str, int]) -> Iterator[tuple[Table, Rows]]:
    """Give what rows that were there hold now, in the columns that were changed."""
    columns: dict[str, dict[int, set[str]]] = {}
    for command in work.inverse:
        if command.name == "change" and command.args["id"] <= before[command.args["table"]]:
            rows = columns.setdefault(command.args["table"], {})
            rows.setdefault(command.args["id"], set()).update(command.args["values"])
    for name, wanted in columns.items():
        table = metadata.tables[name]
        found = [row for part in _parts(wanted) for row in _rows(work, _these(table, part))]
        yield table, [{c: row[c] for c in (*sorted(wanted[row["id"]]), "id")} for row in found]


def _facts(work: Work, last: int) -> tuple[Rows, Rows]:
    """Return the facts that were written over, and all that stand in their place or are new.

    A number may be given again when the newest fact goes, so numbers do not tell which are new.
    """
    named: dict[int, set[str]] = {}
    for command in work.inverse:
        if command.name == "facts":
            named.setdefault(command.args["material_id"], set()).update(command.args["facts"])
    found = [
        row
        for part in _parts(named)
        for row in _rows(work, select(fact).where(fact.c.material_id.in_(part)))
        if row["name"] in named[row["material_id"]]
    ]
    gone = [
        {"of": owner, "called": name}
        for owner in sorted(named)
        if owner <= last
        for name in sorted(named[owner])
    ]
    return gone, sorted(found, key=lambda row: int(row["id"]))


def _these(table: Table, numbers: Sequence[int]) -> Select[Any]:
    return select(table).where(table.c.id.in_(numbers)).order_by(table.c.id)


def _parts(numbers: Mapping[int, Any]) -> Iterator[Sequence[int]]:
    every = sorted(numbers)
    return (every[at : at + _AT_ONCE] for at in range(0, len(every), _AT_ONCE))


def _rows(work: Work, query: Select[Any]) -> Rows:
    return [dict(row) for row in work.connection.execute(query).mappings()]
