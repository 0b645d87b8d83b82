"""What every table and column holds, in words; its unit, and how its texts are written."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any, Literal, cast

Form = Literal["", "moment", "day", "json"]


@dataclass(frozen=True, slots=True)
class Described:
    """A column: what it holds, what its number counts, how its text is written."""

    says: str
    unit: str = ""
    form: Form = ""


def table_says(table: str) -> str:
    """Return what a table holds."""
    return str(_read().get(table, {}).get("", ""))


def described(table: str, column: str) -> Described:
    """Return what a column holds; says nothing of one that nobody described."""
    said = _read()
    own: Mapping[str, Any] = said.get(table, {})
    return Described(
        says=own.get(column) or said["every"].get(column, ""),
        unit=_named(said["units"], table, column),
        form=cast("Form", _named(said["forms"], table, column)),
    )


def _named(lists: Mapping[str, list[str]], table: str, column: str) -> str:
    """Return under which name a column is listed, alone or with its table."""
    wanted = {column, f"{table}.{column}"}
    return next((name for name, listed in lists.items() if wanted & set(listed)), "")


@lru_cache(maxsize=1)
def _read() -> dict[str, Any]:
    here = files("rushlight.store.tables").joinpath("described.toml")
    return tomllib.loads(here.read_text("utf-8"))
