"""The built-in, unbranded library of kinds of material."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from rushlight.candle.facts import TYPICAL

ROLES = ("vessel", "wax", "fragrance", "dye", "additive", "wick", "finish", "packaging")


class Kinds:
    """A Shelf of the built-in kinds. Names are found whatever their case."""

    def facts(self, role: str, name: str) -> Mapping[str, Any] | None:
        """Return the facts of a kind, each as {value, origin, source}."""
        return _library().get(role, {}).get(_plain(name))

    def names(self, role: str) -> Sequence[str]:
        """Return the names of the kinds of a role, in the library's order."""
        return _names().get(role, ())


def built_in() -> Kinds:
    """Return the built-in library; the file is read once, when first asked."""
    return Kinds()


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


@cache
def _file() -> dict[str, Any]:
    text = files("rushlight.candle").joinpath("kinds.toml").read_text("utf-8")
    return tomllib.loads(text)


@cache
def _names() -> Mapping[str, tuple[str, ...]]:
    return {role: tuple(_file().get(role, {})) for role in ROLES}


@cache
def _library() -> Mapping[str, Mapping[str, Mapping[str, Any]]]:
    raw = _file()
    sources: dict[str, str] = raw["sources"]
    return MappingProxyType(
        {
            role: MappingProxyType(
                {
                    _plain(name): MappingProxyType(
                        {key: _fact(value, sources) for key, value in kind.items()}
                    )
                    for name, kind in raw.get(role, {}).items()
                }
            )
            for role in ROLES
        }
    )


def _fact(pair: list[str], sources: Mapping[str, str]) -> Mapping[str, str]:
    """One [value, source key] of the file, as a fact."""
    value, source = pair
    return MappingProxyType({"value": value, "origin": TYPICAL, "source": sources[source]})
