"""Where a test keeps its workshop: in a file, or, run a second time, on a real server."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol

from rushlight.store.place import Store, create_store, open_store
from tests.support.postgres import Cluster

Clock = Callable[[], datetime]
Build = Callable[[str | Path], None]
"""Makes a workshop at a place where nothing is yet, and closes it."""


class Home(Protocol):
    """Somewhere to keep workshops; what is made there is gone after the test."""

    def unused(self, name: str) -> str | Path:
        """Return a place where nothing is yet."""

    def filled(self, name: str, build: Build) -> str | Path:
        """Return a place with a copy of what `build` made the first time for this name."""

    def store(self, name: str, clock: Clock) -> Store:
        """Return a new store with nothing in it."""


@dataclass(frozen=True, slots=True)
class Files:
    """Workshops in files of a folder. templates: a folder that outlives the test."""

    folder: Path
    templates: Path

    def unused(self, name: str) -> Path:
        """Return the name of a file."""
        return self.folder / f"{name}.rushlight"

    def filled(self, name: str, build: Build) -> Path:
        """Return a copy of a file, made the first time."""
        template = self.templates / f"{name}.rushlight"
        if not template.exists():
            build(template)
        return Path(shutil.copyfile(template, self.unused(name)))

    def store(self, name: str, clock: Clock) -> Store:
        """Make a file that does not wait for the disc."""
        return create_store(self.unused(name), clock=clock, durable=False)


@dataclass(frozen=True, slots=True)
class Databases:
    """Workshops in databases of a server."""

    cluster: Cluster
    made: list[str]

    def unused(self, name: str) -> str:  # noqa: ARG002 - databases are only numbered
        """Return the address of an empty database."""
        self.made.append(self.cluster.empty())
        return self.made[-1]

    def filled(self, name: str, build: Build) -> str:
        """Return the address of a copy of a database, made the first time."""
        self.made.append(self.cluster.clone(name, build))
        return self.made[-1]

    def store(self, name: str, clock: Clock) -> Store:  # noqa: ARG002 - as above
        """Open a copy of a workshop in which nothing was done yet."""
        return open_store(self.filled("new", lambda place: _make(place, clock)), clock=clock)

    def clear(self) -> None:
        """Remove what was made."""
        for address in self.made:
            self.cluster.drop(address)


def _make(place: str | Path, clock: Clock) -> None:
    create_store(place, clock=clock).close()
