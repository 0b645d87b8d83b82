"""Trying the facts of a material in a candle, before they are kept."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from rushlight.candle import document
from rushlight.candle.facts import Shelf
from rushlight.errors import BadInput, Problem

_PLACES: Final = {
    "vessel": "vessel",
    "wax": "wax",
    "fragrance": "fragrance.oils.0",
    "dye": "dyes.0",
    "additive": "additives.0",
    "wick": "wick",
    "finish": "finishes.0",
}
_ABOUT: Final = "about"
"""The one fact that is for reading only."""


def fact_problems(
    role: str, kind: str, facts: Mapping[str, Any], shelf: Shelf
) -> tuple[Problem, ...]:
    """Return what is wrong with the facts of a material, at "facts.<key>" or "kind".

    What is merely missing is no problem: a candle may say it, or the kind.
    """
    place = _PLACES.get(role)
    if place is None:
        return tuple(
            Problem(f"facts.{key}", f"A {role} has no fact “{key}”.", "Write it in the note.")
            for key in facts
            if key != _ABOUT
        )
    try:
        document.read(_candle(role, kind, facts), shelf)
    except BadInput as bad:
        return tuple(
            problem.at(where)
            for problem in bad.problems
            if (where := _where(problem.place, place, {*facts, "kind"})) is not None
        )
    return ()


def _candle(role: str, kind: str, facts: Mapping[str, Any]) -> dict[str, Any]:
    """Return a plain candle in which this material plays its part."""
    part = {key: value for key, value in facts.items() if key != _ABOUT}
    # a wax of no kind is tried over a plain one, for what it does not say may be said elsewhere
    kind = kind or ("soy container" if role == "wax" else "")
    if kind:
        part["kind"] = kind
    parts: dict[str, Any] = {
        "vessel": {"brim": "250 ml"},
        "wax": {"use": "soy container"},
        "fragrance": {"parts": "1"},
        "dye": {"percent": "0.1 %"},
        "additive": {"percent": "1 %"},
        "wick": {"use": "cotton flat"},
        "finish": {"pieces": "1"},
        role: part,
    }
    return {
        "name": "a candle to try it in",
        "vessel": parts["vessel"],
        "fill": {"percent": "80 %"},
        "wax": parts["wax"],
        "fragrance": {"load": "5 %", "basis": "of wax", "oils": [parts["fragrance"]]},
        "dyes": [parts["dye"]],
        "additives": [parts["additive"]],
        "wick": parts["wick"],
        "finishes": [parts["finish"]],
    }


def _where(found: str, place: str, given: set[str]) -> str | None:
    if found == place:
        return "facts"
    if not found.startswith(f"{place}."):
        return None
    rest = found.removeprefix(f"{place}.")
    key = rest.split(".", 1)[0]
    if key not in given:
        return None
    return "kind" if key == "kind" else f"facts.{rest}"
