"""What is put aside between two pages: tables that were sent, an archive that was made."""

from __future__ import annotations

import secrets
import shutil
import tempfile
from collections import OrderedDict
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock

from rushlight.errors import NotFound
from rushlight.workshop.exchange.table import Table

KEPT = 6  # tables put aside at once; one has at most 2,000 rows


@dataclass(slots=True)
class Trays:
    """Tables by token, the oldest given up first; and a folder for one archive."""

    _tables: OrderedDict[str, tuple[str, Table]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)
    _folder: Path | None = None

    def put(self, kind: str, table: Table) -> str:
        """Put a table of a kind aside; return the token it is found by."""
        token = secrets.token_urlsafe(12)
        with self._lock:
            self._tables[token] = (kind, table)
            while len(self._tables) > KEPT:
                self._tables.popitem(last=False)
        return token

    def table(self, token: str) -> tuple[str, Table]:
        """Return the kind and the table; NotFound when it was given up."""
        with self._lock:
            found = self._tables.get(token)
        if found is None:
            raise NotFound("This list is not kept any more. Choose the file again.")
        return found

    def archive(self, name: str) -> Path:
        """Return a free place for an archive; the one made before is deleted."""
        self.close()
        with self._lock:
            self._folder = Path(tempfile.mkdtemp(prefix="rushlight-"))
            return self._folder / name

    def close(self) -> None:
        """Delete the archive."""
        with self._lock:
            if self._folder is not None:
                shutil.rmtree(self._folder, ignore_errors=True)
                self._folder = None
