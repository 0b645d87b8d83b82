"""Burn a candle and let it cool, session by session: states, log and books."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from rushlight.candle.profile import Profile
from rushlight.errors import BadInput, Problems, SolverError
from rushlight.heat.columns import LOG, Columns, Flame, stack
from rushlight.heat.enthalpy import Array, Curve, WaxThermal, check, curve
from rushlight.heat.flame import GRAMS_PER_HOUR, OUT, conducted, flame
from rushlight.heat.grid import Grid, Sinks, vessel_grid
from rushlight.heat.march import Engine
from rushlight.heat.surroundings import MATERIALS, Place, Sway, airs
from rushlight.heat.system import Parts, assemble, heat_content, start_state

MIXED = 9.0
"""Factor on the conductivity of the melt across the pool, for its surface flow.
CALIBRATED, the one constant that is: to the 2 h pool diameters of a wick rating chart in
free-standing paraffin of 60 °C (12 points, 1.5 mm grid). That chart is then no
independent check of pool size, only of its slope against burn rate."""
LAYERED = 1.0  # the same upwards: a pool heated from above lies in layers and does not turn over
HEEL = 0.0127  # wax left in a container at the end of its life [m]: 1/2 in, common practice
STEP, REST = 20.0, 60.0  # between flows, burning and cooling [s]
CELL = 0.002  # ring width [m]
FASTEST, SLOWEST = 15.0, 0.5  # burn rates of one wick taken [g/h]


@dataclass(frozen=True, kw_only=True)
class Burning:
    """A set candle with one wick in the middle.

    profile inside; fill [m]: height of the set wax; wall, base [m]; material (a key of
    `surroundings.MATERIALS`); wax; density [kg/m³] of the set wax with its pores;
    rate [kg/s]: fuel the wick burns; place; core: what the wick's core is made of.
    """

    profile: Profile
    fill: float
    wall: float
    base: float
    material: str
    wax: WaxThermal
    density: float
    rate: float
    place: Place = field(default_factory=Place)
    core: str = "none"

    def check(self) -> None:
        """Refuse what cannot be, every reason at once."""
        found = Problems()
        for part in (self.place.check, lambda: check(self.wax)):
            try:
                part()
            except BadInput as bad:
                found.extend(bad.problems)
        if self.material not in MATERIALS:
            found.add(
                "vessel.material",
                f"No heat facts are known for “{self.material}”.",
                f"Take one of: {', '.join(MATERIALS)}.",
            )
        if not SLOWEST <= self.rate / GRAMS_PER_HOUR <= FASTEST:
            found.add(
                "wick.rate",
                f"No wick burns {self.rate / GRAMS_PER_HOUR:.1f} g/h.",
                f"Give {SLOWEST} to {FASTEST} g/h for one wick; 3 to 7 is usual.",
            )
        if not 500 <= self.density <= 1200:  # noqa: PLR2004 -- waxes lie between
            found.add("wax.density", "No wax is so dense or so light.", "Give 800–1000 kg/m³.")
        if self.place.room > self.wax.solidus - 5.0:
            found.add("place.room", "In a room this warm the wax is soft.", "Give a cooler room.")
        found.check()


@dataclass(frozen=True, slots=True)
class BurnDoubt:
    """One draw of what is uncertain: factors [1]."""

    sway: Sway = field(default_factory=Sway)
    latent: float = 1.0
    conduct: float = 1.0
    mixed: float = 1.0
    radiated: float = 1.0
    beneath: float = 1.0
    gas: float = 1.0


@dataclass
class Candle:
    """A candle being burnt: what changes is y, mass, and the tops of the columns."""

    burning: Burning
    grid: Grid
    parts: Parts
    columns: Columns
    line: Curve
    flame: Flame
    y: Array
    mass: Array
    heel: float
    books: Array
    at_start: float


@dataclass(frozen=True)
class Session:
    """A stretch of burning or cooling.

    times [s] from its start; log: rows as `kernel_burn.measure` fills them; frames
    and masses: y and ring masses at the same times. ended: the heel was reached.
    """

    times: Array
    log: Array
    frames: Array
    masses: Array
    ended: bool


def build(
    burning: Burning, *, cell: float = CELL, doubt: BurnDoubt | None = None, heel: float = HEEL
) -> Candle:
    """Return a cold, full candle on rings of about `cell` [m]; heel [m] ends its life."""
    burning.check()
    doubt = doubt or BurnDoubt()
    shell = MATERIALS[burning.material]
    wax = burning.wax.scaled(latent=doubt.latent, conduct=doubt.conduct)
    line = curve(wax, mixing=MIXED * doubt.mixed)
    calm = curve(wax, mixing=min(LAYERED, MIXED * doubt.mixed))
    widest = max(float(s.diameter) for s in burning.profile.stations)
    grid = vessel_grid(
        burning.profile,
        fill=burning.fill,
        wall=burning.wall,
        base=burning.base,
        columns=max(4, round(0.5 * widest / cell)),
        rows=max(4, round(burning.fill / cell)),
        sinks=Sinks.SINKS,
    )
    depth = float(burning.profile.depth)
    faces = airs(
        burning.place,
        shell,
        diameter=widest + 2 * burning.wall,
        height=depth + burning.base,
        rim=depth - burning.fill,
        sway=doubt.sway,
    )
    parts = assemble(grid, line, density=burning.density, shell=shell, airs=faces)
    room = burning.place.room
    y = start_state(parts, enthalpy=line.enthalpy(room), shell=room)
    lit = flame(
        burning.rate,
        wax.burning_heat,
        beneath=doubt.beneath,
        radiated=doubt.radiated,
        conducted=conducted(burning.rate, wax.heat_liquid, burning.core),
    )
    low = float(burning.profile.volume_below(min(heel, burning.fill)))  # type: ignore[arg-type]
    return Candle(
        burning,
        grid,
        parts,
        stack(grid, parts, line, calm, wax),
        line,
        lit._replace(gas=lit.gas * doubt.gas),
        y,
        parts.mass.copy(),
        low * burning.density,
        np.zeros(3),
        heat_content(parts, y),
    )


def session(
    candle: Candle,
    seconds: float,
    *,
    lit: Flame | None = None,
    every: float = 120.0,
    engine: Engine = Engine.COMPILED,
) -> Session:
    """Burn (or cool, with `flame.OUT`) for `seconds`, changing the candle in place.

    lit: its own flame unless said. Raises SolverError when mass or heat is lost.
    """
    f = candle.flame if lit is None else lit
    count = max(1, round(seconds / every))
    times = np.linspace(seconds / count, seconds, count)
    frames = np.zeros((count, len(candle.y)))
    masses = np.zeros((count, len(candle.mass)))
    log = np.zeros((count, LOG))
    if engine is Engine.COMPILED:
        from rushlight.heat.kernel_burn import burn as run
    else:
        from rushlight.heat.twin_burn import burn as run
    done = run(
        candle.y,
        candle.mass,
        candle.parts,
        candle.columns,
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


def _audit(candle: Candle) -> None:
    fuel, carried, fed = candle.books
    start = candle.columns.full[candle.grid.rings.volume > 0].sum()
    mass = abs(candle.mass.sum() + fuel - start) / start
    heat = heat_content(candle.parts._replace(mass=candle.mass), candle.y) + carried - fed
    error = abs(heat - candle.at_start) / candle.at_start
    if not (mass <= 1e-9 and error <= 1e-9):  # noqa: PLR2004 -- NaN fails too
        raise SolverError("The books of the burn do not close.", {"mass": mass, "heat": error})


def rested(seconds: float = 3 * 3600.0) -> tuple[Flame, float]:
    """Return the flame and length of a rest between two burns [s]."""
    return OUT, seconds


def at_rate(burning: Burning, grams_per_hour: float) -> Burning:
    """Return the same candle with another wick [g/h]."""
    return replace(burning, rate=grams_per_hour * GRAMS_PER_HOUR)
