"""Making a workshop of an archive: everything that is in it, or nothing."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from io import BufferedReader
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, cast

from rushlight.errors import BadInput, WorkshopError
from rushlight.workshop.exchange.archive_parts import (
    ENDINGS,
    FORMAT,
    MANIFEST,
    OLDEST,
    Entry,
    Manifest,
    table_entry,
)
from rushlight.workshop.exchange.archive_rows import check_depth, read_rows
from rushlight.workshop.exchange.archive_zip import opened, refused
from rushlight.workshop.shop import Clock, Workshop, wall_clock

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine, Table

    from rushlight.store.archive import Cell, Held

_CHUNK: Final = 1 << 20
_FEW: Final = 1_000


def check(archive: str | Path) -> Manifest:
    """Return what an archive says it holds, when it does: every entry, whole and unchanged.

    BadInput says what is wrong with it.
    """
    with opened(Path(archive)) as package:
        return _checked(package)


def read(
    archive: str | Path,
    place: str | Path,
    *,
    clock: Clock = wall_clock,
    progress: Callable[[int, int, str], None] | None = None,
) -> Workshop:
    """Make a new workshop of an archive, in a new file or an empty database, and open it.

    Everything is there, or nothing was made. An archive of an older schema is brought up.
    Refused when the place is taken; BadInput when the archive is not as it was written;
    WorkshopError when it was made by a newer program.
    """
    from rushlight.store.place import create_store
    from rushlight.store.upgrade import upgrade_filled

    with opened(Path(archive)) as package:
        loading = _Loading(package, _checked(package), progress)

        def fill(engine: Engine) -> None:
            upgrade_filled(engine, loading.manifest.schema, loading.into, _check_balances)

        return Workshop(create_store(place, clock=clock, make=fill), clock)


def _checked(package: zipfile.ZipFile) -> Manifest:
    manifest = _manifest(package)
    there = {part.filename for part in package.infolist()} - {MANIFEST}
    listed = set(manifest.entries)
    for name in sorted(there - listed):
        raise refused("The manifest does not list this entry.", name)
    for name in sorted(listed - there):
        raise refused("The manifest lists an entry that is not there.", name)
    for name, entry in manifest.entries.items():
        summed, size = hashlib.sha256(), 0
        with package.open(name) as source:
            while block := source.read(_CHUNK):
                summed.update(block)
                size += len(block)
        if size != entry.bytes or summed.hexdigest() != entry.sha256:
            raise refused("This entry is not as it was written: its SHA-256 differs.", name)
    return manifest


def _manifest(package: zipfile.ZipFile) -> Manifest:
    from pydantic import TypeAdapter, ValidationError

    from rushlight.store.tables import SCHEMA

    try:
        written = package.read(MANIFEST)
        told = json.loads(written)
    except (ValueError, RecursionError):
        raise refused("This is not JSON, or is nested without end.", MANIFEST) from None
    if not isinstance(told, dict) or not check_depth(told):
        raise refused("This is not the manifest of an archive.", MANIFEST)
    for key, known in (("rushlight_archive", FORMAT), ("schema", SCHEMA)):
        number = told.get(key)
        if isinstance(number, int) and number > known:
            raise WorkshopError(
                f"This archive was made by a newer Rushlight ({key} {number}; this one knows "
                f"{known}). Update Rushlight to read it. Nothing was made."
            )
    try:
        manifest = TypeAdapter(Manifest).validate_json(written, strict=True, extra="forbid")
    except ValidationError as error:
        first = error.errors()[0]
        at = ".".join(map(str, first["loc"]))
        raise refused(f"{at}: {first['msg']}.", MANIFEST) from None
    if manifest.rushlight_archive != FORMAT or manifest.schema < OLDEST:
        raise refused(f"No archive has the format or schema it names; the first is {OLDEST}.")
    return manifest


@dataclass(slots=True)
class _Loading:
    """An archive while it is loaded."""

    package: zipfile.ZipFile
    manifest: Manifest
    progress: Callable[[int, int, str], None] | None
    done: int = 0
    named: set[str] = field(default_factory=set)

    def into(self, connection: Connection) -> None:
        """Fill the empty tables, and check that every row points at rows that are there."""
        from sqlalchemy.exc import DBAPIError

        from rushlight.store import archive, dialect

        tables = archive.tables_of(connection)
        wanted = {table_entry(table.name) for table in tables}
        there = {name for name in self.manifest.entries if name.endswith(".csv")}
        for name in sorted(wanted ^ there):
            what = "has no such table" if name in there else "needs this table"
            raise refused(f"Schema {self.manifest.schema} {what}.", name)
        for table in tables:
            name = table_entry(table.name)
            try:
                number = archive.load(connection, table, self.rows(table))
            except (DBAPIError, OverflowError) as error:
                said = error.orig if isinstance(error, DBAPIError) else error
                raise _unless_disc(
                    error, refused(f"A row cannot be kept: {said}.", name)
                ) from error
            if number != self.manifest.entries[name].rows:
                raise refused(f"It has {number} rows, not as many as the manifest says.", name)
        broken = dialect.broken_links(connection)
        if broken:
            raise refused("Rows of it point at rows that are not there.", table_entry(broken[0]))
        for name in sorted(self.manifest.entries):
            if name.startswith("files/") and name not in self.named:
                raise refused("No row names this file.", name)

    def rows(self, table: Table) -> Iterator[list[Cell]]:
        """Give the rows of a table, the files in their places."""
        from rushlight.store.archive import columns_of

        name, columns = table_entry(table.name), columns_of(table)
        files = [i for i, held in enumerate(columns) if held.kind == "file"]
        with self.package.open(name) as source:
            buffered = BufferedReader(cast("Any", source), _CHUNK)
            for number, found in enumerate(read_rows(buffered, columns, name), start=1):
                row: list[Cell] = [*found]
                for i in files:
                    row[i] = self.file(dict(zip(_names(columns), found, strict=True)), columns[i])
                self.tell(number, table.name)
                yield row

    def file(self, row: dict[str, Any], held: Held) -> bytes | None:
        """Return the file that a row names, when it is what the row says it is."""
        from rushlight.workshop.attachments import LARGEST, media_of

        name = row[held.name]
        if name is None and held.nullable:
            return None
        entry: Entry | None = self.manifest.entries.get(str(name))
        if entry is None or not str(name).startswith("files/"):
            raise refused(f"It names a file that is not in the archive: {str(name)[:80]!r}.")
        if entry.bytes > LARGEST:
            raise refused(f"A file has more than {LARGEST // 1_000_000} MB.", str(name))
        self.named.add(str(name))
        content = self.package.read(str(name))
        media = media_of(content)
        told = (row.get("media"), row.get("digest"), row.get("size"))
        if told != (media, entry.sha256, entry.bytes):
            raise refused("The file is not what its row says: type, SHA-256, size.", str(name))
        if media is None or name != f"files/{entry.sha256}.{ENDINGS[media]}":
            raise refused("The file is not named by its SHA-256 and type.", str(name))
        return content

    def tell(self, number: int, what: str) -> None:
        self.done += 1
        if self.progress is not None and (number % _FEW == 0 or self.done == self.manifest.rows):
            self.progress(self.done, self.manifest.rows, what)


def _check_balances(connection: Connection) -> None:
    from rushlight.store.archive import wrong_balances

    wrong = wrong_balances(connection)
    if wrong:
        raise refused("What is left of a lot is not the sum of its movements.", wrong[0])


def _names(columns: tuple[Held, ...]) -> list[str]:
    return [held.name for held in columns]


def _unless_disc(error: Exception, otherwise: BadInput) -> Exception:
    """Return what is wrong: with the place, where it is the disc; else with the archive."""
    from rushlight.store.trouble import trouble

    return trouble("The new workshop", str(error)) or otherwise
