"""The keys of `--json` are a promise: scripts rest on them."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
PROMISED = json.loads((Path(__file__).parent / "json_keys.json").read_text("utf-8"))
UNITS = (
    *("_g", "_ml", "_mm", "_kg_m3", "_c", "_k", "_k_min", "_s", "_min", "_percent"),
    *("_g_h", "_w"),
    *("_jars", "_jars_per_month", "_pieces", "_price", "_cost", "_more", "_less"),
)

MORE = {
    "pot": ("--reading", "14:05=81C"),
    "set": ("--gap", "20 mm"),
    "burn": ("--rate", "4.5 g/h"),
    "wicks": ("--wick", "flat=4-5 g/h"),
    "sweep": ("--pours", "65 C"),
}


def keys(tree: Any, before: str = "") -> set[str]:
    """Return the dotted keys of a tree; the rows of a list share theirs."""
    if isinstance(tree, dict):
        return {name for key, value in tree.items() for name in keys(value, f"{before}.{key}")}
    if isinstance(tree, list) and tree:
        return {name for row in tree for name in keys(row, f"{before}[]")}
    return {before.lstrip(".")}


def words(command: str, candle: Path) -> list[object]:
    """Return a command that fills every key."""
    return [command, candle, *MORE.get(command, ()), "--json"]


@pytest.mark.parametrize("command", sorted(PROMISED))
def test_the_keys_are_those_promised(run: Run, candle: Path, command: str) -> None:
    """A key that goes or changes its name breaks a script; a new one is added to the list."""
    outside = '\n[[finishes]]\nname = "Lime wash"\namount = "4 g"\n'
    candle.write_text(candle.read_text("utf-8") + outside, "utf-8")
    assert sorted(keys(run(*words(command, candle)).data)) == PROMISED[command]


@pytest.mark.parametrize("command", ["sheet", "pot", "set", "burn", "wicks", "sweep"])
def test_every_quantity_names_its_unit(run: Run, candle: Path, command: str) -> None:
    """Numbers without a unit are counts and ratios, and nothing else."""
    bare = {"jars", "spares", "jars_poured", "pots", "pieces", "wicks"}
    bare |= {"loss_factor", "readings_used", "draught_factor", "life_burns", "cases"}
    bare |= {"burn_rate_guessed", "empty", "stopped"}  # yes or no

    def check(tree: Any, key: str = "") -> None:
        if isinstance(tree, dict):
            for name, value in tree.items():
                check(value, name)
        elif isinstance(tree, list):
            for row in tree:
                check(row, key)
        elif isinstance(tree, int | float):
            assert key in bare or key.endswith(UNITS), key

    check(run(*words(command, candle)).data)


@pytest.mark.parametrize("command", ["sheet", "pot", "price", "set", "burn", "wicks", "sweep"])
def test_problems_have_one_shape(run: Run, tmp_path: Path, command: str) -> None:
    """Place, what, remedy; on stdout, so that a script reads one thing whatever happens."""
    ran = run(command, tmp_path / "none.toml", "--json")
    assert (ran.status, ran.err) == (2, "")
    assert ran.problems[0]["place"].endswith("none.toml")


def test_a_command_typed_wrongly_has_the_same_shape(run: Run) -> None:
    """An unknown option, a missing argument, an unknown command."""
    for typed in (["sheet", "x", "--bogus", "--json"], ["sheet", "--json"], ["bogus", "--json"]):
        ran = run(*typed)
        assert ran.status == 2
        assert "--help" in ran.problems[0]["remedy"]
