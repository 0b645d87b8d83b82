"""The inside of a vessel as rings of wax, and the vessel as a shell round them.

Rings lie in rows (height) and columns (radius). The last ring of a row ends
exactly at the wall, so tapered and shouldered vessels keep their true volume.
The shell is one chain of nodes: the base from its middle outwards, then the
wall from its foot to the brim, the last ones above the wax.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rushlight.candle.profile import Profile
from rushlight.errors import BadInput, Problems
from rushlight.heat.enthalpy import Array

Index = NDArray[np.int64]
MOST_CELLS = 250_000  # beyond it a run would take minutes
LARGEST = 1.0  # largest vessel taken [m]
SLIVER = 0.3  # of a row: less rim than this is left out, for so thin a node is stiff


@dataclass(frozen=True)
class Rings:
    """Rings of wax on a padded flat grid (one empty ring on every side).

    stride: cells from one row to the next; rows, columns: without padding.
    volume [m³]: of each cell, 0 outside the vessel; outer [m]: its outer radius.
    across, up [m]: face area over distance to the cell before in the row, and
    to the cell in the row below; 0 where there is none.
    radius, height [m]: of the middle of each cell.
    """

    rows: int
    columns: int
    stride: int
    volume: Array
    outer: Array
    across: Array
    up: Array
    radius: Array
    height: Array

    def index(self, row: int, column: int) -> int:
        """Return the place of a ring in the flat arrays."""
        return (row + 1) * self.stride + column + 1

    def field(self, flat: Array) -> Array:
        """Return a flat array as rows × columns, NaN outside the vessel."""
        return np.asarray(self.fields(flat[None, : len(self.volume)])[0])

    def fields(self, flat: Array) -> Array:
        """Return rows of flat arrays as frames × rows × columns, NaN outside the vessel."""
        cut = flat.reshape(-1, self.rows + 2, self.stride)[:, 1:-1, 1:-1].copy()
        cut[:, self.volume.reshape(-1, self.stride)[1:-1, 1:-1] == 0.0] = np.nan
        return cut


@dataclass(frozen=True)
class Touch:
    """Where wax touches the shell: cell, node, area [m²], half a cell's width [m]."""

    cell: Index
    node: Index
    area: Array
    half: Array


@dataclass(frozen=True)
class Open:
    """Where wax meets the air: cell, area [m²], half a cell's width [m], which air."""

    cell: Index
    area: Array
    half: Array
    air: Index


@dataclass(frozen=True)
class Shell:
    """The vessel as a chain of nodes.

    volume [m³] of each node; link [m]: area over distance to the node before;
    half [m]: half the thickness there; node, area [m²], air: where it meets
    which air (a node above the wax meets two, and in a burn every node of the
    wall, for wax that sinks); height [m] of each node above the inner base, negative for
    the base; inner [m]: inner radius there.
    """

    volume: Array
    link: Array
    half: Array
    node: Index
    area: Array
    air: Index
    height: Array
    inner: Array


@dataclass(frozen=True)
class Grid:
    """Rings, shell and where they meet each other and the air."""

    rings: Rings
    shell: Shell
    touch: Touch
    open: Open


SIDE, BASE, TOP, RIM = range(4)  # which air a face meets
AIRS = 4


class Sinks(StrEnum):
    """Whether the wax keeps its level (setting) or sinks and bares the wall (burning)."""

    STAYS = "stays"
    SINKS = "sinks"


def vessel_grid(  # noqa: PLR0913 -- a vessel has this many measures
    profile: Profile,
    *,
    fill: float,
    wall: float,
    base: float,
    columns: int,
    rows: int,
    sinks: Sinks = Sinks.STAYS,
) -> Grid:
    """Return the grid of a vessel filled to a height.

    fill [m]: height of the wax above the inner base; wall, base [m]: thickness;
    columns, rows: rings across the widest radius and up to the fill; sinks: whether the
    inside of the wall may come to lie bare.
    Raises BadInput.
    """
    _check(profile, fill, wall, base, columns, rows)
    dz = fill / rows
    levels = np.linspace(0.0, fill, rows + 1)
    below = np.array([profile.volume_below(z) for z in levels])
    radii = np.sqrt(np.diff(below) / (np.pi * dz))
    dr = float(radii.max()) / columns
    rings, outer = _rings(radii, dr, dz, columns)
    widths = np.array([0.5 * profile.diameter_at(z) for z in levels])
    slant = np.hypot(dz, np.diff(widths))
    wetted = np.pi * (widths[1:] + widths[:-1]) * slant
    rim = float(profile.depth) - fill
    above = max(1, round(rim / dz)) if rim > SLIVER * dz else 0
    brink = np.linspace(fill, float(profile.depth), above + 1)
    shell = _shell(
        outer=outer,
        ring_count=_ring_count(radii[0], dr, columns),
        heights=np.concatenate([levels, brink[1:]]),
        widths=np.array([0.5 * profile.diameter_at(z) for z in [*levels, *brink[1:]]]),
        wall=wall,
        base=base,
        rows=rows if sinks is Sinks.STAYS else 0,
    )
    feet = _ring_count(radii[0], dr, columns)
    touch = _touch(rings, outer, radii, dz, wetted, feet)
    last = _ring_count(radii[-1], dr, columns)
    tops = np.array([rings.index(rows - 1, i) for i in range(last)])
    inner = np.concatenate([[0.0], outer[-1, : last - 1]])
    area = np.pi * (outer[-1, :last] ** 2 - inner**2)
    if sinks is Sinks.SINKS:  # under a shoulder a column has no open face, but may get one
        area = np.append(area, np.zeros(columns - last))
        tops = np.append(tops, [rings.index(0, i) for i in range(last, columns)]).astype(np.int64)
    surface = Open(
        cell=tops,
        area=area,
        half=np.full(len(tops), 0.5 * dz),
        air=np.full(len(tops), TOP),
    )
    return Grid(rings, shell, touch, surface)


