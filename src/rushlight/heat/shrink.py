"""How wax sinks as it sets, and what it leaves behind: dip, pipe or hidden cavity.

Wax that freezes takes up less room. While the surface is open, liquid sinks to
make it good: each column of the surface is left behind at the level of the
moment it froze. Once the surface has closed, nothing sinks any more, and the
shrinkage of the liquid shut in becomes a cavity. Frozen only from the side this
gives the pipe h/h₀ = (r/R)^(2β); only from below, a flat top; only from above,
a cavity alone (observed so: Experimental Heat Transfer 3:239–255, 1990). A sunken
surface is taken to cool as the top of the pour does in the heat model, whose
grid keeps the shape of the hot pour.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rushlight.heat.enthalpy import Array, WaxThermal
from rushlight.heat.grid import Rings

CLOSED = 0.2  # liquid share below which a skin bears itself; own judgement
SKIN = 0.003  # a thinner skin sags with the liquid below it [m]; own judgement
SHUT = 0.05  # share of the surface still open when we call it closed; own judgement


@dataclass(frozen=True)
class Shrinkage:
    """What became of the surface.

    radius, surface [m]: middle of each column and the height it was left at;
    closes [s] or None; enclosed [kg]: liquid shut in then; cavity [m³] and how it
    grew with `times`; dip [m]: how deep the lowest column lies below the highest.
    """

    radius: Array
    surface: Array
    closes: float | None
    enclosed: float
    cavity: float
    growth: Array
    dip: float


def shrinkage(  # noqa: PLR0913 -- state, wax and grid
    *,
    rings: Rings,
    mass: Array,
    wax: WaxThermal,
    times: Array,
    liquid: Array,
    warm: Array,
    factor: float = 1.0,
) -> Shrinkage:
    """Follow the surface through frames of liquid share [1] and temperature [K].

    One row per time [s], each on the padded flat grid. mass [kg] of every ring; factor
    [1] on the shrinkage of freezing. That is
    β = ρ_solid/ρ_liquid − 1 at the solidus; liquid also contracts by its expansion
    coefficient as it cools.
    """
    shape = (-1, rings.stride)
    liquid = liquid.reshape(-1, rings.rows + 2, rings.stride)[:, 1:-1, 1:-1]
    warm = warm.reshape(-1, rings.rows + 2, rings.stride)[:, 1:-1, 1:-1]
    volume = rings.volume.reshape(shape)[1:-1, 1:-1]
    weight = mass.reshape(shape)[1:-1, 1:-1]
    step = _row_height(rings)
    area = volume[-1] / step
    solid_at = (1 + wax.expansion_solid * (wax.solidus - 293.15)) / wax.density_solid
    liquid_at = (1 + wax.expansion_liquid * (wax.solidus - wax.density_at)) / wax.density_liquid
    beta = factor * (liquid_at / solid_at - 1.0)
    level = rings.rows * step
    floor = step * np.arange(rings.rows)[:, None]
    near = np.clip((floor + step - level + SKIN) / step, 0.0, 1.0)  # the skin's rows
    surface = np.where(area > 0, level, np.nan)
    growth = np.zeros(len(times))
    shut = SHUT * float(area.sum())
    open_columns = area > 0
    closes: float | None = None
    enclosed = cavity = 0.0
    for n in range(len(times)):
        open_columns &= (near * liquid[n]).sum(axis=0) > CLOSED * near.sum()
        open_area = float(area[open_columns].sum())
        if n:
            wet = np.clip((level - floor) / step, 0.0, 1.0) * volume
            frozen = float(((liquid[n - 1] - liquid[n]) * wet).sum())
            cooled = (warm[n - 1] - warm[n]) * np.minimum(liquid[n], liquid[n - 1])
            lost = beta * frozen + wax.expansion_liquid * float((cooled * wet).sum())
            if closes is None and open_area >= shut:
                level = max(level - lost / open_area, 0.0)
            else:
                cavity += lost
        surface[open_columns] = level
        if closes is None and open_area < shut:
            closes = float(times[n])
            enclosed = float((liquid[n] * weight).sum())
        growth[n] = cavity
    cavity = max(cavity, 0.0)
    real = area > 0
    height = surface[real]
    columns = rings.radius.reshape(shape)[rings.rows, 1:-1][real]
    return Shrinkage(
        columns, height, closes, enclosed, cavity, growth, float(height.max() - height.min())
    )


def _row_height(rings: Rings) -> float:
    first = rings.height.reshape(-1, rings.stride)[1, 1]
    return float(2 * first)
