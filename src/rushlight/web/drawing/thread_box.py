"""A node of the thread as a box of words that never run over its edge."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup

from rushlight.web.drawing.lettering import SERIF, fitted, shown, wrapped
from rushlight.web.drawing.svg import el
from rushlight.web.drawing.thread_cut import Cell
from rushlight.workshop.stores.thread_views import WORDS, ThreadNode

Href = Callable[[ThreadNode], str | None]

SIDE, AIR = 9.0, 7.0  # between the edge and the words, across and down
LEAST = 48.0  # height; a box is touched as a whole
ASKED = "asked for"
_TITLE, _SMALL = 15.0, 14.0  # sizes of letters
_ROW, _LOW = 18.0, 17.0  # heights of their lines
_MOST_TITLE, _MOST_LINES, _MOST_MARK = 2, 4, 2


@dataclass(frozen=True, slots=True)
class Place:
    """Where a box stands."""

    left: float
    top: float
    wide: float
    tall: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.left + self.wide


@dataclass(frozen=True, slots=True)
class Box:
    """A cell with its words set: (words, class, height of the line); asked: whether the root."""

    cell: Cell
    lines: tuple[tuple[str, str, float], ...]
    asked: bool
    whole: str

    @property
    def height(self) -> float:
        """How high the box is."""
        return max(LEAST, sum(tall for _, _, tall in self.lines) + 2 * AIR)

    def drawn(self, at: Place, href: Href, table: str) -> Markup:
        """Return the box as a link, or as a plain group where it leads nowhere."""
        node = self.cell.node
        address = f"#{table}" if node is None else href(node)
        classes = ["y-box", "rest" if node is None else node.kind.replace("_", "-")]
        inside = [
            *([el("title", self.whole)] if any("…" in words for words, _, _ in self.lines) else []),
            el("rect", x=at.left, y=at.top, width=at.wide, height=at.tall, rx=3.0,
               class_=" ".join([*classes, *(["asked"] if self.asked else [])])),
            self._words(at),
        ]  # fmt: skip
        spoken = {"class_": "y-node asked" if self.asked else "y-node", "aria_label": self.whole}
        if address is None:
            return el("g", *inside, role="group", **spoken)
        return el("a", *inside, href=address, **spoken)

    def _words(self, at: Place) -> Markup:
        """Return the words on a sheet of their own, which cuts off what any face makes wider."""
        free = (self.height - sum(tall for _, _, tall in self.lines)) / 2
        y, drawn = free - 4.5, []
        for words, kind, tall in self.lines:
            y += tall
            drawn.append(el("text", words, x=SIDE, y=y, class_=kind))
        return el("svg", *drawn, x=at.left, y=at.top, width=at.wide, height=at.tall)


def box_of(cell: Cell, wide: float, *, asked: bool) -> Box:
    """Return a cell with its words broken to a box of a width."""
    room = wide - 2 * SIDE
    node = cell.node
    if node is None:
        lines = [(f"and {cell.rest:,} more:", "y-line", _LOW), ("see the table", "y-more", _LOW)]
        return Box(cell, tuple(lines), asked=False, whole=f"and {cell.rest:,} more: see the table")
    title, code, mark = shown(node.title), shown(node.code), shown(node.mark)
    lines = [(row, "y-title", _ROW) for row in wrapped(title, _TITLE, room, _MOST_TITLE)]
    if code and code not in title:
        lines.append((fitted(code, _TITLE, room / SERIF), "y-code", _ROW))
    lines += [(row, "y-line", _LOW) for row in _small(node, room)]
    for words in (mark, ASKED if asked else ""):
        lines += [(row, "y-mark", _LOW) for row in wrapped(words, _SMALL, room, _MOST_MARK)]
    said = (
        WORDS[node.kind],
        title,
        "" if code in title else code,
        *map(shown, node.lines),
        mark,
        ASKED if asked else "",
    )
    return Box(cell, tuple(lines), asked, ", ".join(filter(None, said)))


def _small(node: ThreadNode, room: float) -> list[str]:
    """Return the remarks in rows of small print, the last cut where there are too many."""
    rows = [row for line in node.lines for row in wrapped(shown(line), _SMALL, room, 2)]
    if len(rows) > _MOST_LINES:
        rows = [*rows[: _MOST_LINES - 1], fitted(f"{rows[_MOST_LINES - 1]} …", _SMALL, room)]
    return rows
