"""The inside of a vessel of any plan as square cells of wax, with its shell.

Cells lie in layers (height), each a padded plane of places, so that a layer is a "row" of
`rushlight.heat.grid.Rings` and everything that knows rows and columns only (mass,
contacts, shrinkage) serves both models. What is new is one more direction, `along`, and
a shell that is a net (`rushlight.heat.box_shell`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rushlight.candle.profile import Profile
from rushlight.errors import Problems
from rushlight.heat.box_plan import Plan
from rushlight.heat.box_plane import Plane, layers, plane
from rushlight.heat.box_shell import Net, Outline, Sides, contacts, outline, shell
from rushlight.heat.enthalpy import Array
from rushlight.heat.grid import LARGEST, TOP, Grid, Index, Open, Rings, Sinks

MOST_CELLS = 60_000  # beyond it a burn would take minutes
FEWEST = 4  # cells each way
FLATTER = 0.5  # height of a cell over its width: skin and pool are thin


@dataclass(frozen=True)
class BoxGrid:
    """A grid of cells with what rings have not.

    grid: `rings.across` links along x, `rings.up` upwards; along [m]: area over distance
    to the place one line before; net: links of the shell; at: the places of a layer;
    area [m²] of wax, layers × places; dz [m]; sides, line: of the wall; feet: node of
    the base under each place, −1 where there is none.
    """

    grid: Grid
    along: Array
    net: Net
    at: Plane
    area: Array
    dz: float
    sides: Sides
    line: Outline
    feet: Index


def box_grid(  # noqa: PLR0913 -- a vessel has this many measures
    profile: Profile,
    plan: Plan,
    *,
    fill: float,
    wall: float,
    base: float,
    cell: float,
    sinks: Sinks = Sinks.STAYS,
) -> BoxGrid:
    """Return the grid of a vessel filled to a height.

    fill [m]: height of the wax above the inner base; wall, base [m]: thickness; cell [m]:
    about the width of a cell; sinks: whether the inside of the wall may come to lie bare.
    Raises BadInput.
    """
    _check(profile, fill, wall, base, cell)
    rows = max(FEWEST, round(fill / (FLATTER * cell)))
    dz = fill / rows
    levels = np.linspace(0.0, fill, rows + 1)
    below = np.array([profile.volume_below(z) for z in levels])
    widths = 2.0 * np.sqrt(np.diff(below) / (np.pi * dz))
    widest = float(widths.max())
    at = plane(widest, plan.breadth, max(FEWEST, round(widest / cell)))
    stack = layers(plan, widths, at)
    area = np.array([layer.area for layer in stack])
    rings, along = _cells(area, at, dz)
    rim = float(profile.depth) - fill
    above = max(1, round(rim / dz)) if rim > 0 else 0
    heights = np.concatenate([levels, np.linspace(fill, float(profile.depth), above + 1)[1:]])
    sides = Sides(heights, np.array([profile.diameter_at(z) for z in heights], dtype=float))
    line = outline(plan, widest, at.dx)
    feet = np.full(at.places, -1)
    under = np.flatnonzero(area[0] > 0)
    feet[under] = np.arange(len(under))
    bare_from = rows if sinks is Sinks.STAYS else 0
    vessel, net = shell(stack[0], at, sides, line, feet, wall=wall, base=base, bare_from=bare_from)
    touch = contacts(stack, at, sides, line, feet, dz)
    # a sinking surface may open anywhere: then every place has its face, in order
    tops = np.arange(1, at.places - 1) if sinks is Sinks.SINKS else np.flatnonzero(area[-1] > 0)
    surface = Open(
        cell=(rows * at.places + tops).astype(np.int64),
        area=area[-1][tops],
        half=np.full(len(tops), 0.5 * dz),
        air=np.full(len(tops), TOP),
    )
    grid = Grid(rings, vessel, touch, surface)
    return BoxGrid(grid, along, net, at, area, dz, sides, line, feet)


def _check(profile: Profile, fill: float, wall: float, base: float, cell: float) -> None:
    found = Problems()
    if not 0 < fill <= profile.depth:
        found.add(
            "fill",
            "The wax would stand below the base or above the brim.",
            f"Give a height between 0 and {1000 * profile.depth:.0f} mm.",
        )
    widest = max(float(station.diameter) for station in profile.stations)
    if max(widest, float(profile.depth)) > LARGEST:
        found.add("vessel", "The vessel is more than 1 m across or deep.", "Check its unit.")
    for place, value in (("vessel.wall", wall), ("vessel.base", base)):
        if not 0 < value <= 0.05:  # noqa: PLR2004 -- 50 mm: thicker is a slip of the unit
            found.add(place, f"A thickness of {1000 * value:g} mm cannot be.", "Give 0.1–50 mm.")
    if not cell > 0 or (widest / cell + 2) ** 2 * (fill / (FLATTER * cell) + 2) > MOST_CELLS:
        found.add(
            "cells",
            f"A vessel this size makes more than {MOST_CELLS} cells of {1000 * cell:g} mm.",
            f"Take {1000 * max(0.003, (widest**2 * abs(fill) / 20_000) ** (1 / 3)):.1f} mm.",
        )
    found.check()


def _cells(area: Array, at: Plane, dz: float) -> tuple[Rings, Array]:
    rows, places = area.shape
    shape = (rows + 2, places)
    volume, across, along, up, height = (np.zeros(shape) for _ in range(5))
    share = np.minimum(area / at.dx**2, 1.0)
    volume[1:-1] = area * dz
    across[1:-1] = np.minimum(share, np.roll(share, 1, axis=1)) * dz
    along[1:-1] = np.minimum(share, np.roll(share, at.pitch, axis=1)) * dz
    up[2:-1] = np.minimum(area[1:], area[:-1]) / dz
    height[1:-1] = dz * (np.arange(rows)[:, None] + 0.5)
    rings = Rings(
        rows=rows,
        columns=places - 2,
        stride=places,
        volume=volume.ravel(),
        outer=np.zeros(volume.size),
        across=across.ravel(),
        up=up.ravel(),
        radius=np.tile(np.hypot(at.x, at.y), rows + 2),
        height=height.ravel(),
    )
    return rings, along.ravel()
