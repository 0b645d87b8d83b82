"""One layer of a vessel of any plan: which cells hold wax, and which the wall touches.

A cell cut by the wall keeps its true area; one cut to less than half is joined to its
neighbour, so that no sliver holds up the time step.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rushlight.heat.box_plan import FINE, Plan
from rushlight.heat.enthalpy import Array
from rushlight.heat.grid import Index

KEPT = 0.45  # share of a whole cell below which a cut cell joins its neighbour
NEAREST = 0.2  # least distance from the middle of a cell to the wall, in cells
ALIKE = 1e-9  # shares this near are alike by symmetry


@dataclass(frozen=True)
class Plane:
    """The places of a layer, with an empty one all round; a line holds `pitch` places.

    dx [m]: width of a cell; x, y [m]: middle of each place.
    """

    dx: float
    pitch: int
    x: Array
    y: Array

    @property
    def places(self) -> int:
        """How many places there are."""
        return len(self.x)


@dataclass(frozen=True)
class Layer:
    """One layer of wax of a width [m].

    area [m²] of wax in each place; into: the place that took over each place's wax, −1
    where the vessel is not.
    """

    area: Array
    into: Index
    width: float


def plane(width: float, breadth: float, columns: int) -> Plane:
    """Return a plane of `columns` cells across a width [m]; breadth [1] over the width."""
    dx = width / columns
    lines = max(4, int(np.ceil(columns * breadth - 1e-6)))
    lines += (columns - lines) % 2  # the middle lies alike both ways
    pitch = columns + 2
    x = dx * (np.arange(pitch) - 0.5 * (pitch - 1))
    y = dx * (np.arange(lines + 2) - 0.5 * (lines + 1))
    return Plane(dx, pitch, np.tile(x, lines + 2), np.repeat(y, pitch))


def layers(plan: Plan, widths: Array, at: Plane) -> list[Layer]:
    """Return a layer for each width [m], made once where they are the same."""
    found: list[Layer] = []
    for width in widths:
        same = found and abs(width - found[-1].width) < ALIKE * width
        found.append(found[-1] if same else _layer(plan, float(width), at))
    return found


def _layer(plan: Plan, width: float, at: Plane) -> Layer:
    spread = at.dx * ((np.arange(FINE) + 0.5) / FINE - 0.5)
    fine = [plan.inside(at.x + sx, at.y + sy, width) for sx in spread for sy in spread]
    share = np.mean(fine, axis=0)
    kept = share >= KEPT
    into = np.where(kept, np.arange(at.places), -1)
    area = np.where(kept, share, 0.0)
    beside = (-1, 1, -at.pitch, at.pitch)
    across = (-at.pitch - 1, 1 - at.pitch, at.pitch - 1, at.pitch + 1)
    for k in np.flatnonzero((share > 0) & ~kept):
        near = [int(k + s) for s in beside if kept[k + s]]
        near = near or [int(k + s) for s in across if kept[k + s]]
        if not near:
            far = np.hypot(at.x - at.x[k], at.y - at.y[k])
            near = [int(np.argmin(np.where(kept, far, np.inf)))]
        most = max(share[n] for n in near)
        best = [n for n in near if share[n] > most - ALIKE]
        into[k] = best[0]
        area[best] += share[k] / len(best)
    return Layer(area * plan.area(width) / area.sum(), into, width)


def touched(layer: Layer, points: Array, at: Plane) -> tuple[Index, Array]:
    """Return the place each point x, y [m] of the outline touches, and how far its middle is.

    The distance [m] is taken square to the outline.
    """
    inward = points * (1.0 - 1e-6)
    column = np.floor((inward[0] - at.x[0]) / at.dx + 0.5).astype(np.int64)
    line = np.floor((inward[1] - at.y[0]) / at.dx + 0.5).astype(np.int64)
    place = layer.into[line * at.pitch + column]
    wax = np.flatnonzero(layer.area > 0)
    for n in np.flatnonzero(place < 0):
        far = np.hypot(at.x[wax] - points[0, n], at.y[wax] - points[1, n])
        place[n] = wax[int(far.argmin())]
    step = np.roll(points, -1, axis=1) - np.roll(points, 1, axis=1)
    normal = np.stack([step[1], -step[0]]) / np.hypot(*step)
    away = (points[0] - at.x[place]) * normal[0] + (points[1] - at.y[place]) * normal[1]
    return place, np.maximum(away, NEAREST * at.dx)


def gather(keys: Index, *values: Array) -> tuple[Index, list[Array]]:
    """Return the distinct keys, rising, and the sum of each column of values over them."""
    distinct, place = np.unique(keys, return_inverse=True)
    sums = [np.zeros(len(distinct)) for _ in values]
    for total, value in zip(sums, values, strict=True):
        np.add.at(total, place, value)
    return distinct, sums
