"""A whole workshop as a zip of CSV, and back.

One entry a table, by RFC 4180, with a JSON Schema that says what every column holds; files kept
with materials are entries of their own. Null and the empty text are told apart as PostgreSQL's
COPY does: a text is always in quotation marks, even an empty one, and null is nothing at all.

The same workshop gives the same bytes, but for `made_at` in the manifest. What the archive says
is of one moment, however long it takes to write, and nobody waits for it meanwhile.
"""

from __future__ import annotations

import hashlib
import json
import os
import time
import zipfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from rushlight.errors import NotFound, Refused, WorkshopError
from rushlight.workshop.exchange.archive_parts import (
    FORMAT,
    MANIFEST,
    MOST_ENTRIES,
    README,
    SCHEMA_ENTRY,
    Entry,
    Manifest,
    file_entry,
    table_entry,
)
from rushlight.workshop.exchange.archive_reader import check, read
from rushlight.workshop.exchange.limits import MOST_RATIO, RATIO_FROM
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

__all__ = ["Manifest", "Progress", "Written", "check", "read", "write"]

Progress = Callable[[int, int, str], None]
"""Told how many rows are done, of how many, and what is being done."""

_BLOCK: Final = 1_000
_EPOCH: Final = (1980, 1, 1, 0, 0, 0)  # the first day a zip can tell
_UNIX: Final = 3
_PLAIN_FILE: Final = 0o100644 << 16
_LEVEL: Final = 6


@dataclass(frozen=True, slots=True)
class Written:
    """An archive that was written. seconds: how long that took [s]."""

    path: Path
    bytes: int
    rows: int
    seconds: float


def write(
    shop: Workshop,
    target: str | Path,
    *,
    progress: Progress | None = None,
    stop: Callable[[], bool] | None = None,
) -> Written:
    """Write the whole workshop to a new file; it has its name only when it is complete.

    Refused when the file exists; `rushlight.heat.watch.Stopped` when stop says so.
    """
    path, begun = Path(target).absolute(), time.perf_counter()
    if path.exists():
        raise Refused(f"{path} exists already. Choose another name for the archive.")
    if not path.parent.is_dir():
        raise NotFound(f"There is no folder {path.parent}. Make it first.")
    making = path.with_name(f".{path.name}.{os.getpid()}.making")
    try:
        with shop.store.reading() as connection:
            rows = _written(shop, connection, making, _Watch(progress, stop))
        size = making.stat().st_size
        making.replace(path)
    except OSError as error:
        raise WorkshopError(
            f"{path} cannot be written: {error.strerror}. Free some space, or name another folder."
        ) from error
    finally:
        with suppress(OSError):
            making.unlink(missing_ok=True)
    return Written(path, size, rows, time.perf_counter() - begun)


@dataclass(slots=True)
class _Watch:
    """Who looks on while rows are written."""

    progress: Progress | None
    stop: Callable[[], bool] | None
    total: int = 0
    done: int = 0

    def tell(self, more: int, what: str) -> None:
        from rushlight.heat.watch import Stopped

        self.done += more
        if self.progress is not None:
            self.progress(self.done, self.total, what)
        if self.stop is not None and self.stop():
            raise Stopped


def _written(shop: Workshop, connection: Connection, making: Path, watch: _Watch) -> int:
    from rushlight.store.archive import count, tables_of

    tables = tables_of(connection)
    watch.total = sum(count(connection, table) for table in tables)
    for method in (zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED):
        watch.done = 0
        with making.open("wb") as file:
            with zipfile.ZipFile(file, "w", method, compresslevel=_LEVEL) as package:
                made = _Making(package, connection, watch)
                made.all(tables)
                made.manifest(shop)
                tight = any(_too_tight(part) for part in package.infolist())
            file.flush()
            os.fsync(file.fileno())
        # text that packs as well as a bomb is written unpacked, so that it is not taken for one
        if not tight:
            break
    return made.rows


def _too_tight(part: zipfile.ZipInfo) -> bool:
    return part.file_size > RATIO_FROM and part.file_size > MOST_RATIO * part.compress_size


