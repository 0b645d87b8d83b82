"""What a database says when something is wrong, in words for the maker."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import DataError, DBAPIError

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
    except DBAPIError as error:
        told = trouble(place, str(error.orig))
        if told is None:
            raise
        raise told from error
