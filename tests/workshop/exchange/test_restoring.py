from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rushlight.errors import Refused, RushlightError, WorkshopError
from rushlight.workshop import Workshop, materials
from rushlight.workshop.exchange import backups
from rushlight.workshop.opening import open_workshop
from tests.support import archives

DAY = timedelta(days=1)


def _add(shop: Workshop, name: str) -> None:
    materials.save(shop, None, {"role": "wax", "name": name})


def _names(shop: Workshop) -> set[str]:
    return {line.name for line in materials.listing(shop)}


def _truncated(path: Path) -> None:
    with path.open("r+b") as file:
        file.truncate(path.stat().st_size // 2)


def _overwritten(path: Path) -> None:
    with path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xa5" * 8192)


def _garbage(path: Path) -> None:
    path.write_bytes(b"not a workshop any more" * 400)


def _gone(path: Path) -> None:
    path.unlink()


@pytest.mark.once
@pytest.mark.parametrize("damage", [_truncated, _overwritten, _garbage, _gone])
def test_after_damage_everything_acknowledged_before_is_there(
    mine: Workshop, clock: Any, damage: Any
) -> None:
    """Write, back up, write, damage the file, restore: all that was backed up is back."""
    place = Path(mine.place)
    for i in range(20):
        _add(mine, f"Wax {i}")
    wanted = _names(mine)
    made = backups.now(mine)
    _add(mine, "Too late")
    mine.close()
    damage(place)
    damaged = place.read_bytes() if place.exists() else None
    with pytest.raises(RushlightError):
        backups.verify(place)
    aside = backups.aside_name(place, clock=clock)
    again = backups.restore(made.path, place, clock=clock)
    assert _names(again) == wanted
    _add(again, "Life goes on")
    assert len(_names(again)) == len(wanted) + 1
    again.close()
    backups.verify(place)
    assert aside.exists() == (damaged is not None)
    if damaged is not None:
        assert aside.read_bytes() == damaged  # never deleted, and as it was found
    backups.verify(made.path)


@pytest.mark.once
def test_the_file_in_its_place_is_kept_aside_whole(mine: Workshop, clock: Any) -> None:
    """Also what stood in its log still: it opens, with all that came after the backup."""
    place = Path(mine.place)
    made = backups.now(mine)
    _add(mine, "Later")
    mine.close()
    backups.restore(made.path, place, clock=clock).close()
    (aside,) = place.parent.glob("*.replaced.rushlight")
    before = open_workshop(aside, clock=clock)
    assert _names(before) == {"First", "Later"}
    before.close()
    backups.restore(made.path, place, clock=clock).close()
    assert len(list(place.parent.glob("*.replaced.rushlight"))) == 2


@pytest.mark.once
def test_one_that_is_open_is_not_replaced(mine: Workshop, clock: Any) -> None:
    """Neither while this program has it open, nor another; nothing is changed."""
    place = Path(mine.place)
    made = backups.now(mine)
    there = set(place.parent.iterdir())
    with pytest.raises(Refused, match="open in another program"):
        backups.restore(made.path, place, clock=clock)
    mine.close()
    with _another(place), pytest.raises(Refused, match="open in another program"):
        backups.restore(made.path, place, clock=clock)
    assert {path for path in there if path.suffix == ".rushlight"} <= set(place.parent.iterdir())
    backups.restore(made.path, place, clock=clock).close()


@pytest.mark.once
@pytest.mark.skipif(os.name == "nt", reason="an open file cannot be renamed there anyway")
def test_a_damaged_one_that_is_open_is_not_replaced(mine: Workshop, clock: Any) -> None:
    """Though SQLite can tell nothing of it any more."""
    place = Path(mine.place)
    made = backups.now(mine)
    mine.close()
    with _another(place):
        with place.open("r+b") as file:
            file.write(b"\0" * 4096)
        with pytest.raises(Refused, match="open in another program"):
            backups.restore(made.path, place, clock=clock)


_HOLDS = """
import sqlite3, sys
raw = sqlite3.connect(sys.argv[1])
raw.execute("SELECT count(*) FROM material").fetchone()
print("open", flush=True)
sys.stdin.read()
"""


class _another:  # noqa: N801 - reads as words where it is used
    """Another program that has the file open."""

    def __init__(self, place: Path) -> None:
        self.command = [sys.executable, "-c", _HOLDS, str(place)]

    def __enter__(self) -> None:
        pipe = subprocess.PIPE
        self.process = subprocess.Popen(self.command, stdin=pipe, stdout=pipe)
        assert self.process.stdout is not None
        assert self.process.stdout.readline().strip() == b"open"

    def __exit__(self, *_: object) -> None:
        self.process.communicate()


@pytest.mark.once
def test_a_bad_backup_changes_nothing(mine: Workshop, clock: Any, tmp_path: Path) -> None:
    """Damaged, of another program, newer, missing: each is said before anything is moved."""
    place = Path(mine.place)
    made = backups.now(mine)
    mine.close()
    before = place.read_bytes()
    bad = tmp_path / "bad.rushlight"
    shutil.copyfile(made.path, bad)
    _overwritten(bad)
    other, newer = tmp_path / "other.rushlight", tmp_path / "newer.rushlight"
    with closing(sqlite3.connect(other)) as raw:
        raw.execute("CREATE TABLE t (x)")
    shutil.copyfile(made.path, newer)
    with closing(sqlite3.connect(newer)) as raw:
        raw.execute("PRAGMA user_version = 99")
    text = tmp_path / "notes.txt"
    text.write_text("hello" * 100)
    zipped = tmp_path / "bad.zip"
    zipped.write_bytes(b"PK\x03\x04" + bytes(500))
    for path, said in (
        *((bad, "damaged"), (other, "not a workshop"), (newer, "newer Rushlight")),
        *((text, "damaged"), (zipped, "cut short"), (tmp_path / "none", "no file")),
        (place, "the backup itself"),
    ):
        with pytest.raises(RushlightError, match=said):
            backups.restore(path, place, clock=clock)
    assert place.read_bytes() == before
    assert [path.name for path in place.parent.glob("*replaced*")] == []
    assert [path.name for path in place.parent.glob(".*")] == []


@pytest.mark.once
def test_a_backup_with_a_broken_link_is_not_taken(mine: Workshop, tmp_path: Path) -> None:
    """Whole pages are not enough: every row points at one that is there."""
    made = backups.now(mine)
    with closing(sqlite3.connect(made.path)) as raw, raw:
        raw.execute("INSERT INTO fact (material_id, name, value) VALUES (77, 'a', '1')")
    with pytest.raises(WorkshopError, match="point at nothing"):
        backups.restore(made.path, tmp_path / "new.rushlight")
    assert not (tmp_path / "new.rushlight").exists()


@pytest.mark.once
def test_an_archive_takes_the_place_of_a_file_too(
    mine: Workshop, clock: Any, tmp_path: Path
) -> None:
    """What was exported is restored as a backup is, the file before kept aside."""
    place = Path(mine.place)
    first = archives.written(mine, tmp_path / "first.zip")
    _add(mine, "Later")
    mine.close()
    again = backups.restore(first, place, clock=clock)
    assert _names(again) == {"First"}
    again.close()
    assert len(list(place.parent.glob("*.replaced.rushlight"))) == 1


@pytest.mark.once
def test_a_restored_file_lets_readers_and_writers_be(mine: Workshop, clock: Any) -> None:
    """Its journal is of the kind under which they do not wait for one another."""
    place = Path(mine.place)
    made = backups.now(mine)
    mine.close()
    backups.restore(made.path, place, clock=clock).close()
    with closing(sqlite3.connect(place)) as raw:
        assert raw.execute("PRAGMA journal_mode").fetchone() == ("wal",)
