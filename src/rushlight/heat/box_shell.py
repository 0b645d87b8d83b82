"""The vessel of a box: a base under each column, and a wall in sectors round the outline.

The same shell as round the rings (`rushlight.heat.grid`), as a net instead of a chain:
heat runs up the wall and also round it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from rushlight.heat.box_plan import POINTS, Plan
from rushlight.heat.box_plane import Layer, Plane, gather, touched
from rushlight.heat.enthalpy import Array
from rushlight.heat.grid import BASE, RIM, SIDE, Index, Shell, Touch

WIDE = 1.5  # a sector of the wall is about so many cells wide


@dataclass(frozen=True)
class Net:
    """Links of the shell: nodes a and b, area over distance [m] between them."""

    a: Index
    b: Index
    link: Array


@dataclass(frozen=True)
class Outline:
    """The outline of width 1 in pieces: length [1] and middle x, y [1]; sector of each."""

    length: Array
    middle: Array
    sector: Index

    @cached_property
    def sectors(self) -> int:
        """How many sectors the wall has."""
        return int(self.sector.max()) + 1

    @cached_property
    def share(self) -> Array:
        """Length of outline in each sector [1], for a width of 1."""
        return np.asarray(np.bincount(self.sector, weights=self.length), dtype=np.float64)

    @cached_property
    def centre(self) -> Array:
        """Middle x, y of each sector [1], for a width of 1."""
        each = [self.middle[:, self.sector == s].mean(axis=1) for s in range(self.sectors)]
        return np.array(each).T


@dataclass(frozen=True)
class Sides:
    """Height [m] of the edges of the wall's layers, and inner width [m] there."""

    heights: Array
    widths: Array

    @cached_property
    def slant(self) -> Array:
        """Height of each layer measured on the wall [m]."""
        return np.hypot(np.diff(self.heights), 0.5 * np.diff(self.widths))

    @cached_property
    def mean(self) -> Array:
        """Mean inner width of each layer [m]."""
        return 0.5 * (self.widths[1:] + self.widths[:-1])


def outline(plan: Plan, width: float, dx: float) -> Outline:
    """Return the outline of a plan, in sectors alike in all four quarters."""
    points = plan.outline(1.0)
    ahead = np.roll(points, -1, axis=1)
    length = np.hypot(*(ahead - points))
    sectors = 4 * max(2, round(float(length.sum()) * width / (4.0 * WIDE * dx)))
    while POINTS % sectors:
        sectors += 4
    return Outline(length, 0.5 * (points + ahead), np.arange(POINTS) * sectors // POINTS)


def contacts(  # noqa: PLR0913, PLR0917 -- the measures of a contact
    stack: list[Layer], at: Plane, sides: Sides, line: Outline, feet: Index, dz: float
) -> Touch:
    """Return the contacts: the base under each column, then the wall by place and sector.

    feet: node of the base under each place, −1 where there is none; dz [m].
    """
    under = np.flatnonzero(feet >= 0)
    cells, nodes = [at.places + under], [feet[under]]
    areas, halves = [stack[0].area[under]], [np.full(len(under), 0.5 * dz)]
    for j, layer in enumerate(stack):
        length = line.length * sides.mean[j]
        place, far = touched(layer, line.middle * layer.width, at)
        keys, (long, weighed) = gather(place * line.sectors + line.sector, length, length * far)
        cells.append((j + 1) * at.places + keys // line.sectors)
        nodes.append(len(under) + j * line.sectors + keys % line.sectors)
        areas.append(long * sides.slant[j])
        halves.append(weighed / long)
    return Touch(
        np.concatenate(cells).astype(np.int64),
        np.concatenate(nodes).astype(np.int64),
        np.concatenate(areas),
        np.concatenate(halves),
    )


def shell(  # noqa: PLR0913 -- the measures of a shell
    floor: Layer,
    at: Plane,
    sides: Sides,
    line: Outline,
    feet: Index,
    *,
    wall: float,
    base: float,
    bare_from: int,
) -> tuple[Shell, Net]:
    """Return the nodes of base and wall, and their links.

    wall, base [m]: thickness; bare_from: first layer whose inside may lie bare.
    """
    under = np.flatnonzero(feet >= 0)
    count, sectors = len(under), line.sectors
    turn = 2.0 * np.pi * line.share / line.share.sum()
    place, away = touched(floor, line.middle * floor.width, at)
    bend = np.pi * line.length / line.length.sum() * wall**2
    ring = line.length * sides.widths[0] * wall + bend  # the wall stands on the base
    foot = floor.area[under] + np.bincount(feet[place], weights=ring, minlength=count)
    long = np.outer(sides.mean, line.share)
    layers = len(sides.mean)
    walls = count + np.arange(layers * sectors).reshape(layers, sectors)
    corner = line.length * sides.widths[0] / (away / base + 0.5 * sides.slant[0] / wall)
    keys, (joint,) = gather(feet[place] * sectors + line.sector, corner)
    rise = (np.outer(sides.widths[1:-1], line.share) + 0.5 * turn * wall) * wall
    rise /= 0.5 * (sides.slant[1:] + sides.slant[:-1])[:, None]
    apart = 0.5 * (long + np.roll(long, 1, axis=1)) + 0.5 * wall * turn
    links = [
        *_base_links(floor, at, feet, base),
        (keys // sectors, walls[0, keys % sectors], joint),
        (walls[:-1].ravel(), walls[1:].ravel(), rise.ravel()),
        (
            np.roll(walls, 1, axis=1).ravel(),
            walls.ravel(),
            (sides.slant[:, None] * wall / apart).ravel(),
        ),
    ]
    tall = sides.slant[:, None]
    rim = walls[bare_from:].ravel()
    middle = 0.5 * (sides.heights[1:] + sides.heights[:-1])
    kinds = [(BASE, count), (SIDE, walls.size), (RIM, len(rim))]
    made = Shell(
        volume=np.concatenate([foot * base, ((long + 0.5 * wall * turn) * wall * tall).ravel()]),
        link=np.zeros(count + walls.size),
        half=np.concatenate([np.full(count, 0.5 * base), np.full(walls.size, 0.5 * wall)]),
        node=np.concatenate([np.arange(count), walls.ravel(), rim]).astype(np.int64),
        area=np.concatenate(
            [foot, ((long + wall * turn) * tall).ravel(), (long * tall)[bare_from:].ravel()]
        ),
        air=np.concatenate([np.full(size, kind) for kind, size in kinds]),
        height=np.concatenate([np.full(count, -base), np.repeat(middle, sectors)]),
        inner=np.concatenate(
            [np.hypot(at.x[under], at.y[under]), 0.5 * np.repeat(sides.mean, sectors)]
        ),
    )
    a, b, link = (np.concatenate(column) for column in zip(*links, strict=True))
    return made, Net(a.astype(np.int64), b.astype(np.int64), link)


def _base_links(
    floor: Layer, at: Plane, feet: Index, base: float
) -> list[tuple[Index, Index, Array]]:
    links = []
    for step in (1, at.pitch):
        here = np.flatnonzero(feet >= 0)
        here = here[feet[here - step] >= 0]
        there = here - step
        joined = np.minimum(floor.area[here], floor.area[there]) / at.dx**2
        links.append((feet[there], feet[here], np.minimum(joined, 1.0) * base))
    return links
