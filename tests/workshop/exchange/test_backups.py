from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rushlight.errors import BadInput, NotFound, Refused, RushlightError, WorkshopError
from rushlight.store import copies
from rushlight.workshop import Workshop, materials, settings, undo
from rushlight.workshop.exchange import backups
from rushlight.workshop.exchange.keeper import backed_up
from rushlight.workshop.opening import create_workshop, open_workshop
from tests.support import archives
from tests.support.homes import Home

DAY = timedelta(days=1)


@pytest.fixture
def kept(empty: Workshop, tmp_path: Path) -> Workshop:
    """Return a workshop that is backed up into a folder named in full."""
    settings.change(empty, {"backup_folder": str(tmp_path / "kept"), "backup_keep": "3"})
    return empty


@pytest.fixture
def mine(tmp_path: Path, clock: Any) -> Iterator[Workshop]:
    """Return a workshop in a file, which waits for the disc as hers does."""
    folder = tmp_path / "hers"
    folder.mkdir()
    shop = create_workshop(folder / "mine.rushlight", clock=clock)
    _add(shop, "First")
    yield shop
    shop.close()


def _add(shop: Workshop, name: str) -> None:
    materials.save(shop, None, {"role": "wax", "name": name})


def _names(shop: Workshop) -> set[str]:
    return {line.name for line in materials.listing(shop)}


def test_a_backup_is_a_workshop(kept: Workshop, home: Home, clock: Any) -> None:
    """Restored, it holds what was there when it was made, and nothing later."""
    _add(kept, "Before")
    made = backups.now(kept)
    _add(kept, "After")
    backups.verify(made.path)
    assert made.bytes == made.path.stat().st_size
    assert backups.listing(kept) == (made,)
    again = backups.restore(made.path, home.unused("again"), clock=clock)
    assert _names(again) == {"Before"}
    again.close()


@pytest.mark.once
def test_the_usual_place_is_beside_the_file(mine: Workshop, clock: Any) -> None:
    """Daily, into `backups`, the newest 14; the name tells when, and whose it is."""
    found = settings.current(mine).backups
    assert (found.every, found.folder, found.keep) == (1, "backups", 14)
    made = backups.now(mine)
    assert made.path.parent == Path(mine.place).parent / "backups"
    assert made.path.name.startswith("mine.")
    assert made.path.name.endswith(".20260512-093000Z.backup.rushlight")
    assert made.at == clock()


def test_it_is_due_by_the_calendar(kept: Workshop, clock: Any) -> None:
    """At once, then when the day changes at the bench, however early in it."""
    assert backups.due(kept)
    backups.now(kept)
    assert not backups.due(kept)
    clock.pass_by(hours=13)  # half past eleven in the evening
    assert not backups.due(kept)
    clock.pass_by(hours=1)
    assert backups.due(kept)
    settings.change(kept, {"backup_every": "7"})
    clock.pass_by(days=5)
    assert not backups.due(kept)
    clock.pass_by(days=1)
    assert backups.due(kept)
    settings.change(kept, {"backup_every": "0"})
    assert not backups.due(kept)


@pytest.mark.once
def test_a_clock_that_was_wrong_stops_no_backup(kept: Workshop, clock: Any) -> None:
    """A backup from years ahead is not taken for today's."""
    clock.pass_by(days=900)
    backups.now(kept)
    clock.pass_by(days=-900)
    assert backups.due(kept)


@pytest.mark.once
def test_a_demonstration_is_not_backed_up(shop: Workshop) -> None:
    """It can be made again; by hand it can be, like any."""
    assert not backups.due(shop)
    assert backups.run_if_due(shop) is None
    backups.verify(backups.now(shop).path)


def test_a_server_has_no_folder_beside_it(empty: Workshop) -> None:
    """There the folder is to be named in full; until then nothing is due."""
    if empty.store.path is not None:
        assert backups.due(empty)
        return
    assert not backups.due(empty)
    with pytest.raises(Refused, match="named in full"):
        backups.now(empty)


def test_the_newest_are_kept(kept: Workshop, clock: Any) -> None:
    """On schedule the oldest go; what is not a backup of this workshop is never touched."""
    others = ("notes.txt", "empty.abc123.20260512-093000Z.backup.rushlight", "x.backup.rushlight")
    folder = backups.folder_of(kept)
    folder.mkdir()
    for name in others:
        (folder / name).write_text("mine")
    made = []
    for _ in range(5):
        found = backups.run_if_due(kept)
        assert found is not None
        made.append(found)
        assert backups.run_if_due(kept) is None
        clock.pass_by(days=1)
    assert backups.listing(kept) == (made[4], made[3], made[2])
    for name in others:
        assert (folder / name).read_text() == "mine"


def test_the_only_good_one_is_never_deleted(kept: Workshop, clock: Any) -> None:
    """Where the newest are all damaged, the newest good one stays beside them."""
    made = []
    for _ in range(6):
        made.append(backups.now(kept))
        clock.pass_by(days=1)
    for backup in made[2:]:
        backup.path.write_bytes(b"garbage" * 1000)
    gone = backups.prune(kept)
    assert set(gone) == {made[0].path, made[2].path}
    assert made[1].path in [backup.path for backup in backups.listing(kept)]
    backups.verify(made[1].path)


