"""Signs drawn for Rushlight, read from the pictures beside this file.

Each is an SVG of plain paths and circles on a square of 100 × 100, freely drawn from the
ideas of the open standards and from the geometry of CLP Annex V (a square on its point, a
black symbol on white, a red frame), copied from nowhere.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

HERE = Path(__file__).parent
_SVG = "{http://www.w3.org/2000/svg}"
_POINTS = {"M": 1, "L": 1, "Q": 2, "C": 3, "Z": 0}
_ROUND = 0.5522847498  # control points of a quarter circle: 4/3 (√2 − 1)


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign: what it says, for a reader by ear, and its shapes for the typesetter."""

    title: str
    shapes: tuple[dict[str, Any], ...]


@cache
def sign(name: str) -> Sign:
    """Return a sign by its name."""
    root = ET.parse(HERE / f"{name}.svg").getroot()  # noqa: S314  our own file
    title = root.findtext(f"{_SVG}title") or name
    return Sign(title, tuple(_shape(element) for element in root if element.tag != f"{_SVG}title"))


def names() -> tuple[str, ...]:
    """Return the names of all signs."""
    return tuple(sorted(path.stem for path in HERE.glob("*.svg")))


def _shape(element: ET.Element) -> dict[str, Any]:
    """Return one path or circle as steps, with its ink."""
    if element.tag == f"{_SVG}circle":
        steps = _circle(*(float(element.get(key, "0")) for key in ("cx", "cy", "r")))
    else:
        steps = _steps(element.get("d", ""))
    return {
        "steps": steps,
        "fill": element.get("fill", "black"),
        "stroke": element.get("stroke", "none"),
        "thick": float(element.get("stroke-width", "0")),
    }


def _steps(path: str) -> list[list[Any]]:
    """Return the steps of a path in absolute M, L, Q, C and Z."""
    steps: list[list[Any]] = []
    for letter, numbers in re.findall(r"([MLQCZ])([^MLQCZ]*)", path):
        values = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", numbers)]
        each = 2 * _POINTS[letter]
        if not each:
            steps.append([letter])
        for at in range(0, len(values), each or 1):
            pairs = values[at : at + each]
            # further pairs after a move are lines (SVG 1.1, 8.3.2)
            steps.append(["L" if letter == "M" and at else letter, *zip(*[iter(pairs)] * 2)])  # noqa: B905
    return steps


def _circle(x: float, y: float, r: float) -> list[list[Any]]:
    k = r * _ROUND
    return [
        ["M", (x, y - r)],
        ["C", (x + k, y - r), (x + r, y - k), (x + r, y)],
        ["C", (x + r, y + k), (x + k, y + r), (x, y + r)],
        ["C", (x - k, y + r), (x - r, y + k), (x - r, y)],
        ["C", (x - r, y - k), (x - k, y - r), (x, y - r)],
        ["Z"],
    ]
