"""A workshop whose disc fills up: `python -m tests.support.filling HOW WHAT FOLDER [OLD]`.

how: "disc" fills the file system the folder is on (a small one), "limit" lets the system
refuse files beyond a size, "pages" lets SQLite. what: "writing" or "migrating". What came of
it is told as one line of JSON.
"""

from __future__ import annotations

import json
import os
import resource
import shutil
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import Any

from rushlight.errors import WorkshopError
from rushlight.store.place import Store, create_store, open_store
from tests.support import steps

ROOM = 300_000  # bytes left: for a dozen writes, not for a copy


def _clock() -> Any:
    return steps.START


def _fill(how: str, path: Path, room: int, store: Store | None) -> Callable[[], None]:
    """Let the disc fill up; return what makes room again."""
    if how == "disc":
        ballast = path.with_name("ballast")
        with ballast.open("wb") as file:
            left = os.statvfs(path.parent)
            file.write(bytes(left.f_bavail * left.f_frsize - room))
        return ballast.unlink
    if how == "limit":
        largest = max(file.stat().st_size for file in path.parent.iterdir())
        _limit(largest + room if store else room)
        return partial(_limit, None)
    assert store is not None
    pages = _pages(store, "page_count")
    _pages(store, f"max_page_count = {pages + 20}")

    def more() -> None:
        _pages(store, "max_page_count = 1000000")

    return more


def _limit(size: int | None) -> None:
    """Let no file grow beyond a size, or beyond what the system lets it."""
    hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard if size is None else size, hard))


def _pages(store: Store, pragma: str) -> int:
    # one thread: the pool hands out the same connection each time
    with store.reading() as connection:
        return int(connection.exec_driver_sql(f"PRAGMA {pragma}").scalar_one())


def _said(do: Callable[[], object]) -> str:
    try:
        do()
    except WorkshopError as error:
        return str(error)
    return ""


def writing(how: str, folder: Path) -> dict[str, Any]:
    """Write until the disc is full, look at what is there, make room, and go on."""
    path = folder / "bench.rushlight"
    store = create_store(path, clock=_clock)
    steps.prepare(store)
    room = _fill(how, path, ROOM, store)
    done = 0
    while not (said := _said(partial(steps.do, store, done))):
        done += 1
    told = {"done": done, "said": said, "again": _said(partial(steps.do, store, done))}
    target = folder / "copy.rushlight"
    if how == "limit":  # a limit of files, not of what they take together
        _limit(path.stat().st_size // 2)
    copied = _said(partial(store.copy_to, target))
    told |= {"copied": copied, "copy": target.exists(), "whole": _whole(path)}
    told |= {"left over": [file.name for file in folder.glob(".*")]}
    with store.reading() as connection:
        told |= {"there": steps.done(connection)}
    room()
    for number in range(done, done + 12):
        steps.do(store, number)
    with store.reading() as connection:
        told |= {"later": steps.done(connection), "whole later": _whole(path)}
    store.close()
    return told


def migrating(how: str, folder: Path, old: Path) -> dict[str, Any]:
    """Open a workshop of an older schema where there is no room for its backup."""
    path = Path(shutil.copyfile(old, folder / "bench.rushlight"))
    before = path.read_bytes()
    room = _fill(how, path, len(before) // 2, None)
    said = _said(partial(open_store, path, clock=_clock))
    told = {"said": said, "same": path.read_bytes() == before}
    told |= {"left over": [file.name for file in folder.glob("*backup*")]}
    room()
    open_store(path, clock=_clock).close()
    return told | {"whole": _whole(path)}


def _whole(path: Path) -> bool:
    with closing(sqlite3.connect(path)) as raw:
        sound = raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        return sound and not raw.execute("PRAGMA foreign_key_check").fetchall()


if __name__ == "__main__":
    how_, what, *where = sys.argv[1:]
    paths = [Path(name) for name in where]
    found = writing(how_, *paths) if what == "writing" else migrating(how_, *paths)
    sys.stdout.write(json.dumps(found))
