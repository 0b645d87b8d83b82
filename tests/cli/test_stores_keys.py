"""The keys of `--json` of the stores are a promise, and every quantity names its unit."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
PROMISED: dict[str, list[str]] = json.loads(
    (Path(__file__).parent / "stores_keys.json").read_text("utf-8")
)
LINE = "Lake mint, 1 x 500 g @ 38.50, lot L1, retest 2090-01-01"
COMMANDS: dict[str, tuple[str, ...]] = {
    "receive": ("receive", "--supplier", "X", "--line", LINE, "--dry-run"),
    "stock": ("stock",),
    "stock lots": ("stock", "lots"),
    "stock jars": ("stock", "jars"),
    "pour list": ("pour", "list"),
    "pour show": ("pour", "show", "1"),
    "trace": ("trace", "JARS"),
    "trace --recall": ("trace", "JARS", "--recall"),
    "value": ("value",),
    "value --margins": ("value", "--margins", "--from", "2000-01-01"),
    "export": ("export", "FOLDER/out.zip"),
    "import --as": ("import", "FOLDER/list.csv", "--as", "materials"),
    "backup": ("backup",),
    "backup --list": ("backup", "--list"),
}
UNITS = ("_g", "_s", "_c", "_pieces", "_jars", "_percent", "_bytes", "_per_kg", "_per_piece")
MONEY = ("_cost", "_value", "_per_jar", "_difference")
ALSO_MONEY = {"cost", "value", "price", "fees", "takings", "profit", "freight", "duty"}
ALSO_MONEY |= {"by_lot", "fifo", "average", "planned", "actual"}
NUMBERS = {"pour", "delivery", "need", "revision", "row", "deed", "pot"}
COUNTS = {"jars", "lots", "rows", "open_orders", "unknown_cost_lots", "days"}
YES_OR_NO = {"booked", "low", "past", "early", "written", "ready"}


def keys(tree: Any, before: str = "") -> set[str]:
    """Return the dotted keys of a tree; the rows of a list share theirs."""
    if isinstance(tree, dict):
        return {name for key, value in tree.items() for name in keys(value, f"{before}.{key}")}
    if isinstance(tree, list) and tree:
        return {name for row in tree for name in keys(row, f"{before}[]")}
    return {before.lstrip(".")}


@pytest.fixture
def told(run: Run, workshop_file: Path, tmp_path: Path) -> Callable[[str], dict[str, Any]]:
    """Return what a command says of the demo workshop."""
    where = ("--workshop", str(workshop_file), "--json")
    (tmp_path / "list.csv").write_text("type,item\nwax,New soy\nnonsense,Old soy\n", "utf-8")

    def tell(name: str) -> dict[str, Any]:
        jars = run("stock", "jars", *where).data["lots"][0]["lot"]
        if name == "backup --list":
            run("backup", *where)
        if name == "value":
            run("receive", "--supplier", "X", "--line", "Lake mint, 1 x 500 g", *where)
        words = [
            word.replace("JARS", jars).replace("FOLDER", str(tmp_path)) for word in COMMANDS[name]
        ]
        return dict(run(*words, *where).data)

    return tell


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_the_keys_are_those_promised(told: Callable[[str], dict[str, Any]], name: str) -> None:
    """A key that goes or changes its name breaks a script; a new one is added to the list.

    Of a list that happens to be empty the keys of its rows are not looked for.
    """
    found, promised = keys(told(name)), set(PROMISED[name])

    def rows(key: str, among: set[str]) -> set[str]:
        return {other for other in among if other.startswith(f"{key}[]")}

    empty = {key for key in found if rows(key, promised | found)}
    missed = {row for key in empty if not rows(key, found) for row in rows(key, promised)}
    assert found - empty == promised - missed
    assert len(missed) < len(found)


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_quantity_names_its_unit(told: Callable[[str], dict[str, Any]], name: str) -> None:
    """Where there is money its currency is named; other bare numbers are counts and numbers."""
    money: list[str] = []

    def check(tree: Any, key: str = "") -> None:
        if isinstance(tree, dict):
            for below, value in tree.items():
                check(value, below)
        elif isinstance(tree, list):
            for row in tree:
                check(row, key)
        elif isinstance(tree, bool):
            assert key in YES_OR_NO, key
        elif isinstance(tree, int | float):
            assert key.endswith(UNITS + MONEY) or key in ALSO_MONEY | NUMBERS | COUNTS, key
            money.extend([key] if key.endswith(MONEY) or key in ALSO_MONEY else [])

    data = told(name)
    check(data)
    assert not money or data["currency"] == "GBP", money


def test_an_amount_is_two_keys_of_which_one_is_null(
    told: Callable[[str], dict[str, Any]],
) -> None:
    """A script need not ask first how a material is counted."""
    lots = told("stock lots")["lots"]
    assert {lot["left_g"] is None for lot in lots} == {True, False}
    for lot in lots:
        for name in ("came", "left", "held"):
            assert (lot[f"{name}_g"] is None) != (lot[f"{name}_pieces"] is None)
