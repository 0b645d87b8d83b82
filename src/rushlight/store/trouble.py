"""What a database says when something is wrong, in words for the maker."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import DataError, DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from rushlight.errors import NotFound, WorkshopError

_SAID: Final = (
    (
        "locked",
        "is in use by another program that does not let go of it",
        "Close the other program, or wait, and try again. Nothing was changed.",
    ),
    (
        "readonly",
        "cannot be written to",
        "Check its permissions, or copy it to a folder of your own. Nothing was changed.",
    ),
    (
        "read-only",
        "cannot be written to",
        "Check its permissions, or copy it to a folder of your own. Nothing was changed.",
    ),
    (
        "disk is full",
        "cannot grow: the disc is full",
        "Free some space and try again. What was saved before is safe.",
    ),
    (
        "disk i/o error",
        "cannot be read or written: the disc reports an error",
        "Check the disc, and copy the file elsewhere.",
    ),
    (
        "malformed",
        "is damaged",
        "Restore a backup: the files beside it that end in .backup.rushlight.",
    ),
    (
        "not a database",
        "is not a workshop",
        "Choose a file made by Rushlight. Nothing was changed.",
    ),
    (
        "unable to open",
        "cannot be opened",
        "Check that it exists and that you may read and write it.",
    ),
)


# by SQLSTATE (PostgreSQL manual, appendix A); its texts come in the language of the server
_SERVER_SAID: Final = (
    (
        "55P03",
        "is being written to by another bench that does not let go of it",
        "Wait, and try again. Nothing was changed.",
    ),
    (
        "25P03",
        "gave up on a write that stood still for too long",
        "Try again. Nothing was changed.",
    ),
    (
        "25006",
        "cannot be written to: the server takes no writes",
        "Ask whoever looks after it. Nothing was changed.",
    ),
    (
        "53100",
        "cannot grow: the disc of the server is full",
        "Free some space there and try again. What was saved before is kept.",
    ),
    (
        "53",
        "has no more room for another connection",
        "Close Rushlight on a bench that is not in use, or try again in a while.",
    ),
    (
        "42501",
        "does not let this user do that",
        "Let whoever looks after the server make this user the owner of the database.",
    ),
    (
        "57",
        "was stopped or is just starting",
        "Try again in a while; a form that is sent again is written once.",
    ),
)


def server_trouble(place: str, state: str | None, said: str) -> WorkshopError | None:
    """Return the error for a SQLSTATE; without one the server was not reached, or went away."""
    if state is None or state.startswith("08"):
        last = said.strip().splitlines()[-1].strip() if said.strip() else "no answer"
        return WorkshopError(
            f"{place} cannot be reached: {last} "
            "Check the address and that the server runs; what was saved before is kept."
        )
    for mark, what, remedy in _SERVER_SAID:
        if state.startswith(mark):
            return WorkshopError(f"{place} {what}. {remedy}")
    return None


def trouble(place: str, said: str) -> WorkshopError | None:
    """Return the error for what a database said; None when it is none of the place's."""
    lower = said.lower()
    for mark, what, remedy in _SAID:
        if mark in lower:
            return WorkshopError(f"{place} {what}. {remedy}")
    return None


@contextmanager
def plainly(place: str) -> Iterator[None]:
    """Turn what a database says of the file into a WorkshopError; let our own faults through.

    A number or a text that no database can hold names nothing that is there.
    """
    try:
        yield
    except (OverflowError, UnicodeEncodeError, DataError) as error:
        raise NotFound("There is no such thing in this workshop.") from error
    except PoolTimeout as error:
        raise WorkshopError(
            f"{place} is busier than this program can follow. Try again in a while. "
            "Nothing was changed."
        ) from error
    except sqlite3.Error as error:  # from where SQLite is spoken to without SQLAlchemy
        told = trouble(place, str(error))
        if told is None:
            raise
        raise told from error
    except DBAPIError as error:
        told = _told(place, error)
        if told is None:
            raise
        raise told from error


def _told(place: str, error: DBAPIError) -> WorkshopError | None:
    said = str(error.orig)
    try:
        state: str | None = error.orig.sqlstate  # type: ignore[union-attr]  # SQLite knows none
    except AttributeError:
        return trouble(place, said)
    if state is None and not isinstance(error, OperationalError):
        return None
    return server_trouble(place, state, said)
