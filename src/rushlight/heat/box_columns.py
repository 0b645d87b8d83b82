"""A candle of any plan as columns of cells, for the burn: wicks, rays, and the melt's bed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from rushlight.errors import BadInput
from rushlight.heat.box_grid import BoxGrid
from rushlight.heat.box_system import Block
from rushlight.heat.columns import FLOWS, Columns, Flame
from rushlight.heat.enthalpy import Array, Curve, WaxThermal
from rushlight.heat.flame import FOOT
from rushlight.heat.grid import RIM, Index

AZIMUTHS = 96  # rays round each wick; a multiple of 4 keeps mirror symmetry
NEAR = 1e-9  # a border nearer than this is the one the wick stands on [m]
FINE = 24  # samples each way of a cell, for the foot of a flame
LOG = 8  # entries of a log row before those of each wick, see `kernel_box_burn.measure`

Wicks = Sequence[tuple[float, float]]


class Bed(NamedTuple):
    """The candle as columns, and what its arrays are when every cell is full.

    c: as for rings (its ring measures are empty); pitch, along: as in `Block`; area [m²]:
    of each cell; foot [1]: share of each wick's flame foot on each column; ray_start,
    ray_column, ray_edge [m]: columns that each ray of each wick crosses and how far from
    the wick it leaves them; ray_wall [m]: how far the wall is, by layer; ray_sector: which
    sector of it; sectors, feet: nodes of the shell in a layer of wall, and under the wax;
    wall_top [m]: upper edge of each layer of wall; gas_share [1/m²]: of each wick's gas to
    each square metre of each node of the wall.
    """

    c: Columns
    pitch: int
    along: Array
    area: Array
    foot: Array
    ray_start: Index
    ray_column: Index
    ray_edge: Array
    ray_wall: Array
    ray_sector: Index
    sectors: int
    feet: int
    wall_top: Array
    gas_share: Array


def bed(  # noqa: PLR0913, PLR0917 -- all that a burn needs
    box: BoxGrid, q: Block, line: Curve, calm: Curve, wax: WaxThermal, wicks: Wicks
) -> Bed:
    """Return the bed of a full candle with wicks at x, y [m]. Raises BadInput.

    line, calm: the wax's curve with the melt mixed as it is across, and upwards.
    """
    _check(box, wicks)
    foot = np.array([_foot(box, wick) for wick in wicks])
    start, column, edge, wall, sector = _rays(box, wicks)
    layers = len(box.sides.mean)
    around = float(box.line.share.sum())
    gas = np.zeros((len(wicks), q.parts.nodes))
    feet = int(box.feet.max()) + 1
    for w, wick in enumerate(wicks):
        centre = box.line.centre * float(box.sides.mean.max())
        near = 1.0 / np.hypot(centre[0] - wick[0], centre[1] - wick[1])
        near = near / (near @ box.line.share / around)  # mean 1: a wick near a wall heats it more
        for j in range(layers):
            width = float(box.sides.mean[j])
            here = slice(feet + j * box.line.sectors, feet + (j + 1) * box.line.sectors)
            gas[w, here] = near / (around * width * width)
    return Bed(
        c=_columns(box, q, line, calm, wax),
        pitch=q.pitch,
        along=q.along.copy(),
        area=np.concatenate([[0.0] * box.at.places, box.area.ravel(), [0.0] * box.at.places]),
        foot=foot,
        ray_start=start,
        ray_column=column,
        ray_edge=edge,
        ray_wall=wall,
        ray_sector=sector,
        sectors=box.line.sectors,
        feet=feet,
        wall_top=box.sides.heights[1:].copy(),
        gas_share=gas,
    )


def _columns(box: BoxGrid, q: Block, line: Curve, calm: Curve, wax: WaxThermal) -> Columns:
    rings, parts = box.grid.rings, q.parts
    there = box.area[:, 1:-1] > 0
    real = there.any(axis=0)
    first = np.where(real, there.argmax(axis=0), 0)
    cap = np.where(real, rings.rows - 1 - there[::-1].argmax(axis=0), -1)
    if np.any(there.sum(axis=0) != cap - first + 1):
        raise BadInput.one(
            "The vessel narrows and widens again.",
            "The burn model takes vessels with one belly; leave the waist out of the profile.",
            "vessel.profile",
        )
    inside = np.full(parts.nodes, -1)
    faces = np.flatnonzero(parts.bare_air == RIM)
    inside[parts.bare_node[faces]] = faces
    fraction = np.linspace(0.0, 1.0, 1001)
    melting = np.interp(fraction, line.liquid, line.enthalpies)
    full = parts.mass.copy()
    full[full == 0.0] = 1.0
    return Columns(
        columns=rings.columns,
        rows=rings.rows,
        stride=rings.stride,
        first=first.astype(np.int64),
        cap=cap.astype(np.int64),
        top=cap.astype(np.int64),
        step=box.dz,
        edge=np.zeros(1),
        full=full,
        solid_at=float(line.enthalpy(wax.solidus)),
        flows_at=float(np.interp(FLOWS, fraction, melting)),
        calm=calm.hinges[2].copy(),
        across=parts.across.copy(),
        up=parts.up.copy(),
        touch_area=parts.touch_area.copy(),
        touch_half=parts.touch_half.copy(),
        bare_area=parts.bare_area.copy(),
        open_area=parts.open_area.copy(),
        wall_row=np.zeros(1, dtype=np.int64),
        inner=np.zeros(1),
        inside=inside,
    )


def _widest(box: BoxGrid) -> int:
    return int(box.area.sum(axis=1).argmax())


def _home(box: BoxGrid, x: Array, y: Array) -> Index:
    """Return the column at each x, y [m]: the nearest one that holds wax in the widest layer."""
    wax = np.flatnonzero(box.area[_widest(box)] > 0)
    far = np.hypot(box.at.x[wax][:, None] - x.ravel(), box.at.y[wax][:, None] - y.ravel())
    return np.asarray(wax[far.argmin(axis=0)] - 1)


def _foot(box: BoxGrid, wick: tuple[float, float]) -> Array:
    spread = FOOT * ((np.arange(2 * FINE) + 0.5) / FINE - 1.0)
    x, y = (a.ravel() for a in np.meshgrid(spread, spread))
    disc = np.hypot(x, y) <= FOOT
    share = np.bincount(
        _home(box, wick[0] + x[disc], wick[1] + y[disc]), minlength=box.at.places - 2
    )
    return np.asarray(share / share.sum())


def _rays(box: BoxGrid, wicks: Wicks) -> tuple[Index, Index, Array, Array, Index]:
    turns = 2.0 * np.pi * (np.arange(AZIMUTHS) + 0.5) / AZIMUTHS
    start, columns, edges, walls, sectors = [0], [], [], [], []
    for wick in wicks:
        for turn in turns:
            way = (float(np.cos(turn)), float(np.sin(turn)))
            far = [_distance(box, wick, way, float(w)) for w in box.sides.mean]
            column, edge = _crossed(box, wick, way, max(d for d, _ in far))
            columns.append(column)
            edges.append(edge)
            start.append(start[-1] + len(column))
            walls.append([d for d, _ in far])
            sectors.append(far[0][1])
    return (
        np.array(start),
        np.concatenate(columns),
        np.concatenate(edges),
        np.array(walls),
        np.array(sectors),
    )


def _distance(
    box: BoxGrid, wick: tuple[float, float], way: tuple[float, float], width: float
) -> tuple[float, int]:
    """Return how far the wall of a width [m] is that way, and its sector."""
    x, y = box.line.middle[0] * width - wick[0], box.line.middle[1] * width - wick[1]
    aside, ahead = way[0] * y - way[1] * x, way[0] * x + way[1] * y
    two = np.roll(aside, -1)
    hit = np.flatnonzero((aside <= 0) & (two > 0) & (ahead > 0))
    if not len(hit):  # the vessel is narrower here than where the wick stands
        return 1e-4, 0
    n = int(hit[0])
    share = aside[n] / (aside[n] - two[n])
    after = (n + 1) % len(ahead)
    struck = n if share < 0.5 else after  # noqa: PLR2004 -- the nearer of the two
    return float(ahead[n] + share * (ahead[after] - ahead[n])), int(box.line.sector[struck])


def _crossed(
    box: BoxGrid, wick: tuple[float, float], way: tuple[float, float], far: float
) -> tuple[Index, Array]:
    """Return the columns a ray crosses in turn and where it leaves each [m]."""
    at = box.at
    cuts = [far]
    for origin, step, low, high in (
        (wick[0], way[0], at.x.min(), at.x.max()),
        (wick[1], way[1], at.y.min(), at.y.max()),
    ):
        borders = np.arange(low + 0.5 * at.dx, high, at.dx)
        reach = (borders - origin) / step
        cuts += [float(r) for r in reach if NEAR < r < far]
    edge = np.array(sorted(cuts))
    middle = 0.5 * (edge + np.concatenate([[0.0], edge[:-1]]))
    column = _home(box, wick[0] + way[0] * middle, wick[1] + way[1] * middle)
    last = np.append(column[1:] != column[:-1], True)
    return column[last], edge[last]


def _check(box: BoxGrid, wicks: Wicks) -> None:
    if not wicks:
        raise BadInput.one("There is no wick.", "Give one place at least.", "wick.places")
    top = float(box.sides.mean[box.grid.rings.rows - 1])
    outline = box.line.middle * top
    for n, (x, y) in enumerate(wicks):
        step = np.roll(outline, -1, axis=1) - outline
        left = step[0] * (y - outline[1]) - step[1] * (x - outline[0])
        gap = float(np.hypot(outline[0] - x, outline[1] - y).min())
        if not np.all(left > 0) or gap < FOOT:
            raise BadInput.one(
                "The wick stands in the wall, or outside it.",
                f"Keep its middle more than {1000 * FOOT:.0f} mm from the wall.",
                f"wick.places.{n}",
            )


class Flames(NamedTuple):
    """The flames of all wicks, as `columns.Flame`: rate [kg/s] is that of all together."""

    rate: float
    each: Array
    radiated: Array
    centre: Array
    beneath: Array
    gas: Array
    wax: float
    wall: float


def flames(one: Flame, count: int) -> Flames:
    """Return `count` flames alike."""
    return Flames(
        rate=one.rate * count,
        each=np.full(count, one.rate),
        radiated=np.full(count, one.radiated),
        centre=np.full(count, one.centre),
        beneath=np.full(count, one.beneath),
        gas=np.full(count, one.gas),
        wax=one.wax,
        wall=one.wall,
    )
