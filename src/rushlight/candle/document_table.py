"""The plain shapes a document is made of: tables, lists of tables, one typed value."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from typing import Any
from unicodedata import category

from rushlight.candle.facts import Fact, fact
from rushlight.errors import BadInput, Problems

LONGEST = 200
"""Characters of one field; no quantity needs more."""
LONGEST_NOTE = 5000
MOST_ROWS = 50
"""Rows of a list: oils, dyes, additives, finishes."""
_LONGEST_NUMBER = 10**15

Layer = Mapping[str, Fact]
"""The filled-in fields of one table."""


def table(raw: Any, place: str, problems: Problems) -> Layer:
    """Return the filled-in fields of one table; an empty field is one not given."""
    if raw is None or raw == "":
        return {}
    if not isinstance(raw, Mapping):
        problems.add(place, "This is not a table of fields.", f"Begin it with [{place}].")
        return {}
    return {key_text(key): fact(value) for key, value in raw.items() if not blank(value)}


def rows(raw: Any, place: str, problems: Problems) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield the rows of a list with their places; rows left blank are passed over."""
    if raw is None or raw == "":
        return
    if isinstance(raw, str | bytes) or not isinstance(raw, Sequence):
        problems.add(place, "This is not a list.", f"Begin each entry with [[{place}]].")
        return
    if len(raw) > MOST_ROWS:
        problems.add(place, f"{len(raw)} entries are too many.", f"Use at most {MOST_ROWS}.")
        return
    for i, row in enumerate(raw):
        if isinstance(row, Mapping) and all(blank(value) for value in row.values()):
            continue
        yield f"{place}.{i}", row


def as_text(value: Any, *, longest: int = LONGEST) -> str:
    """Return a typed value as text; numbers may be typed without quotes."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        if isinstance(value, int) and abs(value) > _LONGEST_NUMBER:
            raise BadInput.one("This number is far too large.", "Check the digits.")
        return str(value)
    if not isinstance(value, str):
        raise BadInput.one("This is a list or table, not a value.", "Type one value, in quotes.")
    if len(value) > longest:
        raise BadInput.one(
            f"This is {len(value)} characters long.", f"Use at most {longest} characters."
        )
    breaks = "\r\n\t" if longest > LONGEST else ""
    if not all(c.isprintable() or c in breaks or category(c) == "Zs" for c in value.strip()):
        raise BadInput.one("This holds characters that cannot be printed.", "Type it afresh.")
    return value.strip()


def unknown_keys(
    typed: Iterable[str], known: Iterable[str], place: str, problems: Problems
) -> None:
    """Note every key that means nothing, with the nearest one that does."""
    known = list(known)
    unknown = [key for key in typed if key not in known]
    for key in unknown[:MOST_ROWS]:
        near = get_close_matches(key[:40], known, n=1)
        shown = key if key.isprintable() and len(key) <= 40 else f"{key[:40]!a}…"  # noqa: PLR2004
        problems.add(
            f"{place}.{shown}".lstrip("."),
            f"“{shown}” is not a field here.",
            f'Did you mean "{near[0]}"?' if near else f"Known here: {', '.join(sorted(known))}.",
        )


def key_text(key: Any) -> str:
    """Return a key of a table as text, whatever it is."""
    return key[:LONGEST] if isinstance(key, str) else f"a key that is a {type(key).__name__}"


def blank(value: Any) -> bool:
    """Whether nothing was typed."""
    return value is None or (isinstance(value, str) and not value.strip())
