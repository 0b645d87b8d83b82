"""The signs of a label, drawn for the page from the same shapes that are printed."""

from __future__ import annotations

from functools import cache
from typing import Any

from markupsafe import Markup

from rushlight.press.labels.symbols import sign
from rushlight.web.drawing.svg import el


def _path(steps: list[list[Any]]) -> str:
    """Return the path data of a shape's steps."""
    said = []
    for letter, *points in steps:
        said.append(letter + " ".join(f"{x:.4g} {y:.4g}" for x, y in points))
    return "".join(said)


@cache
def drawn_sign(name: str) -> Markup:
    """Return a sign as SVG with its name for a reader by ear; paper white in either scheme."""
    found = sign(name)
    shapes = []
    for shape in found.shapes:
        classes = f"s-fill-{shape['fill']} s-line-{shape['stroke']}"
        shapes.append(
            el(
                "path",
                d=_path(shape["steps"]),
                class_=classes,
                fill_rule="evenodd",
                stroke_width=float(shape["thick"]),
            )
        )
    return el(
        "svg", *shapes, viewBox="0 0 100 100", class_="sign", role="img", aria_label=found.title
    )
