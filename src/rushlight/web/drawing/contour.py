"""Lines of one value through a field on a plain grid (marching squares)."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Segment = tuple[float, float, float, float]


def contour(field: Array, level: float) -> list[Segment]:
    """Return segments (x, y, x, y) where a field crosses a level; x counts columns, y rows.

    Places are those of the cells' middles; a square with a NaN corner has none.
    """
    above = field > level
    found: list[Segment] = []
    corners = np.stack([above[:-1, :-1], above[:-1, 1:], above[1:, 1:], above[1:, :-1]])
    whole = np.isfinite(field)
    known = whole[:-1, :-1] & whole[:-1, 1:] & whole[1:, 1:] & whole[1:, :-1]
    mixed = known & corners.any(axis=0) & ~corners.all(axis=0)
    for row, column in zip(*(int_row(i) for i in np.nonzero(mixed)), strict=True):
        places = _crossings(field, level, row, column)
        found += [(*a, *b) for a, b in pairwise(places)][::2]
    return found


def int_row(indices: NDArray[np.intp]) -> list[int]:
    """Return indices as plain numbers."""
    return [int(i) for i in indices]


def _crossings(field: Array, level: float, row: int, column: int) -> list[tuple[float, float]]:
    """Return where the edges of a square are crossed, in order round it."""
    ring = ((row, column), (row, column + 1), (row + 1, column + 1), (row + 1, column))
    found = []
    for here, there in pairwise((*ring, ring[0])):
        a, b = float(field[here]), float(field[there])
        if (a > level) == (b > level):
            continue
        share = (level - a) / (b - a)
        y = here[0] + share * (there[0] - here[0])
        x = here[1] + share * (there[1] - here[1])
        found.append((x, y))
    return found
