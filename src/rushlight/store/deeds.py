"""Deeds: every write is one, with a line for a person, a key and an inverse."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Connection, Row, or_, select, update

from rushlight.errors import NotFound, Refused
from rushlight.store.command import Command, inserted
from rushlight.store.commands import carry_out
from rushlight.store.marks import stamp, written
from rushlight.store.place import Store
from rushlight.store.tables import deed

_TYPED: Final = "typed"
"""The digest of what was typed, in the record of a result."""


@dataclass(slots=True)
class Work:
    """A deed being done. The verb sets said, subject and result before it ends.

    first: the result of the first time when the key was used before; then nothing is to
    be done again.
    """

    connection: Connection
    at: datetime
    first: dict[str, Any] | None = None
    said: str = ""
    subject: str = ""
    result: dict[str, Any] = field(default_factory=dict)
    inverse: list[Command] = field(default_factory=list)
    undoing: Row[Any] | None = None
    id: int | None = None

    def do(self, name: str, **args: Any) -> int:
        """Carry out a command; return the id of the row it wrote."""
        outcome = carry_out(self.connection, Command(name, args), self.at)
        self.inverse[:0] = outcome.inverse
        return outcome.id

    def add(self, table: str, **values: Any) -> int:
        """Add a row; return its id."""
        return self.do("add", table=table, values=values)

    def change(self, table: str, row_id: int, **values: Any) -> None:
        """Change columns of a row."""
        self.do("change", table=table, id=row_id, values=values)

    def outcome(self) -> dict[str, Any]:
        """Return the result: of the first time where there was one, or of this."""
        return self.result if self.first is None else self.first


@contextmanager
def deed_of(store: Store, verb: str, *, at: datetime, key: str | None = None) -> Iterator[Work]:
    """Do one deed in one unit of work: all of it is kept with its record, or nothing.

    key: of the form, and after a # a digest of what was typed into it, where that is known.
    Refused when the key was used for something else.
    """
    with store.unit_of_work() as connection:
        work = Work(connection, at)
        _first_time(work, verb, key)
        yield work
        if work.first is None and (work.inverse or key):
            _record(work, verb, key)


def _first_time(work: Work, verb: str, key: str | None) -> None:
    form, typed = _parted(key)
    if form is None:
        return
    row = work.connection.execute(
        select(deed.c.id, deed.c.verb, deed.c.result).where(deed.c.key == form)
    ).first()
    if row is None:
        return
    if row.verb != verb:
        raise Refused("This form was used for something else already. Load the page again.")
    first = json.loads(row.result)
    if first.pop(_TYPED, typed) != typed:
        raise Refused(
            "This form was sent before, with something else in it. See under What was done "
            "whether it is there, and load the page again."
        )
    work.id, work.first = int(row.id), first


def _parted(key: str | None) -> tuple[str | None, str]:
    """Return the key of a form, and the digest of what was typed, empty where it is not told."""
    form, told, typed = (key or "").rpartition("#")
    return (form, typed) if told else (key or None, "")


def _record(work: Work, verb: str, key: str | None) -> None:
    form, typed = _parted(key)
    row = {
        "key": form,
        "at": stamp(work.at),
        "verb": verb,
        "subject": work.subject,
        "said": work.said,
        "inverse": written([[c.name, c.args] for c in work.inverse]),
        "result": written(work.result | ({_TYPED: typed} if typed else {})),
        "undoes": None if work.undoing is None else work.undoing.id,
    }
    work.id = inserted(work.connection, deed, row)
    if work.undoing is not None:
        _mark(work.connection, work.undoing, work.id)


def undo_deed(store: Store, number: int, *, at: datetime, key: str | None = None) -> int:
    """Undo a deed by its inverse; return the number of the deed that did it."""
    with deed_of(store, "undo", at=at, key=key) as work:
        if work.first is None:
            row = work.connection.execute(select(deed).where(deed.c.id == number)).first()
            if row is None:
                raise NotFound(f"There is no deed {number}.")
            _check(work.connection, row)
            for name, args in json.loads(row.inverse):
                work.do(name, **args)
            work.undoing = row
            work.subject = row.subject
            work.said = _undone(row.said)
    if work.id is None:
        raise Refused("Nothing was undone.")
    return work.id


def _check(connection: Connection, row: Any) -> None:
    if row.undone_by is not None:
        raise Refused("This was undone already.")
    if row.inverse == "[]":
        raise Refused("This changed nothing that could be undone.")
    # a deed about many things, such as an import, names them all in its result
    subjects = {row.subject, *json.loads(row.result).get("touched", ())} - {""}
    if not subjects:
        return
    later = connection.execute(
        select(deed.c.said)
        .where(
            deed.c.subject.in_(sorted(subjects)),
            deed.c.id > row.id,
            deed.c.undone_by.is_(None),
            # an undoing of something later leaves nothing behind; one of something earlier does:
            # what was undone first would be done again without what it rests on
            or_(deed.c.undoes.is_(None), deed.c.undoes < row.id),
            deed.c.inverse != "[]",
        )
        .order_by(deed.c.id.desc())
        .limit(1)
    ).scalar()
    if later is not None:
        raise Refused(f"Something later rests on this: “{later}” Undo that first.")


def _undone(said: str) -> str:
    prefix = "Undone: "
    return f"Done again: {said.removeprefix(prefix)}" if said.startswith(prefix) else prefix + said


def _mark(connection: Connection, undone: Any, by: int) -> None:
    """Mark a deed as undone; what it had itself undone stands again, and so on down the line."""
    number, stands = undone.id, False
    while number is not None:
        values = {"undone_by": None if stands else by}
        connection.execute(update(deed).where(deed.c.id == number).values(**values))
        undoes = connection.execute(select(deed.c.undoes).where(deed.c.id == number)).scalar()
        by, number, stands = number, undoes, not stands
