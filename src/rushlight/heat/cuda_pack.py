"""Many candles side by side in arrays of one shape, for a graphics card."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from rushlight.errors import BadInput
from rushlight.heat.enthalpy import Array
from rushlight.heat.grid import AIRS, Index
from rushlight.heat.system import Parts

ROOM = 1200
"""Longest state y a block has room for: five of them, as doubles, fill 48 kB of shared memory."""


class Pack(NamedTuple):
    """`Parts` of many candles, the candle first; each array padded to the largest of them.

    size: cells, stride, nodes, touches, open and bare faces; cell: across, up, lightness;
    node: link, capacity; touch: area, half, wall, and two places; open: area, half, and two
    places; bare: area, and two places; lines: bends, to_kelvin, to_potential; pieces:
    conduct, climb; flux, with its start and the ambient of each air in `air`; rate.
    """

    size: Index
    cell: Array
    node: Array
    touch: Array
    touch_at: Index
    open: Array
    open_at: Index
    bare: Array
    bare_at: Index
    lines: Array
    pieces: Array
    flux: Array
    air: Array
    rate: Array


def pack(candles: Sequence[Parts]) -> Pack:
    """Return candles side by side. Raises BadInput for one too large for a block."""
    for n, p in enumerate(candles):
        length = p.cells + p.nodes + AIRS
        if length > ROOM:
            raise BadInput.one(
                f"The candle has {length} cells; a block has room for {ROOM}.",
                "Take coarser cells, or run it on the processor.",
                f"cases.{n}.cells",
            )
    return Pack(
        size=np.array(
            [
                [p.cells, p.stride, p.nodes, *map(len, (p.touch_cell, p.open_cell, p.bare_node))]
                for p in candles
            ]
        ),
        cell=_padded([np.stack([p.across[:-1], p.up[: p.cells], p.lightness]) for p in candles]),
        node=_padded([np.stack([p.link[:-1], p.capacity]) for p in candles]),
        touch=_padded([np.stack([p.touch_area, p.touch_half, p.touch_wall]) for p in candles]),
        touch_at=_places([np.stack([p.touch_cell, p.touch_node]) for p in candles]),
        open=_padded([np.stack([p.open_area, p.open_half]) for p in candles]),
        open_at=_places([np.stack([p.open_cell, p.open_air]) for p in candles]),
        bare=_padded([p.bare_area[None] for p in candles]),
        bare_at=_places([np.stack([p.bare_node, p.bare_air]) for p in candles]),
        lines=np.array([[p.bends, p.to_kelvin, p.to_potential] for p in candles]),
        pieces=np.array([[p.conduct, p.climb] for p in candles]),
        flux=np.array([p.flux for p in candles]),
        air=np.array([[p.flux_start, p.ambient] for p in candles]),
        rate=np.array([p.rate for p in candles]),
    )


def _padded(rows: Sequence[Array]) -> Array:
    longest = max(1, *(row.shape[1] for row in rows))
    whole = np.zeros((len(rows), rows[0].shape[0], longest))
    for place, row in zip(whole, rows, strict=True):
        place[:, : row.shape[1]] = row
    return whole


def _places(rows: Sequence[Index]) -> Index:
    return _padded([row.astype(float) for row in rows]).astype(np.int64)
