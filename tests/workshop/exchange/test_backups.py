from __future__ import annotations

import os
import threading
import time
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rushlight.errors import BadInput, NotFound, Refused, WorkshopError
from rushlight.store import copies
from rushlight.workshop import Workshop, materials, settings, undo
from rushlight.workshop.exchange import backups
from rushlight.workshop.opening import create_workshop
from tests.support.homes import Home

DAY = timedelta(days=1)


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
