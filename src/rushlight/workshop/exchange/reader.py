"""Reading a table from outside: CSV or XLSX, whichever its first bytes say.

A file is refused by its size before it is read, and by what it would unpack to before it is
unpacked. Nothing in it is run, followed or guessed.
"""

from __future__ import annotations

import stat
from pathlib import Path
from typing import BinaryIO, Final

from rushlight.errors import BadInput
from rushlight.workshop.exchange.limits import LARGEST
from rushlight.workshop.exchange.table import Row, Table

__all__ = ["Row", "Table", "read_table"]

_ZIP: Final = (b"PK\x03\x04", b"PK\x05\x06")  # APPNOTE 6.3.10, 4.3.7 and 4.3.16
_COMPOUND: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # MS-CFB, 2.2
_OTHERS: Final = (
    (b"%PDF-", "a PDF"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"SQLite format 3\0", "a database"),
    (b"7z\xbc\xaf\x27\x1c", "a 7z archive"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
)


def read_table(name: str, source: bytes | Path | BinaryIO, *, sheet: str | None = None) -> Table:
    """Return the table in a file; BadInput with every problem found.

    name: for messages only; what the file is, its first bytes say. source: its bytes, its
    path, or an open stream of which no more than the limit is taken. sheet: of a workbook; by
    default the first that is visible.
    """
    content = _content(source)
    if not content.strip(b"\0\t\r\n "):
        raise BadInput.one("The file is empty.", "Choose the file again.", "file")
    if content.startswith(_ZIP):
        from rushlight.workshop.exchange.xlsx_reader import read_xlsx

        return read_xlsx(name, content, sheet=sheet)
    if content.startswith(_COMPOUND):
        raise BadInput.one(
            "This is a workbook of the old kind, or one locked with a password.",
            "Save it as XLSX without a password.",
            "file",
        )
    for magic, kind in _OTHERS:
        if content.startswith(magic):
            raise BadInput.one(
                f"This is {kind}, whatever its name says.", "Save the table as CSV or XLSX.", "file"
            )
    from rushlight.workshop.exchange.csv_reader import read_csv

    return read_csv(name, content)


def _content(source: bytes | Path | BinaryIO) -> bytes:
    """Return the bytes; a file or stream that is too large is never held."""
    if isinstance(source, bytes):
        _check_size(len(source))
        return source
    if not isinstance(source, Path):
        content = source.read(LARGEST + 1)
        _check_size(len(content), more=True)
        return content
    try:
        found = source.stat()
        if not stat.S_ISREG(found.st_mode):
            raise BadInput.one(
                f"{source.name} is not a file.", "Choose a CSV or XLSX file.", "file"
            )
        _check_size(found.st_size)
        with source.open("rb") as stream:
            content = stream.read(LARGEST + 1)  # it may have grown since
    except OSError as error:
        raise BadInput.one(
            f"{source.name} cannot be read: {error.strerror}.", "Choose another file.", "file"
        ) from None
    _check_size(len(content), more=True)
    return content


def _check_size(size: int, *, more: bool = False) -> None:
    if size > LARGEST:
        raise BadInput.one(
            f"The file has {'more than ' if more else ''}{size / 1e6:,.0f} MB.",
            f"Import at most {LARGEST // 1_000_000} MB at a time: split it, or leave columns out.",
            "file",
        )
