"""How a candle of any plan sets: `rushlight.heat.set` in three dimensions, on coarser cells.

The figures and their meaning are those of `set.SetFigures`; where the wax freezes last is
told as a place x, y and height.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from rushlight.errors import Refused, SolverError
from rushlight.heat.box_grid import BoxGrid, box_grid
from rushlight.heat.box_plan import ROUND, Plan
from rushlight.heat.box_system import Block, block
from rushlight.heat.ensemble import Spread, doubts, spread
from rushlight.heat.enthalpy import Array, curve, specific_volume
from rushlight.heat.grid import Sinks
from rushlight.heat.march import Engine, March, Pace
from rushlight.heat.set import (
    EARLY,
    EVERY,
    HORIZON,
    HOTTER,
    LONGEST,
    NOTABLE,
    OFTEN,
    SHARPNESS,
    SetFigures,
    _all_set,
    _read,
    _Run,
    _weights_of_last,
    _words,
)
from rushlight.heat.setting import Doubt, Poured, Setting, shell_of
from rushlight.heat.surroundings import Sway, airs
from rushlight.heat.system import Air, heat_content, start_state

CELL = 0.004  # width of a cell [m]
COARSE = 0.006  # and on the members' grid
MEMBERS = 5


@dataclass(frozen=True)
class BoxFrames:
    """What the eyes see: temperature [K] and liquid share [1], times × layers × lines × columns.

    NaN outside the wax. times [s]; x, y, height [m]: middles of the cells; shell [K]: of
    every node of the vessel.
    """

    times: Array
    temperature: Array
    liquid: Array
    x: Array
    y: Array
    height: Array
    shell: Array


@dataclass(frozen=True)
class BoxSetForecast:
    """A forecast of setting, as `set.SetForecast`.

    last [m]: x, y and height where it freezes last; surface [m]: the top it is left
    with, lines × columns, NaN outside.
    """

    figures: SetFigures
    spreads: dict[str, Spread]
    sinkhole: float
    relief_pour: float
    last: tuple[float, float, float]
    surface: Array
    frames: BoxFrames
    books: float
    words: tuple[str, ...]


@dataclass(frozen=True)
class BoxRun:
    """One run: what `set.once` tells, and where it happened."""

    figures: SetFigures
    last: tuple[float, float, float]
    surface: Array
    frames: BoxFrames
    books: float


@dataclass(frozen=True)
class BoxPoured:
    """A setting made into arrays: as `setting.Poured`, with the block and its grid."""

    poured: Poured
    block: Block
    box: BoxGrid


def pour(setting: Setting, plan: Plan, *, cell: float, doubt: Doubt | None = None) -> BoxPoured:
    """Return the arrays of a poured jar of a plan, on cells of about `cell` [m]."""
    setting.check()
    doubt = doubt or Doubt()
    wax = setting.wax.scaled(latent=doubt.latent, conduct=doubt.conduct)
    wax = wax.shifted(-wax.undercooling * doubt.undercooling)
    line = curve(wax, mixing=doubt.mixing)
    box = box_grid(
        setting.profile,
        plan,
        fill=setting.fill,
        wall=setting.wall,
        base=setting.base,
        cell=cell,
        sinks=Sinks.STAYS,
    )
    hot = line.enthalpy(setting.pour)
    density = 1.0 / float(specific_volume(wax, line, np.asarray(hot)))
    q = block(
        box,
        line,
        density=density,
        shell=shell_of(setting.material),
        airs=surroundings(setting, plan, doubt.sway),
    )
    state = start_state(q.parts, enthalpy=hot, shell=setting.vessel)
    return BoxPoured(Poured(wax, line, box.grid, q.parts, state), q, box)


def surroundings(setting: Setting, plan: Plan, sway: Sway) -> tuple[Air, Air, Air, Air]:
    """Return the flux laws about a vessel, of a round one as wide for its outline."""
    depth = float(setting.profile.depth)
    widest = max(float(s.diameter) for s in setting.profile.stations)
    return airs(
        setting.place,
        shell_of(setting.material),
        diameter=plan.hydraulic(widest) + 2 * setting.wall,
        height=depth + setting.base,
        rim=depth - setting.fill,
        sway=sway,
    )


def march(
    q: Block,
    state: Array,
    times: Array,
    *,
    pace: Pace | None = None,
    engine: Engine = Engine.COMPILED,
) -> March:
    """Return the states of a block at `times` [s], rising; see `rushlight.heat.march`."""
    pace = pace or Pace()
    frames = np.empty((len(times), len(state)))
    clock = np.ascontiguousarray(times, dtype=float)
    if engine is Engine.COMPILED:
        from rushlight.heat.kernel_box import march as run
    else:
        from rushlight.heat.twin_box import march as run
    stages = run(state.copy(), clock, q, pace.least, pace.growth, pace.most, frames)
    if stages < 0:
        raise SolverError("The setting became too stiff to follow.", {"most": pace.most})
    before = heat_content(q.parts, state)
    errors = [abs(heat_content(q.parts, frame) / before - 1.0) for frame in frames]
    books = max(errors, default=0.0)
    if not books <= 1e-9:  # noqa: PLR2004 -- the promise of every march; NaN fails too
        raise SolverError("The heat books do not close.", {"books": books, "stages": stages})
    return March(clock, frames, books, stages)


def once(  # noqa: PLR0913 -- a jar and how finely to see it
    setting: Setting,
    plan: Plan = ROUND,
    *,
    cell: float = CELL,
    doubt: Doubt | None = None,
    engine: Engine = Engine.COMPILED,
    pace: Pace | None = None,
) -> BoxRun:
    """Return one run of setting on cells of about `cell` [m]; the profile gives the width."""
    doubt = doubt or Doubt()
    ready = pour(setting, plan, cell=cell, doubt=doubt)
    times, frames = np.zeros(1), ready.poured.state[None, :]
    books, span = 0.0, HORIZON
    while not _all_set(ready.poured, frames[-1]):
        if times[-1] >= LONGEST:
            raise Refused("It does not set within two days; try a cooler room.")
        clock = np.arange(EVERY, span + 1.0, EVERY)
        if len(times) == 1:
            clock = np.concatenate([np.arange(OFTEN, EARLY, OFTEN), clock[clock >= EARLY]])
        further = march(ready.block, frames[-1], clock, pace=pace, engine=engine)
        books = max(books, further.books)
        frames = np.concatenate([frames, further.frames])
        times = np.concatenate([times, times[-1] + clock])
        span = 0.5 * HORIZON
    return _placed(ready, _read(ready.poured, times, frames, books, doubt), frames)


def forecast(
    setting: Setting,
    plan: Plan = ROUND,
    *,
    members: int = MEMBERS,
    cell: float = CELL,
    coarse: float = COARSE,
) -> BoxSetForecast:
    """Return how a jar of a plan sets, with spreads from `members` runs on `coarse` [m] cells.

    Raises BadInput for what cannot be and Refused when it does not set within 48 h.
    """
    run = once(setting, plan, cell=cell)
    others = [once(setting, plan, cell=coarse, doubt=d).figures for d in doubts(members)]
    centre = once(setting, plan, cell=coarse).figures if members else run.figures
    spreads = {
        f.name: spread(
            getattr(run.figures, f.name),
            getattr(centre, f.name),
            np.array([getattr(o, f.name) for o in others]),
        )
        for f in fields(SetFigures)
    }
    cavities = np.array([o.cavity_share for o in (run.figures, *others)])
    sinkhole = float(np.mean(1.0 / (1.0 + (NOTABLE / np.maximum(cavities, 1e-9)) ** SHARPNESS)))
    return BoxSetForecast(
        figures=run.figures,
        spreads=spreads,
        sinkhole=sinkhole,
        relief_pour=setting.pour + HOTTER,
        last=run.last,
        surface=run.surface,
        frames=run.frames,
        books=run.books,
        words=_words(run.figures, sinkhole),
    )


def _placed(ready: BoxPoured, run: _Run, frames: Array) -> BoxRun:
    """Put the flat answers back where they belong in the vessel."""
    box, parts = ready.box, ready.poured.parts
    liquid = ready.poured.line.liquid_fraction(frames[:, : parts.cells])
    last = _weights_of_last(liquid, parts.mass)
    layers = box.grid.rings.rows + 2
    where = (
        float(last @ np.tile(box.at.x, layers)),
        float(last @ np.tile(box.at.y, layers)),
        run.figures.last_height,
    )
    surface = np.full(box.at.places, np.nan)
    surface[box.area[-1] > 0] = run.shrink.surface
    seen = run.frames
    return BoxRun(
        run.figures,
        where,
        surface.reshape(-1, box.at.pitch)[1:-1, 1:-1],
        BoxFrames(
            seen.times,
            _cut(seen.temperature, box),
            _cut(seen.liquid, box),
            box.at.x.reshape(-1, box.at.pitch)[0, 1:-1],
            box.at.y.reshape(-1, box.at.pitch)[1:-1, 0],
            seen.height,
            seen.shell,
        ),
        run.books,
    )


def _cut(fields_of: Array, box: BoxGrid) -> Array:
    """Return frames × layers × lines × columns without the empty places all round."""
    frames, layers, _ = fields_of.shape
    whole = np.full((frames, layers, box.at.places), np.nan)
    whole[:, :, 1:-1] = fields_of
    return whole.reshape(frames, layers, -1, box.at.pitch)[:, :, 1:-1, 1:-1]