def plain_grid(radius: float, height: float, *, columns: int, rows: int, faces: str) -> Grid:
    """Return a bare cylinder with no shell, for checks.

    radius, height [m]; faces: which meet the air, letters of "stb" for side,
    top, base. A slab is a cylinder with one column and faces "t" or "b".
    """
    dz = height / rows
    radii = np.full(rows, radius)
    rings, outer = _rings(radii, radius / columns, dz, columns)
    parts: list[tuple[int, float, float, int]] = []
    ring_area = np.pi * np.diff(np.concatenate([[0.0], outer[0, :columns]]) ** 2)
    for letter, row, air in (("t", rows - 1, TOP), ("b", 0, BASE)):
        if letter in faces:
            parts += [
                (rings.index(row, i), float(ring_area[i]), 0.5 * dz, air) for i in range(columns)
            ]
    if "s" in faces:
        half = 0.5 * radius / columns
        parts += [
            (rings.index(j, columns - 1), 2 * np.pi * radius * dz, half, SIDE) for j in range(rows)
        ]
    cell, area, half_widths, air_of = (list(column) for column in zip(*parts, strict=True))
    none = np.zeros(0, dtype=np.int64)
    empty = np.zeros(0)
    return Grid(
        rings,
        Shell(empty, empty, empty, none, empty, none, empty, empty),
        Touch(none, none, empty, empty),
        Open(np.array(cell), np.array(area), np.array(half_widths), np.array(air_of)),
    )


def _check(  # noqa: PLR0913, PLR0917 -- it checks what vessel_grid takes
    profile: Profile, fill: float, wall: float, base: float, columns: int, rows: int
) -> None:
    found = Problems()
    if not 0 < fill <= profile.depth:
        found.add(
            "fill",
            "The wax would stand below the base or above the brim.",
            f"Give a height between 0 and {1000 * profile.depth:.0f} mm.",
        )
    widest = max(station.diameter for station in profile.stations)
    if max(widest, profile.depth) > LARGEST:
        found.add("vessel", "The vessel is more than 1 m across or deep.", "Check its unit.")
    for place, value in (("vessel.wall", wall), ("vessel.base", base)):
        if not 0 < value <= 0.05:  # noqa: PLR2004 -- 50 mm: thicker is a slip of the unit
            found.add(place, f"A thickness of {1000 * value:g} mm cannot be.", "Give 0.1–50 mm.")
    if columns < 4 or rows < 4 or columns * rows > MOST_CELLS:  # noqa: PLR2004
        found.add(
            "cells",
            f"{columns} × {rows} cells are too few or too many.",
            f"Take at least 4 each way and {MOST_CELLS} in all; 1 to 2 mm cells do well.",
        )
    found.check()


def _ring_count(radius: float, dr: float, columns: int) -> int:
    return max(1, min(columns, round(radius / dr)))


def _rings(radii: Array, dr: float, dz: float, columns: int) -> tuple[Rings, Array]:
    rows = len(radii)
    stride = columns + 2
    shape = (rows + 2, stride)
    volume, rim, across, up, radius, height = (np.zeros(shape) for _ in range(6))
    outer = np.zeros((rows, columns))
    for j, wall_radius in enumerate(radii):
        count = _ring_count(wall_radius, dr, columns)
        edges = np.concatenate([dr * np.arange(count), [wall_radius]])
        middles = 0.5 * (edges[1:] + edges[:-1])
        outer[j, :count] = edges[1:]
        cells = slice(1, count + 1)
        volume[j + 1, cells] = np.pi * np.diff(edges**2) * dz
        across[j + 1, 2 : count + 1] = 2 * np.pi * edges[1:-1] * dz / np.diff(middles)
        rim[j + 1, cells] = edges[1:]
        radius[j + 1, cells] = middles
        height[j + 1, cells] = (j + 0.5) * dz
        if j:
            both = np.minimum(outer[j, :count], outer[j - 1, :count])
            area = np.pi * (both**2 - edges[:-1] ** 2)
            up[j + 1, cells] = np.where(outer[j - 1, :count] > 0, area, 0.0).clip(0.0) / dz
    flat = [a.ravel() for a in (volume, rim, across, up, radius, height)]
    return Rings(rows, columns, stride, *flat), outer


