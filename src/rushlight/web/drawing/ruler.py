"""A ruler in true millimetres, to lay a real one against the screen."""

from __future__ import annotations

from markupsafe import Markup

from rushlight.web.drawing.svg import el, line, text

ROOM = 3.0  # [mm] either side, for the figures
HEIGHT = 8.0
LONG, MIDDLE, SHORT = 3.2, 2.2, 1.4


def ruler(length: int) -> Markup:
    """Return a ruler of whole millimetres at true size."""
    marks = []
    for mm in range(length + 1):
        tall = LONG if mm % 10 == 0 else MIDDLE if mm % 5 == 0 else SHORT
        marks.append(line((ROOM + mm, 0.2), (ROOM + mm, tall), "r-mark"))
        if mm % 10 == 0:
            marks.append(text((ROOM + mm, 7.0), str(mm), "r-figure", "middle"))
    wide = length + 2 * ROOM
    return el(
        "svg",
        line((ROOM, 0.2), (ROOM + length, 0.2), "r-mark"),
        *marks,
        viewBox=f"0 0 {wide:g} {HEIGHT:g}",
        width=f"{wide:g}mm",
        height=f"{HEIGHT:g}mm",
        class_="ruler",
        aria_hidden="true",
    )
