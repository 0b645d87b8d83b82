"""A candle of any plan as numbers a kernel can march: `system.Parts`, and what it lacks."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rushlight.heat.box_grid import BoxGrid
from rushlight.heat.enthalpy import Array, Curve
from rushlight.heat.grid import Index
from rushlight.heat.system import TABLE_STEP, Air, Parts, ShellFacts, assemble

HOTTEST_ROW = 400  # of the flux tables, up to which a shell may come: 300 K above the room


class Block(NamedTuple):
    """The arrays of one candle: those it shares with rings, and its own.

    along: as `Parts.across`, to the place `pitch` before; a, b, link [W/K]: the net of
    the shell, whose chain in `Parts.link` is empty.
    """

    parts: Parts
    pitch: int
    along: Array
    a: Index
    b: Index
    link: Array


def block(
    box: BoxGrid,
    line: Curve,
    *,
    density: float,
    shell: ShellFacts,
    airs: tuple[Air, Air, Air, Air],
) -> Block:
    """Return the arrays of a candle; density [kg/m³] and airs as in `system.assemble`."""
    parts = assemble(box.grid, line, density=density, shell=shell, airs=airs)
    link = shell.conduct * box.net.link
    along = np.append(box.along, np.zeros(box.at.pitch))
    rate = np.array([_rate_cells(box, parts, along), _rate_nodes(box, parts, link, line)])
    return Block(parts._replace(rate=rate), box.at.pitch, along, box.net.a, box.net.b, link)


def _rate_cells(box: BoxGrid, parts: Parts, along: Array) -> float:
    pitch, stride = box.at.pitch, parts.stride
    links = parts.across[:-1] + parts.across[1:] + parts.up[:-stride] + parts.up[stride:]
    links = links + along[:-pitch] + along[pitch:]
    for face in (box.grid.touch, box.grid.open):
        np.add.at(links, face.cell, face.area / face.half)
    return float(np.max(links * parts.lightness))


def _rate_nodes(box: BoxGrid, parts: Parts, link: Array, line: Curve) -> float:
    rate = np.zeros(parts.nodes)
    np.add.at(rate, box.net.a, link)
    np.add.at(rate, box.net.b, link)
    touch = box.grid.touch
    resistance = touch.half / float(line.pieces.max()) + parts.touch_wall
    np.add.at(rate, touch.node, touch.area / resistance)
    steep = np.diff(parts.flux[:, :HOTTEST_ROW], axis=1).max(axis=1) / TABLE_STEP
    np.add.at(rate, parts.bare_node, parts.bare_area * steep[parts.bare_air])
    return float(np.max(rate / parts.capacity))