def _shell(  # noqa: PLR0913 -- the measures of a shell
    *,
    outer: Array,
    ring_count: int,
    heights: Array,
    widths: Array,
    wall: float,
    base: float,
    rows: int,
) -> Shell:
    edges = np.concatenate([[0.0], outer[0, :ring_count]])
    foot = edges.copy()
    foot[-1] += wall  # the wall stands on the base
    base_area = np.pi * np.diff(foot**2)
    middles = 0.5 * (edges[1:] + edges[:-1])
    base_link = np.zeros(ring_count)
    base_link[1:] = 2 * np.pi * edges[1:-1] * base / np.diff(middles)
    steps = np.hypot(np.diff(heights), np.diff(widths))
    mean = 0.5 * (widths[1:] + widths[:-1])
    volume = 2 * np.pi * (mean + 0.5 * wall) * wall * steps
    gap = np.concatenate([[0.5 * steps[0]], 0.5 * (steps[1:] + steps[:-1])])
    link = 2 * np.pi * (widths[:-1] + 0.5 * wall) * wall / gap
    corner = 2 * np.pi * edges[-1]
    link[0] = corner / ((edges[-1] - middles[-1]) / base + 0.5 * steps[0] / wall)
    nodes = ring_count + len(steps)
    walls = np.arange(ring_count, nodes)
    rim = walls[rows:]
    return Shell(
        volume=np.concatenate([base_area * base, volume]),
        link=np.concatenate([base_link, link]),
        half=np.concatenate([np.full(ring_count, 0.5 * base), np.full(len(steps), 0.5 * wall)]),
        node=np.concatenate([np.arange(ring_count), walls, rim]),
        area=np.concatenate(
            [base_area, 2 * np.pi * (mean + wall) * steps, (2 * np.pi * mean * steps)[rows:]]
        ),
        air=np.concatenate(
            [np.full(ring_count, BASE), np.full(len(walls), SIDE), np.full(len(rim), RIM)]
        ),
        height=np.concatenate([np.full(ring_count, -base), 0.5 * (heights[1:] + heights[:-1])]),
        inner=np.concatenate([middles, mean]),
    )


def _touch(  # noqa: PLR0913, PLR0917 -- the measures of a contact
    rings: Rings, outer: Array, radii: Array, dz: float, wetted: Array, feet: int
) -> Touch:
    """List the contacts: the base, each row's last ring, and ledges where rows differ.

    A slanting wall is a staircase of rings: the treads and risers of a row
    together are given the true area of the wall there.
    """
    parts: list[tuple[int, int, float, float]] = []
    inner = np.concatenate([[0.0], outer[0, : feet - 1]])
    areas = np.pi * (outer[0, :feet] ** 2 - inner**2)
    parts += [(rings.index(0, i), i, float(areas[i]), 0.5 * dz) for i in range(feet)]
    rows = len(radii)
    counts = [int(np.count_nonzero(row)) for row in outer]
    stairs: list[list[tuple[int, float, float]]] = [[] for _ in range(rows)]
    for j in range(rows):
        last = counts[j] - 1
        inside = outer[j, last - 1] if last else 0.0
        riser = 2 * np.pi * radii[j] * dz
        stairs[j].append((rings.index(j, last), riser, 0.5 * (radii[j] - inside)))
    for j, k in pairwise(range(rows)):
        wide, narrow = (j, k) if radii[j] > radii[k] else (k, j)
        for i in range(counts[wide]):
            start = max(outer[wide, i - 1] if i else 0.0, radii[narrow])
            tread = np.pi * (outer[wide, i] ** 2 - start**2)
            if outer[wide, i] > radii[narrow] and tread > 0:
                stairs[wide].append((rings.index(wide, i), float(tread), 0.5 * dz))
    for j, steps in enumerate(stairs):
        share = wetted[j] / sum(area for _, area, _ in steps)
        parts += [(cell, feet + j, area * share, half) for cell, area, half in steps]
    cell, node, area, half = (np.array(column) for column in zip(*parts, strict=True))
    return Touch(cell, node, area, half)


def level_of(profile: Profile, volume: float) -> float:
    """Return the height [m] to which a volume [m³] fills; BadInput when it overflows."""
    if not 0 < volume <= profile.brim_volume:
        raise BadInput.one(
            f"{1e6 * volume:.0f} ml does not fit into {1e6 * profile.brim_volume:.0f} ml.",
            "Fill less, or choose a larger vessel.",
            "fill",
        )
    return float(profile.height_at(volume))  # type: ignore[arg-type]