@pytest.mark.once
def test_what_was_left_half_made_is_cleared_away(kept: Workshop) -> None:
    """An hour later; a copy that is being made just now is left alone."""
    name = backups.now(kept).path.name
    folder = backups.folder_of(kept)
    old, new, other = (folder / f".{name}.{n}.making" for n in ("11", "12", "x"))
    for path in (old, new, other):
        path.write_text("half")
    os.utime(old, (time.time() - 4000,) * 2)
    assert backups.prune(kept) == (old,)
    assert new.exists()
    assert other.exists()


@pytest.mark.once
def test_two_of_one_second_have_names_of_their_own(kept: Workshop) -> None:
    """Neither writes over the other, and the later one is listed first."""
    first, second = backups.now(kept), backups.now(kept)
    assert first.path != second.path
    assert {b.path for b in backups.listing(kept)} == {first.path, second.path}


@pytest.mark.once
def test_two_workshops_can_share_a_folder(tmp_path: Path, clock: Any) -> None:
    """Of the same name even: each sees, and deletes, its own."""
    shops = []
    for where in ("attic", "cellar"):
        (tmp_path / where).mkdir()
        shop = create_workshop(tmp_path / where / "mine.rushlight", clock=clock, durable=False)
        settings.change(shop, {"backup_folder": str(tmp_path / "all"), "backup_keep": "1"})
        shops.append(shop)
    for shop in shops:
        backups.now(shop)
    clock.pass_by(days=1)
    backups.run_if_due(shops[0])
    assert len(backups.listing(shops[0])) == len(backups.listing(shops[1])) == 1
    assert len(list((tmp_path / "all").iterdir())) == 2
    for shop in shops:
        shop.close()


def test_trouble_is_told_until_one_is_made(kept: Workshop, clock: Any) -> None:
    """It is noted with the workshop, never raised, and is no deed of hers."""
    folder = backups.folder_of(kept)
    folder.write_text("a file where the folder should be")
    last = undo.latest(kept)
    assert backups.run_if_due(kept) is None
    told = backups.trouble(kept)
    assert told is not None
    assert str(folder) in told.said
    assert told.at == clock()
    assert undo.latest(kept) == last
    folder.unlink()
    assert backups.run_if_due(kept) is not None
    assert backups.trouble(kept) is None


def test_a_disc_that_is_not_there(kept: Workshop, tmp_path: Path) -> None:
    """The folder itself is made; the disc it should be on is not."""
    settings.change(kept, {"backup_folder": str(tmp_path / "stick" / "backups")})
    with pytest.raises(NotFound, match="Plug the disc in"):
        backups.now(kept)
    assert list(backups.listing(kept)) == []


@pytest.mark.once
def test_a_copy_that_lacks_a_row_is_not_kept(
    mine: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every table is counted on both sides before the copy gets its name."""
    made = copies.look_over

    def short(path: Path) -> copies.Copy:
        found = made(path)
        return copies.Copy(found.schema, {**found.rows, "material": 0})

    monkeypatch.setattr(copies, "look_over", short)
    with pytest.raises(WorkshopError, match="does not hold every row"):
        backups.now(mine)
    assert list(backups.folder_of(mine).iterdir()) == []


@pytest.mark.once
def test_others_may_write_meanwhile(mine: Workshop) -> None:
    """Nobody waits for a backup, and each backup is whole."""
    ended = threading.Event()
    written: list[int] = []

    def write() -> None:
        while not ended.is_set():
            _add(mine, f"Wax {len(written)}")
            written.append(1)

    thread = threading.Thread(target=write)
    thread.start()
    try:
        made = [backups.now(mine) for _ in range(6)]
    finally:
        ended.set()
        thread.join()
    assert len(written) > 6
    counts = [copies.look_over(backup.path).rows["material"] for backup in made]
    assert counts == sorted(counts)


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


@pytest.mark.once
def test_while_it_is_open_it_is_backed_up(mine: Workshop, clock: Any) -> None:
    """At once, and when the day has changed, by a thread that ends with the program."""
    with backed_up(mine, every=0.02):
        _wait(lambda: len(backups.listing(mine)) == 1)
        clock.pass_by(days=1)
        _wait(lambda: len(backups.listing(mine)) == 2)
    assert "backups" not in {thread.name for thread in threading.enumerate()}


@pytest.mark.once
def test_serving_goes_on_whatever_goes_wrong(
    mine: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Even a fault of our own ends in a note, and the next look tries again."""
    tries = []

    def fail(_shop: Workshop) -> None:
        tries.append(1)
        raise ZeroDivisionError

    monkeypatch.setattr(backups, "now", fail)
    with backed_up(mine, every=0.02):
        _wait(lambda: len(tries) > 2)
        _add(mine, "Meanwhile")
    told = backups.trouble(mine)
    assert told is not None
    assert "ZeroDivisionError" in told.said


def _wait(until: Any) -> None:
    limit = time.monotonic() + 20
    while not until():
        assert time.monotonic() < limit
        time.sleep(0.01)


@pytest.mark.once
@pytest.mark.parametrize(
    ("key", "text"),
    [("backup_every", "2"), ("backup_keep", "0"), ("backup_keep", "many"), ("backup_folder", " ")],
)
def test_settings_that_cannot_be(empty: Workshop, key: str, text: str) -> None:
    """Nothing keeps no backup, and no folder is no place."""
    with pytest.raises(BadInput) as bad:
        settings.change(empty, {key: text})
    assert [problem.place for problem in bad.value.problems] == [key]
