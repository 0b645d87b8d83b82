"""A disc that is full: a clear message, nothing lost, and on it goes when there is room again."""

from __future__ import annotations

import json
import os
import shlex
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.support.tree import ROOT

SMALL = "size=4m"
MESSAGES = {
    "disc": "the disc is full. Free some space",
    "limit": "the disc reports an error",
    "pages": "the disc is full. Free some space",
}

pytestmark = [
    pytest.mark.skipif(os.name != "posix", reason="limits are set as Unix has them"),
    pytest.mark.slow,
]


@cache
def _own_mounts() -> bool:
    """Return whether we may mount a small file system that nobody else sees."""
    unshare = shutil.which("unshare")
    command = "mount -t tmpfs -o size=1m none /mnt"
    return (
        unshare is not None
        and subprocess.run(
            [unshare, "--user", "--map-root-user", "--mount", "sh", "-c", command],
            capture_output=True,
            check=False,
        ).returncode
        == 0
    )


def _run(how: str, what: str, folder: Path, *more: Path) -> dict[str, Any]:
    """Run the filling of a disc in a process of its own; return what it told."""
    command: list[str | Path] = [
        sys.executable,
        "-m",
        "tests.support.filling",
        how,
        what,
        folder,
        *more,
    ]
    if how == "disc":
        if not _own_mounts():
            pytest.skip("this system lets nobody mount a small file system of his own")
        mount = shlex.join(["mount", "-t", "tmpfs", "-o", SMALL, "none", str(folder)])
        line = f"{mount} && exec {shlex.join(map(str, command))}"
        command = ["unshare", "--user", "--map-root-user", "--mount", "sh", "-c", line]
    done = subprocess.run(
        command,
        cwd=ROOT,
        env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return dict(json.loads(done.stdout))


@pytest.fixture(scope="module", params=["disc", "limit", "pages"])
def filled(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[str, dict[str, Any]]:
    """Return what filled up, and what came of it.

    A small file system that is filled up, a limit of the system on the size of files, and a
    limit of SQLite's on its pages.
    """
    return request.param, _run(request.param, "writing", tmp_path_factory.mktemp("full"))


def test_a_full_disc_loses_no_write_that_was_acknowledged(
    filled: tuple[str, dict[str, Any]],
) -> None:
    """The file is whole and holds all that was done; with room again the same form goes through."""
    how, told = filled
    assert MESSAGES[how] in told["said"]
    assert told["again"] == told["said"]
    assert told["done"] == told["there"] > 0
    assert told["whole"]
    assert told["later"] == told["done"] + 12
    assert told["whole later"]


def test_a_backup_without_room_leaves_nothing_that_looks_like_one(
    filled: tuple[str, dict[str, Any]],
) -> None:
    """The message says so; no half of a copy stays behind, under no name."""
    how, told = filled
    # SQLite's limit is one of the file alone: with it there is room for a copy
    assert told["copy"] == (how == "pages")
    assert ("disc" in told["copied"]) == (how != "pages")
    assert told["left over"] == []


@pytest.mark.parametrize("how", ["disc", "limit"])
def test_a_migration_without_room_for_its_backup_leaves_the_file_as_it_was(
    tmp_path: Path, old: Path, how: str
) -> None:
    """Byte for byte; with room again it is brought up."""
    told = _run(how, "migrating", tmp_path, old)
    assert "disc" in told["said"]
    assert told["same"]
    assert told["left over"] == []
    assert told["whole"]
