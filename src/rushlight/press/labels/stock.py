"""Sheets of labels that are easy to buy, described by their dimensions alone."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from rushlight.errors import NotFound
from rushlight.press.labels.design import Outline, Shape
from rushlight.press.labels.sheet import Sheet
from rushlight.press.paper import Paper

_GRID = ("columns", "rows", "left", "top", "pitch_x", "pitch_y")


@cache
def sheets() -> dict[str, tuple[Sheet, Paper]]:
    """Return the sheets by name, each with its paper."""
    table = tomllib.loads(Path(__file__).with_name("stock.toml").read_text("utf-8"))
    made = {}
    for row in table["sheet"]:
        outline = Outline(
            width=row["width"],
            height=row["height"],
            shape=Shape.ROUND if row.get("round") else Shape.RECTANGLE,
        )
        grid = {key: row[key] for key in _GRID}
        made[row["name"]] = (Sheet(outline=outline, **grid), Paper(row["paper"]))
    return made


def sheet(name: str) -> tuple[Sheet, Paper]:
    """Return one sheet and its paper by name."""
    try:
        return sheets()[name]
    except KeyError as error:
        raise NotFound(f"There is no sheet “{name}”; describe it by its measures.") from error
