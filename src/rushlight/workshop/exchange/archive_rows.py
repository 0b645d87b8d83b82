"""The CSV of an archive, read back exactly: every field as it was held, or a clear refusal.

RFC 4180, and two things more, which tell null from the empty text: texts are always in
quotation marks, and numbers never; nothing at all is null.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, BinaryIO, Final

from rushlight.errors import BadInput
from rushlight.workshop.exchange.archive_parts import DEEPEST, LONGEST_ROW

if TYPE_CHECKING:
    from rushlight.store.archive import Held

Value = int | str | None

_WHOLE: Final = r"(-?[0-9]{1,19})"
_TEXT: Final = r'"((?:[^"]|"")*+)"'
_ANY: Final = r'("(?:[^"]|"")*+"?|[^,\r\n]*)'
_SHOWN: Final = 40


def _no_number(text: str) -> None:
    raise ValueError(text)


_STRICT: Final = json.JSONDecoder(parse_constant=_no_number)  # NaN and Infinity are no JSON


def read_rows(source: BinaryIO, columns: Sequence[Held], place: str) -> Iterator[list[Value]]:
    """Give the rows of a table; BadInput says which row and column is not as it should be."""
    records = _records(source, place)
    _check_heading(next(records, (0, ""))[1], columns, place)
    pattern = re.compile(",".join(_field(column) for column in columns) + "\r\n")
    convert = [_whole if column.kind == "whole" else _text for column in columns]
    nested = [(i, held.name) for i, held in enumerate(columns) if held.form == "json"]
    for number, record in records:
        found = pattern.fullmatch(record)
        if found is None:
            raise _wrong(record, columns, f"{place} row {number}")
        row = [
            None if text is None else reader(text)
            for text, reader in zip(found.groups(), convert, strict=True)
        ]
        for at, name in nested:
            _check_json(row[at], f"{place} row {number}, column {name}")
        yield row


def check_depth(value: object, deepest: int = DEEPEST) -> bool:
    """Return whether JSON is nested no deeper than that."""
    level = [value]
    for _ in range(deepest + 1):
        inner: list[Any] = []
        for one in level:
            if isinstance(one, dict):
                inner.extend(one.values())
            elif isinstance(one, list):
                inner.extend(one)
        if not inner:
            return True
        level = inner
    return False


def _field(column: Held) -> str:
    bare = _WHOLE if column.kind == "whole" else _TEXT
    return f"(?:{bare})?" if column.nullable else bare


def _whole(text: str) -> int:
    return int(text)


def _text(text: str) -> str:
    return text.replace('""', '"') if '"' in text else text


def _records(source: BinaryIO, place: str) -> Iterator[tuple[int, str]]:
    """Give the lines, put together where a field in quotation marks goes over several."""
    number = -1  # the heading is row 0
    while line := source.readline(LONGEST_ROW):
        number += 1
        parts, quotes, size = [line], line.count(b'"'), len(line)
        while quotes % 2 and (line := source.readline(LONGEST_ROW)):
            parts.append(line)
            quotes += line.count(b'"')
            size += len(line)
            if size > LONGEST_ROW:
                break
        if size >= LONGEST_ROW:
            raise _refused(f"{place} row {number}", "The row is longer than any of ours.")
        try:
            yield number, b"".join(parts).decode()
        except UnicodeDecodeError:
            raise _refused(f"{place} row {number}", "The row is not in UTF-8.") from None


def _check_heading(record: str, columns: Sequence[Held], place: str) -> None:
    wanted = ",".join(f'"{column.name}"' for column in columns) + "\r\n"
    if record != wanted:
        names = ", ".join(column.name for column in columns)
        raise _refused(place, f"Its heading is not the columns of this schema: {names}.")


def _wrong(record: str, columns: Sequence[Held], place: str) -> BadInput:
    """Return what is wrong with a row: its first field that is not as it should be."""
    at = 0
    for i, column in enumerate(columns):
        end = "\r\n" if i == len(columns) - 1 else ","
        found = re.compile(_field(column) + end).match(record, at)
        if found is None:
            seen = re.compile(_ANY).match(record, at)
            shown = (seen[0] if seen else "")[:_SHOWN]
            kind = "a whole number" if column.kind == "whole" else "a text in quotation marks"
            return _refused(
                f"{place}, column {column.name}", f"“{shown}” is not {kind}, or more follows it."
            )
        at = found.end()
    return _refused(place, f"The row has more than {len(columns)} fields.")


def _check_json(text: Value, place: str) -> None:
    if text is None:
        return
    told = str(text)
    try:
        found = _STRICT.decode(told)
    except (ValueError, RecursionError):
        raise _refused(place, "This is not JSON, or is nested without end.") from None
    if told.count("[") + told.count("{") > DEEPEST and not check_depth(found):
        raise _refused(place, f"This JSON is nested more than {DEEPEST} levels deep.")


def _refused(place: str, what: str) -> BadInput:
    return BadInput.one(what, "Use an archive as Rushlight wrote it; nothing was made.", place)
