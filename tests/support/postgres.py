"""A real PostgreSQL for the length of a test run: a cluster of its own in a temporary folder.

It listens on a socket in that folder and nowhere else. Nothing in it has to outlive the run,
so it never waits for the disc, unless it is asked to.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import psycopg

START_LIMIT = 60.0  # seconds until the first answer, generous for a loaded machine
ROOM = 2**30  # bytes; a cluster takes about a tenth of that, a database 10 MB
USER = "rushlight"
HASTY = ("fsync=off", "full_page_writes=off", "synchronous_commit=off")


@cache
def programs() -> Path | None:
    """Return the folder with `initdb` and `postgres`: on the path, or where Debian keeps them."""
    found = shutil.which("initdb")
    folders = [Path(found).resolve().parent] if found else []
    versions = Path("/usr/lib/postgresql").glob("[0-9]*/bin")
    folders += sorted(versions, key=lambda folder: float(folder.parent.name), reverse=True)
    for folder in folders:
        if all(os.access(folder / name, os.X_OK) for name in ("initdb", "postgres")):
            return folder
    return None


@cache
def missing() -> str | None:
    """Return why no server can be started here; None where one can."""
    if os.name != "posix":
        return "the server tests start PostgreSQL on a Unix socket"
    if programs() is None:
        return "PostgreSQL is not installed here"
    try:
        import psycopg  # noqa: F401  # only whether it is there
    except ImportError:
        return "psycopg is not installed here"
    try:
        _not_root()
    except LookupError:
        return "PostgreSQL refuses to run as root, and there is no other user here"
    return None


@cache
def version() -> str:
    """Return what the programs call themselves: "15.13"."""
    folder = programs()
    assert folder is not None
    said = subprocess.run(
        [folder / "postgres", "--version"], check=True, capture_output=True, text=True
    ).stdout
    found = re.search(r"\d+(?:\.\d+)*", said)
    return found.group() if found else said.strip()


def _not_root() -> dict[str, Any]:
    """Return as whom to run: ourselves, or, as root, a user that owns nothing of note."""
    if os.geteuid() != 0:
        return {}
    import pwd

    for name in ("postgres", "nobody"):
        try:
            user = pwd.getpwnam(name)
        except KeyError:
            continue
        return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}
    raise LookupError


@dataclass
class Cluster:
    """A running server, and the databases made on it."""

    folder: Path
    settings: tuple[str, ...] = HASTY
    _own: psycopg.Connection[tuple[Any, ...]] | None = None
    _process: subprocess.Popen[bytes] | None = None
    _templates: dict[str, str] = field(default_factory=dict)
    _number: Iterator[int] = field(default_factory=count)

    def address(self, database: str) -> str:
        """Return the address of a database, as a maker would type it."""
        return f"postgresql://{USER}@/{database}?host={self.folder}"

    def clone(self, name: str, build: Callable[[str], None]) -> str:
        """Return the address of a new database, filled as `build` fills the first of the name.

        build: is given the address of an empty database, once.
        """
        if name not in self._templates:
            empty = self.empty()
            build(empty)
            self._templates[name] = _database(empty)
        return self._made(f'TEMPLATE "{self._templates[name]}"')

    def empty(self) -> str:
        """Return the address of a new database with nothing in it."""
        return self._made("TEMPLATE template0")

    def drop(self, address: str) -> None:
        """Remove a database, also from under whoever is connected still."""
        self.run(f'DROP DATABASE "{_database(address)}" WITH (FORCE)')

    def run(self, statement: str) -> list[tuple[Any, ...]]:
        """Run one statement beside the tests; return its rows."""
        import psycopg

        if self._own is None or self._own.closed:
            self._own = psycopg.connect(
                host=str(self.folder), user=USER, dbname="postgres", autocommit=True
            )
        cursor = self._own.execute(statement.encode())
        return cursor.fetchall() if cursor.description else []

    def start(self) -> None:
        """Start it, and wait until it answers."""
        options = ("listen_addresses=", f"unix_socket_directories={self.folder}", *self.settings)
        folder = programs()
        assert folder is not None
        with (self.folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                [
                    *(folder / "postgres", "-D", self.folder / "data"),
                    *(part for option in options for part in ("-c", option)),
                ],
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                cwd=self.folder,
                # Ctrl-C is for the tests; the server is ended by them
                start_new_session=True,
                **_not_root(),
            )
        limit = time.monotonic() + START_LIMIT
        while not self._answers():
            said = (self.folder / "log").read_text(errors="replace")
            assert self._process.poll() is None, f"PostgreSQL stopped at its start:\n{said}"
            assert time.monotonic() < limit, f"PostgreSQL did not answer:\n{said}"
            time.sleep(0.02)

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """Stop it: SIGINT lets nobody finish but closes in order, SIGQUIT is as a crash."""
        if self._own is not None:
            self._own.close()
            self._own = None
        if self._process is None:
            return
        self._process.send_signal(how)
        try:
            self._process.wait(START_LIMIT)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._process = None

    def _answers(self) -> bool:
        import psycopg

        try:
            self.run("SELECT 1")
        except psycopg.OperationalError:
            return False
        return True

    def _made(self, how: str) -> str:
        name = f"bench_{next(self._number)}"
        self.run(f'CREATE DATABASE "{name}" {how}{_fast()}')
        return self.address(name)


@contextmanager
def cluster(settings: tuple[str, ...] = HASTY) -> Iterator[Cluster]:
    """Make a cluster, start it, and leave nothing of it behind."""
    # not in a folder of pytest's: those are closed to other users, and the name of a socket
    # may have no more than about a hundred characters
    folder = Path(tempfile.mkdtemp(prefix="rushlight-pg-", dir=_memory()))
    made = Cluster(folder, settings)
    try:
        _init(folder)
        made.start()
        yield made
    finally:
        made.stop()
        shutil.rmtree(folder, ignore_errors=True)


def _memory() -> Path | None:
    """Return a folder in memory, where there is one with room: copies take a third of the time."""
    folder = Path("/dev/shm")  # noqa: S108  # mkdtemp makes a folder of ours in it
    if os.access(folder, os.W_OK) and shutil.disk_usage(folder).free > ROOM:
        return folder
    return None


def _init(folder: Path) -> None:
    """Make the files of a cluster that sorts as in English, where it knows how: many do."""
    user = _not_root()
    if user:
        os.chown(folder, user["user"], user["group"])
    here = programs()
    assert here is not None
    command: list[str | Path] = [
        *(here / "initdb", "--pgdata", folder / "data", "--username", USER),
        *("--auth=trust", "--encoding=UTF8", "--no-locale", "--no-sync"),
    ]
    for more in (("--locale-provider=icu", "--icu-locale=en"), ()):
        done = subprocess.run(
            [*command, *more], capture_output=True, text=True, cwd=folder, check=False, **user
        )
        if done.returncode == 0:
            return
        shutil.rmtree(folder / "data", ignore_errors=True)
    raise AssertionError(f"initdb failed:\n{done.stderr}")


def _database(address: str) -> str:
    return address.split("@/", 1)[1].split("?", 1)[0]


@cache
def _fast() -> str:
    """Copy the files of the template rather than log each of its pages, where that is a choice."""
    return " STRATEGY FILE_COPY" if float(version().split(".")[0]) >= 15 else ""
