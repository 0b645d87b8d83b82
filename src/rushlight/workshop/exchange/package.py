"""Looking over the zip of a workbook before anything in it is read.

What openpyxl is then handed is a new zip of the parts that were looked over, so that nothing
the old one says of sizes, places and names is believed twice.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from dataclasses import dataclass
from typing import Final

from rushlight.errors import BadInput
from rushlight.workshop.exchange.limits import (
    MOST_MARKS,
    MOST_PART,
    MOST_PARTS,
    MOST_RATIO,
    MOST_UNPACKED,
    RATIO_FROM,
)

_ENCRYPTED: Final = 0x1  # APPNOTE 6.3.10, 4.4.4
_METHODS: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
"""The two ways OOXML packs a part (ECMA-376-2, annex C); others unpack without a bound."""
_WORKBOOK: Final = "xl/workbook.xml"
_STREAMED: Final = re.compile(r"xl/(?:worksheets/[^/]+|sharedStrings)\.xml")
_NOT_READ: Final = re.compile(
    r"xl/(?:media|embeddings|drawings|printerSettings|externalLinks|chartsheets|charts)/"
)
_PIECE: Final = 65_536
_FORMULA: Final = re.compile(rb"<(?:[A-Za-z]+:)?f[\s/>]")
_REMEDY: Final = "Open it, copy the table alone to a new workbook, and save that as XLSX."


@dataclass(frozen=True, slots=True)
class Package:
    """The parts that were looked over, as a zip; formulas: whether a sheet has any."""

    content: bytes
    formulas: bool


def checked_package(content: bytes) -> Package:
    """Return the parts of a plain workbook; BadInput for what is none.

    Checked: that it is a workbook; names that lead out of a folder; encryption; macros; how
    many parts, how large unpacked, how far they grow, how many tags.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as package:
            parts = package.infolist()
            _check_parts(parts)
            return _taken(package, parts)
    except BadInput:
        raise
    # a zip made up by hand brings out the faults of everything that reads it
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError) as error:
        raise _refused("The workbook is damaged: its zip cannot be read.") from error


def _refused(what: str, remedy: str = _REMEDY) -> BadInput:
    return BadInput.one(what, remedy, "file")


def _check_parts(parts: list[zipfile.ZipInfo]) -> None:
    names = [part.orig_filename for part in parts]
    if len(names) > MOST_PARTS:
        raise _refused(f"The workbook has {len(names):,} parts; a plain one has a few dozen.")
    if len({name.casefold() for name in names}) != len(names):
        raise _refused("The workbook holds two parts of one name.")
    if any(_leads_out(name) for name in names):
        raise _refused("A part of the workbook is named to lead out of its folder.")
    if any(part.flag_bits & _ENCRYPTED for part in parts):
        raise _refused("The workbook is locked with a password.", "Save it without one.")
    if any("vbaproject" in name.casefold() for name in names):
        raise _refused("The workbook holds macros.", "Save it as XLSX, which has none.")
    if _WORKBOOK not in names:
        raise _refused("This is a zip, but not an XLSX workbook.", "Save the table as XLSX or CSV.")
    if any(part.compress_type not in _METHODS for part in parts):
        raise _refused("The workbook is packed in a way that workbooks are not.")
    _check_sizes(parts)


def _check_sizes(parts: list[zipfile.ZipInfo]) -> None:
    if sum(part.file_size for part in parts) > MOST_UNPACKED:
        raise _refused(f"The workbook unpacks to more than {MOST_UNPACKED // 1_000_000} MB.")
    for part in parts:
        large = part.file_size > RATIO_FROM
        if large and part.file_size > MOST_RATIO * max(part.compress_size, 1):
            raise _refused(f"A part of the workbook grows more than {MOST_RATIO} times unpacked.")
        held = not (_STREAMED.fullmatch(part.filename) or _NOT_READ.match(part.filename))
        if held and part.file_size > MOST_PART:
            raise _refused(f"A part of the workbook has more than {MOST_PART // 1_000_000} MB.")


def _leads_out(name: str) -> bool:
    folders = name.replace("\\", "/").split("/")
    absolute = name.startswith(("/", "\\")) or name[1:2] == ":"
    return absolute or ".." in folders or "\0" in name or "\\" in name


def _taken(package: zipfile.ZipFile, parts: list[zipfile.ZipInfo]) -> Package:
    """Unpack each part once, no further than it says it goes, count its tags, and keep it."""
    marks, formulas = 0, False
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as kept:
        for part in parts:
            if part.is_dir() or _NOT_READ.match(part.filename):
                continue
            inside = _unpacked(package, part)
            marks += inside.count(b"<")
            if marks > MOST_MARKS:
                raise _refused(f"The workbook has more than {MOST_MARKS:,} tags.")
            if part.filename == "[Content_Types].xml" and b"macroEnabled" in inside:
                raise _refused("The workbook holds macros.", "Save it as XLSX, which has none.")
            formulas = formulas or (
                "worksheets/" in part.filename and _FORMULA.search(inside) is not None
            )
            kept.writestr(part.filename, inside)
    return Package(held.getvalue(), formulas)


def _unpacked(package: zipfile.ZipFile, part: zipfile.ZipInfo) -> bytes:
    """Return a part. Piece by piece: asked for all at once, zlib would not heed its size."""
    with package.open(part) as stream:
        return b"".join(iter(lambda: stream.read(_PIECE), b""))
