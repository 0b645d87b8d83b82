"""Reads the tables of thresholds and texts that ship with the package."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def table(name: str) -> Mapping[str, Any]:
    """Return a table of ``tables/`` by name, read once."""
    return _read(f"tables/{name}.toml")


@cache
def texts(language: str) -> Mapping[str, Any]:
    """Return the statements of a language, read once."""
    return _read(f"statements/{language}.toml")


@cache
def net_table(name: str) -> Mapping[str, Any]:
    """Return a table of ``netcontents/`` by name, read once."""
    return _read(f"netcontents/{name}.toml")


def _read(path: str) -> Mapping[str, Any]:
    return tomllib.loads(files("rushlight.hazard").joinpath(path).read_text(encoding="utf-8"))
