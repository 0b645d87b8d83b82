"""CSV by RFC 4180, for a spreadsheet or without loss.

For a spreadsheet, text that it would take for a formula gets an apostrophe before it, which
makes it text again: whoever opens the file works out nothing that somebody else wrote in a
name. A number keeps its sign. In the plain mode every text is kept as it is, which is right for
a file that is read back and wrong for one that is opened.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Final

Cell = str | int | Decimal | date | None
"""None is an empty field; the empty text is a pair of quotation marks."""

BOM: Final = b"\xef\xbb\xbf"
"""Tells a spreadsheet that it is UTF-8; it takes ü for Ã¼ without."""

_END: Final = "\r\n"  # RFC 4180, 2.1
# + - @ = and their wide forms, also after blanks, and where a field may begin for a program
# that parts fields at semicolons, tabs or lines whatever the quotation marks say
_FORMULA: Final = re.compile(r"(^|[;\t\r\n])([\s\u200b\ufeff]*)(?=[=+\-@＝＋－＠−])")
_NUMBER: Final = re.compile(
    r"[+\-−] ?[£€$¥₹]? ?[0-9]+(?:[., \u00a0\u202f][0-9]+)*(?: ?[A-Za-z£€%]{1,4})?"
)


def write_csv(
    header: Sequence[str], rows: Iterable[Sequence[Cell]], *, plain: bool = False
) -> bytes:
    """Return a table as CSV.

    plain: without loss, to be read back; else with a byte order mark, and neutralised, to be
    opened in a spreadsheet.
    """
    return b"".join(csv_lines(header, rows, plain=plain))


def csv_lines(
    header: Sequence[str], rows: Iterable[Sequence[Cell]], *, plain: bool = False
) -> Iterator[bytes]:
    """Give a table as CSV line by line, for one too long to hold; as `write_csv`."""
    if not plain:
        yield BOM
    yield _line(header, plain=plain)
    for row in rows:
        if len(row) != len(header):
            raise ValueError(f"a row of {len(row)} under a heading of {len(header)}")
        yield _line(row, plain=plain)


def neutral(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula; a number as it is."""
    if _NUMBER.fullmatch(text.strip()):
        return text
    return _FORMULA.sub(r"\1'\2", text)


def _line(cells: Iterable[Cell], *, plain: bool) -> bytes:
    return (",".join(_field(cell, plain=plain) for cell in cells) + _END).encode()


def _field(cell: Cell, *, plain: bool) -> str:
    """Return a field: texts always in quotation marks, numbers and days bare."""
    match cell:
        case None:
            return ""
        case str():
            text = cell if plain else neutral(cell)
            return '"' + text.replace('"', '""') + '"'
        case Decimal():
            return f"{cell:f}"
        case date():
            return cell.isoformat()
        case _:
            return str(int(cell))
