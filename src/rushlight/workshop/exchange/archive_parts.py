"""What an archive of a workshop consists of: names, manifest, and how much it may hold."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

FORMAT: Final = 1
"""The number of this way of writing an archive."""
OLDEST: Final = 4
"""The first schema that archives are written of."""

MANIFEST: Final = "manifest.json"
SCHEMA_ENTRY: Final = "schema.json"
README: Final = "README.txt"

MOST_ENTRIES: Final = 100_000
"""Entries: a few dozen tables, and a file for every sheet or certificate ever attached."""
MOST_DIRECTORY: Final = 16_000_000
"""Bytes of the table of contents: 160 for each entry, far more than our names take."""
MOST_MANIFEST: Final = 20_000_000
"""Bytes of the manifest, which is held whole: 200 for each entry."""
MOST_UNPACKED: Final = 50_000_000_000
"""Bytes of all entries unpacked: a thousand million movements."""
LONGEST_ROW: Final = 64_000_000
"""Bytes of a row: the deed of an import of 5,000 rows has a few million."""
DEEPEST: Final = 64
"""Levels of JSON within JSON: a candle has four, the undoing of a deed six."""

ENDINGS: Final = {"application/pdf": "pdf", "image/png": "png", "image/jpeg": "jpg"}
OTHER_ENDING: Final = "bin"


def table_entry(table: str) -> str:
    """Return the name of the entry of a table."""
    return f"tables/{table}.csv"


def file_entry(digest: str, media: str) -> str:
    """Return the name of the entry of a file: its SHA-256 and the ending of its type."""
    return f"files/{digest}.{ENDINGS.get(media, OTHER_ENDING)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """An entry as the manifest says it is. rows: of a table, without its heading."""

    sha256: str
    bytes: int
    rows: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """What an archive holds. made_at: ISO 8601 in UTC; the only thing two alike differ in."""

    rushlight_archive: int
    schema: int
    program: str
    made_at: str
    entries: dict[str, Entry] = field(default_factory=dict)

    @property
    def rows(self) -> int:
        """Return how many rows all tables have together."""
        return sum(entry.rows or 0 for entry in self.entries.values())

    def told(self) -> dict[str, Any]:
        """Return the manifest as it is written."""
        return {
            "rushlight_archive": self.rushlight_archive,
            "schema": self.schema,
            "program": self.program,
            "made_at": self.made_at,
            "entries": {
                name: {
                    "sha256": entry.sha256,
                    "bytes": entry.bytes,
                    **({} if entry.rows is None else {"rows": entry.rows}),
                }
                for name, entry in sorted(self.entries.items())
            },
        }
