"""Burn a candle of any plan and let it cool, session by session: states, log and books."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rushlight.errors import SolverError
from rushlight.heat.box_columns import LOG, Bed, Flames, Wicks, bed, flames
from rushlight.heat.box_grid import BoxGrid, box_grid
from rushlight.heat.box_plan import Plan
from rushlight.heat.box_system import Block, block
from rushlight.heat.burn_run import HEEL, LAYERED, MIXED, REST, STEP, BurnDoubt, Burning, Session
from rushlight.heat.enthalpy import Array, Curve, curve
from rushlight.heat.flame import OUT, conducted, flame
from rushlight.heat.grid import Sinks
from rushlight.heat.march import Engine
from rushlight.heat.surroundings import MATERIALS, airs
from rushlight.heat.system import heat_content, start_state

CELL = 0.004  # width of a cell [m]


@dataclass
class BoxCandle:
    """A candle being burnt: what changes is y, mass, and the tops of the columns."""

    burning: Burning
    plan: Plan
    wicks: Wicks
    box: BoxGrid
    block: Block
    bed: Bed
    line: Curve
    flames: Flames
    y: Array
    mass: Array
    heel: float
    books: Array
    at_start: float


def build(  # noqa: PLR0913 -- a candle and how finely to see it
    burning: Burning,
    plan: Plan,
    wicks: Wicks,
    *,
    cell: float = CELL,
    doubt: BurnDoubt | None = None,
    heel: float = HEEL,
) -> BoxCandle:
    """Return a cold, full candle; each of the `wicks` at x, y [m] burns `burning.rate`."""
    burning.check()
    doubt = doubt or BurnDoubt()
    shell = MATERIALS[burning.material]
    wax = burning.wax.scaled(latent=doubt.latent, conduct=doubt.conduct)
    line = curve(wax, mixing=MIXED * doubt.mixed)
    calm = curve(wax, mixing=min(LAYERED, MIXED * doubt.mixed))
    box = box_grid(
        burning.profile,
        plan,
        fill=burning.fill,
        wall=burning.wall,
        base=burning.base,
        cell=cell,
        sinks=Sinks.SINKS,
    )
    widest = max(float(s.diameter) for s in burning.profile.stations)
    depth = float(burning.profile.depth)
    faces = airs(
        burning.place,
        shell,
        diameter=plan.hydraulic(widest) + 2 * burning.wall,
        height=depth + burning.base,
        rim=depth - burning.fill,
        sway=doubt.sway,
    )
    q = block(box, line, density=burning.density, shell=shell, airs=faces)
    room = burning.place.room
    y = start_state(q.parts, enthalpy=line.enthalpy(room), shell=room)
    lit = flame(
        burning.rate,
        wax.burning_heat,
        beneath=doubt.beneath,
        radiated=doubt.radiated,
        conducted=conducted(burning.rate, wax.heat_liquid, burning.core),
    )
    low = float(burning.profile.volume_below(min(heel, burning.fill)))  # type: ignore[arg-type]
    return BoxCandle(
        burning,
        plan,
        wicks,
        box,
        q,
        bed(box, q, line, calm, wax, wicks),
        line,
        flames(lit._replace(gas=lit.gas * doubt.gas), len(wicks)),
        y,
        q.parts.mass.copy(),
        low * plan.of_round * burning.density,
        np.zeros(3),
        heat_content(q.parts, y),
    )


def session(
    candle: BoxCandle,
    seconds: float,
    *,
    lit: Flames | None = None,
    every: float = 120.0,
    engine: Engine = Engine.COMPILED,
) -> Session:
    """Burn (or cool, with `out`) for `seconds`, changing the candle in place.

    lit: its own flames unless said. Raises SolverError when mass or heat is lost.
    """
    f = candle.flames if lit is None else lit
    count = max(1, round(seconds / every))
    times = np.linspace(seconds / count, seconds, count)
    frames = np.zeros((count, len(candle.y)))
    masses = np.zeros((count, len(candle.mass)))
    log = np.zeros((count, LOG + len(candle.wicks)))
    if engine is Engine.COMPILED:
        from rushlight.heat.kernel_box_burn import burn as run
    else:
        from rushlight.heat.twin_box_burn import burn as run
    done = run(
        candle.y,
        candle.mass,
        candle.block,
        candle.bed,
        f,
        times,
        STEP if f.rate > 0 else REST,
        candle.heel,
        frames,
        masses,
        log,
        candle.books,
    )
    if done < 0:
        raise SolverError("The burn became too stiff to follow.", {"seconds": seconds})
    _audit(candle)
    return Session(times[:done], log[:done], frames[:done], masses[:done], done < count)


def out(candle: BoxCandle) -> Flames:
    """Return the flames put out, for a rest."""
    return flames(OUT, len(candle.wicks))


def _audit(candle: BoxCandle) -> None:
    fuel, carried, fed = candle.books
    start = candle.bed.c.full[candle.box.grid.rings.volume > 0].sum()
    mass = abs(candle.mass.sum() + fuel - start) / start
    heat = heat_content(candle.block.parts._replace(mass=candle.mass), candle.y) + carried - fed
    error = abs(heat - candle.at_start) / candle.at_start
    if not (mass <= 1e-9 and error <= 1e-9):  # noqa: PLR2004 -- NaN fails too
        raise SolverError("The books of the burn do not close.", {"mass": mass, "heat": error})
