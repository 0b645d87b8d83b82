"""`rushlight new`: an example candle file to start from."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from rushlight.candle.limits import LIMITS
from rushlight.cli.new import example

Run = Callable[..., Any]
EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_file_it_writes_goes_through_every_command(run: Run, tmp_path: Path) -> None:
    """From nothing to a price, as its first lines say."""
    path = tmp_path / "mine.toml"
    ran = run("new", path)
    assert ran.status == 0
    assert f"rushlight sheet {path}" in ran.out
    assert path.read_text("utf-8") == example()
    assert run("sheet", path).status == 0
    assert run("pot", path, "--reading", "14:05=81C").status == 0
    assert run("price", path).status == 0


def test_a_file_that_is_there_is_never_overwritten(run: Run, candle: Path) -> None:
    """What she has typed is hers."""
    candle.write_text("mine", "utf-8")
    ran = run("new", candle)
    assert ran.status == 2
    assert "There is a file of this name already." in ran.err
    assert candle.read_text("utf-8") == "mine"


def test_a_folder_that_is_not_there_is_said(run: Run, tmp_path: Path) -> None:
    """With the machine's own reason."""
    ran = run("new", tmp_path / "none" / "x.toml")
    assert ran.status == 2
    assert "cannot be written" in ran.err


def test_every_remark_that_is_a_field_is_one_that_can_be_used() -> None:
    """Each line behind a # that looks like a field names a field of its table."""
    table, checked = "", 0
    for line in example().splitlines():
        text = line.removeprefix("#").strip()
        if text.startswith("[") and "]" in text and "=" not in text.split("#")[0]:
            table = text.split("]")[0].strip("[")
        elif line.startswith("# ") and " = " in text:
            key = text.split(" = ")[0]
            if key.isidentifier() and table and key not in {"profile", "name"}:
                assert f"{table}.{key}" in LIMITS, line
                checked += 1
    assert checked >= 8


def test_the_examples_in_the_repository_all_work(run: Run) -> None:
    """The first is the very file that `rushlight new` writes."""
    files = sorted(EXAMPLES.glob("*.toml"))
    assert (EXAMPLES / "slipway.toml").read_text("utf-8") == example()
    assert len(files) >= 3
    for path in files:
        ran = run("sheet", path)
        assert ran.status == 0, ran.err
        if "price" in tomllib.loads(path.read_text("utf-8")):
            assert run("price", path).status == 0