@dataclass(slots=True)
class _Making:
    """An archive while it is written."""

    package: zipfile.ZipFile
    connection: Connection
    watch: _Watch
    rows: int = 0
    entries: dict[str, Entry] = field(default_factory=dict)

    def all(self, tables: Iterable[Table]) -> None:
        """Write the tables and what goes with them."""
        from rushlight.store.tables import SCHEMA
        from rushlight.workshop.exchange.archive_schema import schema_of
        from rushlight.workshop.exchange.archive_text import README_TEXT

        listed = list(tables)
        self.entry(README, [README_TEXT.encode()])
        self.entry(SCHEMA_ENTRY, [_json(schema_of(listed, number=SCHEMA))])
        for table in listed:
            self.table(table)

    def table(self, table: Table) -> None:
        """Write one table, and its files before it."""
        from rushlight.store.archive import columns_of, rows
        from rushlight.workshop.exchange.csv_writer import csv_lines

        columns = columns_of(table)
        kept = {i: self.files(table, c.name) for i, c in enumerate(columns) if c.kind == "file"}
        key = next((i for i, c in enumerate(columns) if c.name == "id"), 0)
        found: Iterable[Any] = rows(self.connection, table)
        if kept:
            found = (
                [kept[i][row[key]] if i in kept else cell for i, cell in enumerate(row)]
                for row in found
            )
        counted = _Counted(found)
        lines = csv_lines([column.name for column in columns], counted, plain=True)
        self.entry(table_entry(table.name), self.blocks(lines, table.name), counted)

    def files(self, table: Table, column: str) -> dict[int, str]:
        """Write the files in a column; return the name of the entry of each row."""
        from rushlight.store.archive import files

        named: dict[int, str] = {}
        for number, media, content in files(self.connection, table, column):
            name = file_entry(hashlib.sha256(content).hexdigest(), media)
            named[number] = name
            if name not in self.entries:
                # sheets and pictures are packed already
                self.entry(name, [content], method=zipfile.ZIP_STORED)
                self.watch.tell(0, name)
        return named

    def blocks(self, lines: Iterator[bytes], what: str) -> Iterator[bytes]:
        """Join lines to blocks, and tell of each."""
        heading = 1
        while block := list(islice(lines, _BLOCK)):
            yield b"".join(block)
            self.watch.tell(len(block) - heading, what)
            heading = 0

    def entry(
        self,
        name: str,
        blocks: Iterable[bytes],
        counted: _Counted | None = None,
        *,
        method: int | None = None,
    ) -> None:
        """Write one entry, and note what it is."""
        if len(self.entries) >= MOST_ENTRIES:
            raise Refused(f"The workshop keeps more than {MOST_ENTRIES:,} files.")
        told = zipfile.ZipInfo(name, _EPOCH)
        told.create_system, told.external_attr = _UNIX, _PLAIN_FILE
        told.compress_type = self.package.compression if method is None else method
        summed, size = hashlib.sha256(), 0
        with self.package.open(told, "w", force_zip64=counted is not None) as out:
            for block in blocks:
                out.write(block)
                summed.update(block)
                size += len(block)
        rows = None if counted is None else counted.number
        self.rows += rows or 0
        self.entries[name] = Entry(sha256=summed.hexdigest(), bytes=size, rows=rows)

    def manifest(self, shop: Workshop) -> None:
        """Write what there is; the last entry."""
        from rushlight import __version__
        from rushlight.store.marks import stamp
        from rushlight.store.tables import SCHEMA

        told = Manifest(
            rushlight_archive=FORMAT,
            schema=SCHEMA,
            program=__version__,
            made_at=stamp(shop.now()),
            entries=dict(self.entries),
        )
        self.entry(MANIFEST, [_json(told.told())])


@dataclass(slots=True)
class _Counted:
    """Rows, counted as they go by."""

    rows: Iterable[Any]
    number: int = 0

    def __iter__(self) -> Iterator[Any]:
        for row in self.rows:
            self.number += 1
            yield row


def _json(told: dict[str, Any]) -> bytes:
    return (json.dumps(told, ensure_ascii=False, indent=1) + "\n").encode()
