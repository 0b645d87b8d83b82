"""A sheet of labels drawn to scale: touch the first cell that still has its label."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from rushlight.press.labels.design import Shape
from rushlight.press.labels.sheet import Sheet, Spot
from rushlight.press.paper import Paper
from rushlight.web.drawing.svg import el, line, text

EDGE = 2.0  # [mm] around the paper
LARGEST, SHARE = 9.0, 0.42  # of a cell's number [mm], and of its cell's lesser side


def cells(sheet: Sheet, paper: Paper, kinds: Sequence[str]) -> Markup:
    """Return the first sheet; kinds: what each label from the first cell on is."""
    wide, high = sheet.size(paper)
    drawn = [
        el("rect", x=EDGE, y=EDGE, width=wide, height=high, class_="p-paper"),
        *(_cell(sheet, at, spot, kinds) for at, spot in enumerate(sheet.cells, start=1)),
        *_ruler(sheet, paper),
    ]
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {wide + 2 * EDGE:g} {high + 2 * EDGE:g}",
        class_="cells",
        role="group",
        aria_label=f"The sheet of labels; printing begins at cell {sheet.start}.",
    )


def _cell(sheet: Sheet, number: int, spot: Spot, kinds: Sequence[str]) -> Markup:
    x, y = spot.x + EDGE, spot.y + EDGE
    outline = sheet.outline
    at = number - sheet.start
    state = "gone" if at < 0 else "taken" if at < len(kinds) else "free"
    if outline.shape is Shape.ROUND:
        radius = outline.width / 2
        shape = el("circle", cx=x + radius, cy=y + radius, r=radius, class_=f"p-cell {state}")
    else:
        shape = el(
            "rect",
            x=x,
            y=y,
            width=outline.width,
            height=outline.height,
            rx=outline.corner,
            class_=f"p-cell {state}",
        )
    middle = x + outline.width / 2
    size = min(LARGEST, SHARE * min(outline.width, outline.height))
    words = el(
        "text",
        str(number),
        x=middle,
        y=y + outline.height / 2 + size * 0.35,
        font_size=f"{size:.2f}",
        text_anchor="middle",
        class_=f"p-number {state}",
    )
    return el(
        "a", shape, words, href=f"#cell-{number}", class_="p-touch", tabindex="-1",
        aria_hidden="true",
    )  # fmt: skip


def _ruler(sheet: Sheet, paper: Paper) -> list[Markup]:
    """Return the place of the 100 mm ruler, where the sheet has room for it."""
    spot = sheet.ruler(paper)
    if spot is None:
        return []
    x, y = spot.x + EDGE, spot.y + EDGE
    end = (x, y + 100.0) if spot.turned else (x + 100.0, y)
    drawn = [line((x, y), end, "p-ruler")]
    if not spot.turned:
        drawn.append(text((x + 50.0, y + 4.0), "100 mm", "p-words", "middle"))
    return drawn
