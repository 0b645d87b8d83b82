"""The threads between the boxes: smooth, ending on their boxes, labelled where there is room."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise

from markupsafe import Markup

from rushlight.web.drawing.lettering import shown, width
from rushlight.web.drawing.svg import Point, el, text
from rushlight.web.drawing.thread_box import Place
from rushlight.web.drawing.thread_cut import Shown, Span
from rushlight.web.drawing.thread_order import Order

GUTTER = 74.0  # between two columns
LABEL = 14.0  # size of a label's letters
MARGIN = 9.0  # of a box's side, kept free of threads above and below
_CLOSEST = 19.0  # threads on one side of a box, where it has room for them
_NEAR = 6.0  # between a label and its box

Places = Mapping[int, Place]
Ends = dict[tuple[int, int], float]  # by number of the span and end: 0 left, 1 right


def threads(found: Shown, order: Order, places: Places, root: int | None) -> list[Markup]:
    """Return the threads, those of the node asked for on top, then the labels that have room.

    root: the cell of the node asked for.
    """
    ends, crowd = _ends(found, order, places)
    under: list[Markup] = []
    over: list[Markup] = []
    labels = _Labels()
    for at, (span, route) in enumerate(zip(found.spans, order.routes, strict=True)):
        start = (places[span.left].right, ends[at, 0])
        loop = _loops(found, span)
        end = (places[span.right].right if loop else places[span.right].left, ends[at, 1])
        data = _loop(start, end) if loop else _curve(start, end, [places[c] for c in route[1:-1]])
        here = root in {span.left, span.right}
        line = el(
            "path",
            el("title", _said(found, span)),
            d=data,
            class_="y-thread here" if here else "y-thread",
        )
        (over if here else under).append(line)
        if not loop:
            first = found.cells[span.left].column, crowd[span.left, 0]
            last = found.cells[span.right].column - 1, crowd[span.right, 1]
            rises = ends[at, 1] < ends[at, 0]
            if first[1] <= last[1]:
                labels.add(first[0], span.label, start, anchor="start", below=rises)
            else:
                labels.add(last[0], span.label, end, anchor="end", below=not rises)
    return [*under, *over, *labels.drawn]


def _loops(found: Shown, span: Span) -> bool:
    return found.cells[span.left].column == found.cells[span.right].column


def _said(found: Shown, span: Span) -> str:
    """Return a thread in words, shown where the mouse rests."""
    ends = [found.cells[end].node for end in (span.left, span.right)]
    names = [shown(node.title) if node else "others" for node in ends]
    much = shown(span.label) or (f"{span.joined} threads" if span.joined > 1 else "")
    return f"{names[0]} to {names[1]}{': ' if much else ''}{much}"


def _ends(found: Shown, order: Order, places: Places) -> tuple[Ends, dict[tuple[int, int], int]]:
    """Return the heights at which threads end, spread over the sides of their boxes.

    And how many there are on each side of each box: by cell and side, 0 right, 1 left.
    """
    sides: dict[tuple[int, int], list[tuple[float, int, int]]] = defaultdict(list)
    for at, (span, route) in enumerate(zip(found.spans, order.routes, strict=True)):
        loop = _loops(found, span)
        sides[span.left, 0].append((_middle(places[route[1]]), at, 0))
        sides[span.right, 0 if loop else 1].append((_middle(places[route[-2]]), at, 1))
    made: Ends = {}
    for (cell, _), threads_here in sides.items():
        room = places[cell].tall - 2 * MARGIN
        count = len(threads_here)
        step = min(_CLOSEST, room / count)
        first = _middle(places[cell]) - step * (count - 1) / 2
        for n, (_, at, end) in enumerate(sorted(threads_here)):
            made[at, end] = first + n * step
    return made, {side: len(here) for side, here in sides.items()}


def _middle(place: Place) -> float:
    return place.top + place.tall / 2


def _curve(start: Point, end: Point, past: Sequence[Place]) -> str:
    """Return path data from box to box, level where it runs past a column."""
    stops = [start]
    for place in past:
        y = _middle(place)
        stops += [(place.left, y), (place.right, y)]
    stops.append(end)
    data = f"M{start[0]:.1f} {start[1]:.1f}"
    for at, ((x1, y1), (x2, y2)) in enumerate(pairwise(stops)):
        middle = (x1 + x2) / 2
        data += (
            f" L{x2:.1f} {y2:.1f}"
            if at % 2
            else f" C{middle:.1f} {y1:.1f} {middle:.1f} {y2:.1f} {x2:.1f} {y2:.1f}"
        )
    return data


def _loop(start: Point, end: Point) -> str:
    """Return path data between two boxes of one column, out to its right and back."""
    (x1, y1), (x2, y2) = start, end
    out = max(x1, x2) + GUTTER / 2
    return f"M{x1:.1f} {y1:.1f} C{out:.1f} {y1:.1f} {out:.1f} {y2:.1f} {x2:.1f} {y2:.1f}"


class _Labels:
    """The labels that found room, each beside the end of its thread that is less crowded."""

    def __init__(self) -> None:
        self.drawn: list[Markup] = []
        self._taken: dict[int, list[Box]] = defaultdict(list)

    def add(self, gap: int, words: str, end: Point, *, anchor: str, below: bool) -> None:
        """Draw a label in a gap between columns, on the side its thread does not turn to."""
        words = shown(words)
        wide = width(words, LABEL)
        if not words or wide > GUTTER - 2 * _NEAR:
            return
        x = end[0] + (_NEAR if anchor == "start" else -_NEAR)
        y = end[1] + (LABEL if below else -5.0)
        left = x if anchor == "start" else x - wide
        box = (left, y - LABEL + 3, left + wide, y + 3)
        if not any(_meet(box, other) for other in self._taken[gap]):
            self._taken[gap].append(box)
            self.drawn.append(text((x, y), words, "y-label", anchor))


Box = tuple[float, float, float, float]


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
