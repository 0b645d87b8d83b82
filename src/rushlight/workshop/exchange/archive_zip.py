"""Looking over the zip of an archive before anything in it is read.

Only entries that an archive of ours has are let in, by their full names; nothing is ever
unpacked under a name that stands in the zip. Numbers in it are believed only after they were
held against the size of the file itself.
"""

from __future__ import annotations

import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from rushlight.errors import BadInput, NotFound
from rushlight.workshop.exchange.archive_parts import (
    MANIFEST,
    MOST_DIRECTORY,
    MOST_ENTRIES,
    MOST_MANIFEST,
    MOST_UNPACKED,
    README,
    SCHEMA_ENTRY,
)
from rushlight.workshop.exchange.limits import MOST_RATIO, RATIO_FROM

# APPNOTE 6.3.10: general purpose bit 0 (4.4.4), end of the directory (4.3.16), zip64 (4.3.14-15)
_ENCRYPTED: Final = 0x1
_END: Final = struct.Struct("<4s4H2LH")
_END64_AT: Final = struct.Struct("<4sLQL")
_END64: Final = struct.Struct("<4sQ2H2L4Q")
_NOT_HERE: Final = 0xFFFFFFFF  # the size stands in the zip64 record
_LONGEST_COMMENT: Final = 65_535
_SHOWN: Final = 60
_METHODS: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_FIXED: Final = (MANIFEST, SCHEMA_ENTRY, README)
_NAMED: Final = re.compile(r"tables/[a-z_]{1,60}\.csv|files/[0-9a-f]{64}\.[a-z]{3}")
_REMEDY: Final = "Use an archive as Rushlight wrote it; nothing was made."


@contextmanager
def opened(archive: Path) -> Iterator[zipfile.ZipFile]:
    """Open the zip of an archive, looked over; BadInput says what is wrong with it."""
    if not archive.is_file():
        raise NotFound(f"There is no file {archive}. Check the name.")
    try:
        _check_directory(archive)
        with zipfile.ZipFile(archive) as package:
            _check(package, archive.stat().st_size)
            yield package
    except (zipfile.BadZipFile, NotImplementedError, EOFError, zipfile.LargeZipFile) as error:
        raise refused("The archive is damaged: its zip cannot be read.") from error
    except zlib.error as error:
        raise refused("The archive is damaged: an entry cannot be unpacked.") from error


def refused(what: str, place: str = "file") -> BadInput:
    """Return the refusal of an archive."""
    return BadInput.one(what, _REMEDY, place)


def _check_directory(archive: Path) -> None:
    """Look at the size of the directory before all of it is read into memory."""
    size = archive.stat().st_size
    with archive.open("rb") as file:
        if file.read(4) != b"PK\x03\x04":
            raise refused("This is not an archive of a workshop: it is no zip.")
        file.seek(max(0, size - _LONGEST_COMMENT - _END.size))
        tail = file.read()
        at = tail.rfind(b"PK\x05\x06")
        if at < 0 or at + _END.size > len(tail):
            raise refused("The archive is cut short: its end is missing.")
        *_, length, _offset, _comment = _END.unpack_from(tail, at)
        locator = at - _END64_AT.size
        if locator >= 0 and tail[locator : locator + 4] == b"PK\x06\x07":
            file.seek(min(size, _END64_AT.unpack_from(tail, locator)[2]))
            record = file.read(_END64.size)
            if len(record) < _END64.size:
                raise refused("The archive is cut short: its end is missing.")
            length = max(0 if length == _NOT_HERE else length, _END64.unpack(record)[8])
    if length > MOST_DIRECTORY:
        raise refused("The archive says that it holds more entries than any of ours.")


def _check(package: zipfile.ZipFile, size: int) -> None:
    parts = package.infolist()
    if len(parts) > MOST_ENTRIES:
        raise refused(
            f"The archive has {len(parts):,} entries; ours have {MOST_ENTRIES:,} at most."
        )
    names = [part.orig_filename for part in parts]
    for name in names:
        _check_name(name)
    if len(set(names)) != len(names):
        raise refused("The archive holds two entries of one name.")
    for part in parts:
        _check_part(part)
    if sum(part.compress_size for part in parts) > size:
        raise refused("Entries of the archive lie on top of one another.")
    if sum(part.file_size for part in parts) > MOST_UNPACKED:
        raise refused(f"The archive unpacks to more than {MOST_UNPACKED // 10**9} GB.")
    missing = [name for name in _FIXED if name not in names]
    if missing:
        raise refused(f"This is not an archive of a workshop: it has no {missing[0]}.")


def _check_name(name: str) -> None:
    if name in _FIXED or _NAMED.fullmatch(name):
        return
    shown = repr(name[:_SHOWN])
    parts = name.replace("\\", "/").split("/")
    if name.startswith(("/", "\\")) or name[1:2] == ":" or ".." in parts:
        raise refused(f"An entry is named to lead out of the folder: {shown}.")
    raise refused(f"The archive holds an entry that none of ours has: {shown}.")


def _check_part(part: zipfile.ZipInfo) -> None:
    name = part.filename
    mode = part.external_attr >> 16
    if part.flag_bits & _ENCRYPTED:
        raise refused("The archive is locked with a password.", name)
    if mode and not stat.S_ISREG(mode) and stat.S_IFMT(mode):
        raise refused("This entry is a link or a device, not a file.", name)
    if part.compress_type not in _METHODS:
        raise refused("This entry is packed in a way that ours are not.", name)
    if part.file_size > RATIO_FROM and part.file_size > MOST_RATIO * max(part.compress_size, 1):
        raise refused(f"This entry grows more than {MOST_RATIO} times as it is unpacked.", name)
    if name in _FIXED and part.file_size > MOST_MANIFEST:
        raise refused(f"This entry has more than {MOST_MANIFEST // 1_000_000} MB.", name)
