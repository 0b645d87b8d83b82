"""A candle as numbers a kernel can march in time: arrays in one named tuple.

The state is one flat vector y: the specific enthalpy h [J/kg] of every ring
(padded grid), the temperature [K] of every shell node, and the heat [J] given
to each kind of air so far. Mass × h + capacity × T + heat given is constant
to rounding when nothing heats the candle: the energy books.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from rushlight.heat.enthalpy import HINGES, Array, Curve
from rushlight.heat.grid import AIRS, Grid, Index

TABLE_STEP = 1.0  # of the flux tables [K]
TABLE_BELOW = 100  # rows below the ambient, which lies on a row so that its flux is 0
TABLE_ROWS = 800  # up to 700 K above the ambient


@dataclass(frozen=True)
class ShellFacts:
    """What a vessel is made of: density [kg/m³], heat capacity [J/(kg K)], k [W/(m K)].

    emissivity [1] of its outside.
    """

    density: float
    heat: float
    conduct: float
    emissivity: float


@dataclass(frozen=True)
class Air:
    """Flux [W/m²] out of a surface, row by row of its table, and the ambient [K]."""

    flux: Array
    ambient: float


class Parts(NamedTuple):
    """The arrays of one candle; see `rushlight.heat.grid` for their meaning.

    source [W] for every ring and node; rate: links over mass of the stiffest ring
    [m/kg] and the stiffest node [1/s], which bound the stable time step; climb is
    the largest dθ/dh up to each piece of the curve.
    """

    cells: int
    stride: int
    nodes: int
    across: Array
    up: Array
    mass: Array
    lightness: Array  # 1/mass, 0 outside the vessel
    link: Array
    capacity: Array
    touch_cell: Index
    touch_node: Index
    touch_area: Array
    touch_half: Array
    touch_wall: Array  # resistance of half the wall [m² K/W]
    open_cell: Index
    open_area: Array
    open_half: Array
    open_air: Index
    bare_node: Index
    bare_area: Array
    bare_air: Index
    flux: Array
    flux_start: Array  # temperature of the first column of each row of `flux` [K]
    flux_step: float  # [K]
    ambient: Array
    source: Array
    bends: Array
    to_kelvin: Array
    to_potential: Array
    conduct: Array
    climb: Array
    rate: Array


def constant_air(coefficient: float, ambient: float) -> Air:
    """Return air that takes h (T − T∞) [W/m²], h [W/(m² K)], T∞ [K]."""
    return air_from(lambda t: coefficient * (t - ambient), ambient)


def air_from(flux: Callable[[Array], Array], ambient: float) -> Air:
    """Return the table of a flux law [W/m²] of surface temperature [K]."""
    steps: Array = np.arange(TABLE_ROWS, dtype=np.float64) - TABLE_BELOW
    table: Array = np.array(flux(ambient + TABLE_STEP * steps), dtype=np.float64)
    table[TABLE_BELOW] = 0.0
    return Air(table, ambient)


def assemble(
    grid: Grid,
    line: Curve,
    *,
    density: float,
    shell: ShellFacts | None,
    airs: tuple[Air, Air, Air, Air],
) -> Parts:
    """Return the arrays of a candle.

    density [kg/m³]: mass of wax per volume of grid, the same all through the
    run (the grid keeps the shape of the hot pour); airs by `grid.SIDE` … `RIM`.
    """
    rings = grid.rings
    mass = density * rings.volume
    lightness = np.divide(1.0, mass, out=np.zeros_like(mass), where=mass > 0)
    facts = shell or ShellFacts(1.0, 1.0, 1.0, 0.0)
    capacity = facts.density * facts.heat * grid.shell.volume
    link = np.append(facts.conduct * grid.shell.link, 0.0)
    wall = grid.shell.half[grid.touch.node] / facts.conduct
    k_most = float(line.pieces.max())
    flux = np.array([air.flux for air in airs])
    return Parts(
        cells=len(mass),
        stride=rings.stride,
        nodes=len(capacity),
        across=np.append(rings.across, 0.0),
        up=np.append(rings.up, np.zeros(rings.stride)),
        mass=mass,
        lightness=lightness,
        link=link,
        capacity=capacity,
        touch_cell=grid.touch.cell,
        touch_node=grid.touch.node,
        touch_area=grid.touch.area,
        touch_half=grid.touch.half,
        touch_wall=wall,
        open_cell=grid.open.cell,
        open_area=grid.open.area,
        open_half=grid.open.half,
        open_air=grid.open.air,
        bare_node=grid.shell.node,
        bare_area=grid.shell.area,
        bare_air=grid.shell.air,
        flux=flux,
        flux_start=np.array([air.ambient - TABLE_BELOW * TABLE_STEP for air in airs]),
        flux_step=TABLE_STEP,
        ambient=np.array([air.ambient for air in airs]),
        source=np.zeros(len(mass) + len(capacity)),
        bends=line.hinges[0].copy(),
        to_kelvin=line.hinges[1].copy(),
        to_potential=line.hinges[2].copy(),
        conduct=_padded(line.pieces),
        climb=_padded(np.maximum.accumulate(np.diff(line.potentials) / np.diff(line.enthalpies))),
        rate=np.array(
            [
                _rate_cells(grid, lightness),
                _rate_nodes(grid, link, capacity, wall, flux, k_most),
            ]
        ),
    )


def _padded(pieces: Array) -> Array:
    full = np.full(HINGES + 1, pieces[-1])
    full[: len(pieces)] = pieces
    return full


def _rate_cells(grid: Grid, lightness: Array) -> float:
    rings = grid.rings
    links = rings.across + rings.up
    links = links + np.append(rings.across[1:], 0.0)
    links = links + np.append(rings.up[rings.stride :], np.zeros(rings.stride))
    for part in (grid.touch, grid.open):
        np.add.at(links, part.cell, part.area / part.half)
    return float(np.max(links * lightness))


def _rate_nodes(  # noqa: PLR0913, PLR0917 -- all that touches a node
    grid: Grid, link: Array, capacity: Array, wall: Array, flux: Array, k_most: float
) -> float:
    if not len(capacity):
        return 0.0
    rate = link[:-1] + link[1:]
    np.add.at(rate, grid.touch.node, grid.touch.area / (grid.touch.half / k_most + wall))
    steep = (
        np.max(np.diff(flux[:, :400], axis=1), axis=1) / TABLE_STEP
    )  # up to 300 K above the ambient
    np.add.at(rate, grid.shell.node, grid.shell.area * steep[grid.shell.air])
    return float(np.max(rate / capacity))


def start_state(parts: Parts, *, enthalpy: Array | float, shell: Array | float) -> Array:
    """Return y with every ring at h [J/kg] and every shell node at T [K]."""
    y = np.zeros(parts.cells + parts.nodes + AIRS)
    y[: parts.cells] = np.where(parts.mass > 0, enthalpy, 0.0)
    y[parts.cells : parts.cells + parts.nodes] = shell
    return y


def heat_content(parts: Parts, y: Array) -> float:
    """Return the heat [J] in wax and vessel, and given to the air so far."""
    wax = float(parts.mass @ y[: parts.cells])
    vessel = float(parts.capacity @ y[parts.cells : parts.cells + parts.nodes])
    return wax + vessel + float(y[parts.cells + parts.nodes :].sum())
