"""The commands of the stores explain themselves, and the examples of the documentation run."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import typer.main
from typer.core import TyperGroup

from rushlight.cli.main import app
from tests.support.tree import ROOT

Run = Callable[..., Any]
GROUPS = ("pour", "stock")
SINGLE = ("receive", "trace", "value", "export", "import", "backup", "restore")
LIST = "date,from,item,qty,pack size,Cost\n17/05/2026,Mill Lane,Millpond soy,2,10 kg,52.00\n"


def commands() -> list[tuple[str, ...]]:
    """Return every command of the stores, those below another too."""
    made: Any = typer.main.get_command(app)
    below = [(group, name) for group in GROUPS for name in made.commands[group].commands]
    assert all(isinstance(made.commands[group], TyperGroup) for group in GROUPS)
    return [*((name,) for name in (*GROUPS, *SINGLE)), *below]


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_the_help_is_readable(run: Run, words: tuple[str, ...]) -> None:
    """A sentence of what it does, every option explained, no line wider than a terminal."""
    made: Any = typer.main.get_command(app)
    for word in words:
        made = made.commands[word]
    assert made.help.strip().endswith(".")
    for option in made.params:
        assert option.help, f"{words}: {option.name}"
    ran = run(*words, "--help")
    assert ran.status == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 80
    ran = run(*words, "--bogus")
    assert (ran.status, f"rushlight {' '.join(words)} --help" in ran.err) == (2, True)


def test_the_examples_of_the_documentation_run(
    run: Run, workshop_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In their order, on the demo workshop, as they stand in docs/command-line.md."""
    text = (ROOT / "docs" / "command-line.md").read_text("utf-8")
    section = re.search(r"^## The stores\n(.*?)^## ", text, flags=re.DOTALL | re.MULTILINE)
    assert section
    folder = tmp_path / "bench"
    folder.mkdir()
    monkeypatch.chdir(folder)
    workshop_file.rename("boathouse.rushlight")
    Path("wholesale.csv").write_text(LIST, "utf-8")
    lines = re.findall(r"^rushlight (.*)$", section[1], flags=re.MULTILINE)
    assert len(lines) > 20
    for line in lines:
        ran = run(*shlex.split(line))
        assert ran.status == 0, f"{line}: {ran.err}"
        assert ran.out
    used = {shlex.split(line)[0] for line in lines}
    assert used == {*GROUPS, *SINGLE}
