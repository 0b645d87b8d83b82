"""CSV as RFC 4180 says, and with semicolons or tabs; UTF-8, or UTF-16 that says so."""

from __future__ import annotations

import codecs
import csv
import io
import re
from typing import Final

from rushlight.errors import BadInput
from rushlight.workshop.exchange.table import Checked, Table

DELIMITERS: Final = {",": "comma", ";": "semicolon", "\t": "tab"}

_REMEDY: Final = "Save it as “CSV UTF-8” in the program it came from."
# the first record: text outside quotes, and quoted parts in which a doubled quote is one;
# possessive, so that no text makes it try again
_RECORD: Final = re.compile(r'(?:[^"\r\n]++|"(?:[^"]++|"")*+"?)*+')
_QUOTED: Final = re.compile(r'"(?:[^"]++|"")*+"?')


def read_csv(name: str, content: bytes) -> Table:
    """Return the table of a CSV file; BadInput with every problem found."""
    text, encoding = decoded(content)
    if text.lstrip().startswith("<"):
        raise BadInput.one(
            "This is a web page or XML, not a table.", "Save it as CSV or XLSX.", "file"
        )
    delimiter = delimiter_of(text)
    checked = Checked(exact_width=True)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    number = 0
    while True:
        try:
            cells = next(rows)
        except StopIteration:
            break
        except csv.Error as error:
            checked.problems.add(f"row {number + 1}", *_said(error))
            break
        number += 1
        checked.take(number, cells)
    checked.done()
    return Table(
        name=name,
        header=checked.header,
        rows=tuple(checked.rows),
        media="csv",
        encoding=encoding,
        delimiter=delimiter,
    )


def _said(error: csv.Error) -> tuple[str, str]:
    said = str(error)
    if "limit" in said:
        what = "A cell from here on never ends."
    elif "unexpected end" in said:
        what = "A quotation mark is opened and never closed."
    else:
        what = "A quotation mark stands within a cell that is not in quotation marks whole."
    return what, "Put the cell in quotation marks, and double those within it."


def decoded(content: bytes) -> tuple[str, str]:
    """Return the text and its encoding: UTF-8, or UTF-16 by its byte order mark.

    Nothing else is tried: every byte is a letter in the old encodings, so that a guess among
    them is never found out, and turns ü into Ã¼.
    """
    if content.startswith((codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)):
        raise BadInput.one("The file is in UTF-32.", _REMEDY, "file")
    if content.startswith(codecs.BOM_UTF8):
        encoding = "utf-8-sig"
    elif content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        encoding = "utf-16"
    else:
        encoding = "utf-8"
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError as error:
        row = content.count(b"\n", 0, error.start) + 1
        raise BadInput.one(
            f"The file is not in {encoding[:6].upper()}: line {row} has a letter that cannot be "
            "read.",
            _REMEDY,
            "file",
        ) from None
    if "\0" in text:
        row = text.count("\n", 0, text.index("\0")) + 1
        raise BadInput.one(
            f"Line {row} holds a zero byte: the file is damaged, or no text.", _REMEDY, "file"
        )
    return text, encoding


def delimiter_of(text: str) -> str:
    """Return what separates the fields: the only one of comma, semicolon and tab in the heading.

    Where the heading has several outside quotation marks, it is the one that gives every row
    as many fields; BadInput where that does not tell either.
    """
    found = _RECORD.match(text.lstrip("\r\n"))
    bare = _QUOTED.sub("", found[0] if found else "")
    there = [mark for mark in DELIMITERS if mark in bare]
    if len(there) < 2:  # noqa: PLR2004 - one is no choice
        return there[0] if there else ","
    even = [mark for mark in there if _even(text, mark)]
    if len(even) == 1:
        return even[0]
    raise BadInput.one(
        f"The heading has {' and '.join(DELIMITERS[mark] + 's' for mark in there)} in it, and "
        "either could separate the columns.",
        "Put headings in quotation marks, or save it as XLSX.",
        "row 1",
    )


def _even(text: str, delimiter: str) -> bool:
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        return len({len(row) for row in rows if row}) == 1
    except csv.Error:
        return False
