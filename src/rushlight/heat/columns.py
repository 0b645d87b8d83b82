"""A candle as columns of rings, for the burn: what stands where, and the flame above it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rushlight.errors import BadInput
from rushlight.heat.enthalpy import Array, Curve, WaxThermal
from rushlight.heat.grid import RIM, Grid, Index
from rushlight.heat.system import Parts

LOG = 8  # entries of a log row, see `kernel_burn.measure`
FLOWS = 0.5  # liquid share from which wax runs; own judgement


class Columns(NamedTuple):
    """The candle as columns, and what its arrays are when every ring is full.

    first, cap: lowest and highest row of each column; top: its top row now, -1 when
    empty. step [m]: height of a row; edge [m]: outer radius of each ring; full [kg];
    solid_at, flows_at [J/kg]: enthalpy up to which wax is solid, from which it flows.
    calm: hinges of the potential upwards, as `Parts.to_potential` is of that across.
    across … bare: as in `Parts`.
    wall_row: row of each shell node, −1 for the base; inner [m]: inner radius there;
    inside: place in `bare` of the inner face of each shell node, −1 for the base.
    """

    columns: int
    rows: int
    stride: int
    first: Index
    cap: Index
    top: Index
    step: float
    edge: Array
    full: Array
    solid_at: float
    flows_at: float
    calm: Array
    across: Array
    up: Array
    touch_area: Array
    touch_half: Array
    bare_area: Array
    open_area: Array
    wall_row: Index
    inner: Array
    inside: Index


class Flame(NamedTuple):
    """The flame: rate [kg/s], radiated [W] and centre [m] above the pool.

    beneath [W] goes into the pool within `foot` [m] of the wick; gas [W] to each diameter's
    depth of wall above the wax; wax, wall [1] absorb.
    """

    rate: float
    radiated: float
    centre: float
    beneath: float
    foot: float
    gas: float
    wax: float
    wall: float


def stack(grid: Grid, parts: Parts, line: Curve, calm: Curve, wax: WaxThermal) -> Columns:
    """Return the columns of a full candle. Raises BadInput for a waisted vessel.

    line, calm: the wax's curve with the melt mixed as it is across, and upwards.
    """
    rings = grid.rings
    there = rings.volume.reshape(-1, rings.stride)[1:-1, 1:-1] > 0
    first = there.argmax(axis=0)
    cap = rings.rows - 1 - there[::-1].argmax(axis=0)
    if np.any(there.sum(axis=0) != cap - first + 1):
        raise BadInput.one(
            "The vessel narrows and widens again.",
            "The burn model takes vessels with one belly; leave the waist out of the profile.",
            "vessel.profile",
        )
    shell = grid.shell
    inside = np.full(parts.nodes, -1)
    faces = np.flatnonzero(parts.bare_air == RIM)
    inside[parts.bare_node[faces]] = faces
    wall = shell.height >= 0
    step = float(2 * rings.height.reshape(-1, rings.stride)[1, 1])
    row = np.where(wall, np.round(shell.height / step - 0.5), -1).astype(np.int64)
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
        step=step,
        edge=rings.outer.copy(),
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
        wall_row=row,
        inner=shell.inner.copy(),
        inside=inside,
    )
