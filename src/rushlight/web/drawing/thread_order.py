"""The order of a thread's cells down their columns, so that few threads cross.

Each column is sorted by where its neighbours in the column before stand on average, to the
right and back again, and the best order seen is kept (the barycentre method of Sugiyama,
Tagawa and Toda, 1981, from memory). A thread that runs past a column holds a place in it.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from rushlight.web.drawing.thread_cut import Shown

SWEEPS = 6


@dataclass(frozen=True, slots=True)
class Order:
    """Columns of cells from top to bottom; routes: for each span the cells it runs through.

    Cells from `passing` on are no cells but places where a thread runs past.
    """

    columns: tuple[tuple[int, ...], ...]
    routes: tuple[tuple[int, ...], ...]
    passing: int


Beside = dict[int, list[int]]


def ordered(shown: Shown) -> Order:
    """Return the cells in the order of fewest crossings found."""
    columns: list[list[int]] = [[] for _ in shown.headings]
    for number, cell in enumerate(shown.cells):
        columns[cell.column].append(number)
    number, routes = len(shown.cells), []
    for span in shown.spans:
        first, last = (shown.cells[end].column for end in (span.left, span.right))
        through = []
        for column in range(first + 1, last):
            columns[column].append(number)
            through.append(number)
            number += 1
        routes.append((span.left, *through, span.right))
    left, right = neighbours(routes, columns)
    rest = {n for n, cell in enumerate(shown.cells) if cell.node is None}
    best, fewest = columns, crossings(columns, left)
    for sweep in range(SWEEPS):
        if not fewest:
            break
        columns = _swept(columns, right if sweep % 2 else left, rest, back=sweep % 2)
        now = crossings(columns, left)
        if now < fewest:
            best, fewest = columns, now
    return Order(tuple(map(tuple, best)), tuple(routes), len(shown.cells))


def neighbours(
    routes: Sequence[Sequence[int]], columns: Sequence[Sequence[int]]
) -> tuple[Beside, Beside]:
    """Return for each cell what it is threaded to in the column to its left, to its right."""
    column = {cell: at for at, cells in enumerate(columns) for cell in cells}
    left: Beside = {cell: [] for cell in column}
    right: Beside = {cell: [] for cell in column}
    for route in routes:
        for one, other in pairwise(route):
            if column[one] != column[other]:
                right[one].append(other)
                left[other].append(one)
    return left, right


def _swept(
    columns: Sequence[Sequence[int]], towards: Beside, rest: set[int], *, back: int
) -> list[list[int]]:
    """Return the columns sorted one after another by where their neighbours stand."""
    made = [list(cells) for cells in columns]
    at: dict[int, float] = {}

    def stand(cells: Sequence[int]) -> None:
        at.update({cell: (n + 0.5) / len(cells) for n, cell in enumerate(cells)})

    for cells in reversed(made) if back else made:
        stand(cells)
        wish = {}
        for cell in cells:
            beside = towards[cell]
            mean = sum(at[b] for b in beside) / len(beside) if beside else at[cell]
            wish[cell] = (cell in rest, mean)
        cells.sort(key=wish.__getitem__)
        stand(cells)
    return made


def crossings(columns: Sequence[Sequence[int]], left: Beside) -> int:
    """Return how many times threads cross between neighbouring columns."""
    count = 0
    for before, cells in pairwise(columns):
        at = {cell: n for n, cell in enumerate(before)}
        ends: list[int] = []  # of the threads above, sorted
        for cell in cells:
            here = [at[beside] for beside in left[cell]]
            count += sum(len(ends) - bisect_right(ends, end) for end in here)
            for end in here:
                insort(ends, end)
    return count
