"""`rushlight backup` and `rushlight restore`."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def test_a_backup_comes_back_as_it_was(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """Among the others by its time; it is listed, and a workshop made of it tells the same."""
    where = ("--workshop", workshop_file, "--json")
    before = run("stock", *where).data
    made = run("backup", *where).data
    assert Path(made["file"]).stat().st_size == made["size_bytes"]
    listed = run("backup", "--list", *where).data
    assert listed == {"folder": str(workshop_file.parent / "backups"), "backups": [made]}
    assert run("stock", "count", "M37-5", "1 g", *where).status == 0
    again = tmp_path / "again.rushlight"
    ran = run("restore", made["file"], "--to", again, "--json")
    assert ran.data == {"backup": made["file"], "workshop": str(again), "set_aside": None}
    assert run("stock", "--workshop", again, "--json").data == before
    said = run("backup", "--list", "--workshop", workshop_file).out
    assert "1 backup." in " ".join(said.split())


def test_a_name_of_ones_own(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """It is looked over before it has it; nothing that is there is written over."""
    out = tmp_path / "safe.rushlight"
    ran = run("backup", "--to", out, "--workshop", workshop_file)
    assert (ran.status, "looked over and whole" in " ".join(ran.out.split())) == (0, True)
    with sqlite3.connect(out) as file:
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    file.close()
    before = out.read_bytes()
    ran = run("backup", "--to", out, "--workshop", workshop_file)
    assert (ran.status, "exists already" in ran.err) == (2, True)
    assert out.read_bytes() == before
    ran = run("backup", "--to", out, "--list", "--workshop", workshop_file)
    assert (ran.status, ran.err.startswith("--to: ")) == (2, True)
    ran = run("backup", "--to", tmp_path / "none" / "x", "--workshop", workshop_file)
    assert ran.status != 0
    assert [path for path in tmp_path.iterdir() if "making" in path.name] == []


def test_what_is_there_is_kept_aside_when_asked(
    run: Run, workshop_file: Path, tmp_path: Path
) -> None:
    """And never touched when not."""
    out, there = tmp_path / "safe.rushlight", tmp_path / "there.rushlight"
    assert run("backup", "--to", out, "--workshop", workshop_file).status == 0
    there.write_bytes(b"something of hers")
    ran = run("restore", out, "--to", there)
    assert (ran.status, ran.err.startswith(str(there))) == (2, True)
    assert there.read_bytes() == b"something of hers"
    data = run("restore", out, "--to", there, "--replace", "--json").data
    assert Path(data["set_aside"]).read_bytes() == b"something of hers"
    assert run("stock", "--workshop", there, "--json").status == 0
    said = run("restore", out, "--to", there, "--replace").out
    assert "kept as" in " ".join(said.split())


@pytest.mark.parametrize("content", [b"", b"not a workshop" * 99, b"PK\x03\x04 broken"])
def test_what_is_no_backup_makes_nothing(run: Run, tmp_path: Path, content: bytes) -> None:
    """Damaged or another program's: it is said in a line, and nothing is made."""
    bad, new = tmp_path / "bad", tmp_path / "new.rushlight"
    bad.write_bytes(content)
    ran = run("restore", bad, "--to", new)
    assert ran.status in {1, 2}
    assert len(ran.err.splitlines()) == 1
    assert not new.exists()
    ran = run("restore", tmp_path / "none", "--to", new)
    assert (ran.status, "There is no file" in ran.err) == (2, True)


def test_a_workshop_on_a_server_is_backed_up_as_an_archive(
    run: Run, demo_place: str, tmp_path: Path
) -> None:
    """A file as a copy of it; either comes back as a file that tells the same."""
    out, again = tmp_path / "safe", tmp_path / "again.rushlight"
    ran = run("backup", "--to", out, "--workshop", demo_place, "--json")
    assert ran.status == 0, ran.out
    assert out.read_bytes()[:2] == (b"PK" if "://" in demo_place else b"SQ")
    assert run("restore", out, "--to", again).status == 0
    data = [run("stock", "--workshop", place, "--json").data for place in (demo_place, again)]
    assert data[0] == data[1]
