"""The thread from supplier to buyer: columns from left to right, every node a link.

Drawn at the size it is read at: on a narrow screen it scrolls in a frame of its own,
which the keyboard reaches too, rather than shrink until nobody can read it.
"""

from __future__ import annotations

from markupsafe import Markup

from rushlight.web.drawing.lettering import fitted, shown
from rushlight.web.drawing.svg import el, text
from rushlight.web.drawing.thread_box import Href, Place, box_of
from rushlight.web.drawing.thread_cut import Shown, cut
from rushlight.web.drawing.thread_lines import GUTTER, threads
from rushlight.web.drawing.thread_order import ordered
from rushlight.web.drawing.thread_place import placed
from rushlight.workshop.stores.thread_views import Thread

LONGEST = 12
"""Cells of a column that are drawn; the table has them all."""
WIDE = 1166.0  # all six columns on a page 1280 px across, beside a scroll bar
NARROWEST, WIDEST = 132.0, 208.0  # a box
EDGE, HEAD, GAP, PASSING = 4.0, 34.0, 16.0, 4.0
_HEAD_SIZE = 15.0
WINDOW = 400.0  # of the drawing, downwards, that a narrow screen shows at once (stores.css)


def thread(
    given: Thread, *, href: Href, table: str = "thread-table", longest: int = LONGEST
) -> Markup:
    """Return the drawing in a frame that scrolls.

    href: the address of a node, None for one without a page. table: id of the table beside
    it, where "and 34 more" leads. longest: cells in a column; what is over is said and left
    to the table.
    """
    found = cut(given, longest)
    order = ordered(found)
    columns = len(found.headings)
    wide = min(max((WIDE - (columns - 1) * GUTTER) / columns, NARROWEST), WIDEST)
    root = next((n for n, c in enumerate(found.cells) if c.node and c.node.key == given.root), None)
    boxes = [box_of(cell, wide, asked=n == root) for n, cell in enumerate(found.cells)]
    heights = {
        cell: boxes[cell].height if cell < order.passing else PASSING
        for cells in order.columns
        for cell in cells
    }
    tops, tall = placed(order, heights, GAP)
    lefts = [EDGE + at * (wide + GUTTER) for at in range(columns)]
    places = {
        cell: Place(lefts[at], tops[cell] + HEAD, wide, heights[cell])
        for at, cells in enumerate(order.columns)
        for cell in cells
    }
    across, down = lefts[-1] + wide + EDGE, tall + HEAD + EDGE
    drawn = el(
        "svg",
        *_headings(found, lefts, wide),
        el("g", *threads(found, order, places, root), aria_hidden="true"),
        *(boxes[cell].drawn(places[cell], href, table) for cells in order.columns for cell in cells
          if cell < order.passing),
        viewBox=f"0 0 {across:.0f} {down:.0f}",
        width=f"{across:.0f}",
        height=f"{down:.0f}",
        class_="yarn",
        role="group",
        aria_label=_said(given, found),
    )  # fmt: skip
    label = "The thread, drawn; scroll to follow it"
    begin = _beginning(None if root is None else places[root], down)
    return el(
        "div", begin, drawn, class_="yarn-frame", role="region", tabindex="0", aria_label=label
    )


def _beginning(asked: Place | None, down: float) -> Markup:
    """Return an unseen mark about the node asked for: the frame opens scrolled to it.

    The mark is as tall as the frame is on a narrow screen, so that the node stands in its
    middle. down: height of the drawing.

    A style sheet alone may do so (`scroll-initial-target`); where the browser does not know
    that, the frame opens at the suppliers.
    """
    if asked is None:
        return Markup("")
    tall = min(WINDOW, down)
    top = min(max(asked.top + asked.tall / 2 - tall / 2, 0.0), down - tall)
    above = el("svg", width="1", height=f"{top:.0f}")
    before = el("svg", width=f"{asked.left - EDGE:.0f}", height="1")
    across = f"{asked.wide + 2 * EDGE:.0f}"
    here = el("svg", width=across, height=f"{tall:.0f}", class_="yarn-begin")
    return el("div", above, el("div", before, here), class_="yarn-start", aria_hidden="true")


def _headings(found: Shown, lefts: list[float], wide: float) -> list[Markup]:
    room = wide + GUTTER - 8
    return [
        text((left, 16.0), fitted(shown(name), _HEAD_SIZE, room), "y-head")
        for left, name in zip(lefts, found.headings, strict=True)
    ]


def _said(given: Thread, found: Shown) -> str:
    """Return the drawing in words: what it is of, and how many stand in each column."""
    counts = [0] * len(found.headings)
    for cell in found.cells:
        counts[cell.column] += cell.rest or 1
    held = ", ".join(f"{name}: {n}" for name, n in zip(found.headings, counts, strict=True))
    return f"The thread of {shown(given.asked.title)}. {held}. The same stands in the table."
