"""How a poured candle sets: when, where last, and what its shrinkage does.

Every time is counted from the pour. A forecast, with its spread; it never
replaces a test: pour one before you pour a batch.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from rushlight.errors import Refused
from rushlight.heat.ensemble import MEMBERS, Spread, doubts, spread
from rushlight.heat.enthalpy import Array
from rushlight.heat.march import Engine, Pace, march
from rushlight.heat.setting import Doubt, Poured, Setting, pour
from rushlight.heat.shrink import Shrinkage, shrinkage
from rushlight.heat.watch import Progress, Stop, Watch

CELL = 0.0011  # width of a ring on the fine grid [m]
COARSE = 0.0022  # and on the members' grid
HORIZON = 8 * 3600.0  # first span marched [s]
LONGEST = 48 * 3600.0  # beyond it we say it does not set
EVERY = 240.0  # between frames [s]
EARLY, OFTEN = 7200.0, 60.0  # and in the first two hours, when the surface closes
SOLID = 0.01  # liquid share at which a ring counts as set; own judgement
SKIN = 0.9  # share of the surface that has stopped flowing when it has skinned; own judgement
COOL = 5.0  # below its solidus by this the wax bears handling [K]; own judgement
NOTABLE, SHARPNESS = 0.04, 6.0
# cavity as a share of the wax at which a sinkhole is an even chance, and how sharply the
# chance turns there: own judgement, set so that paraffin as usually poured is likely to
# need a second pour and soy is not (common practice); not calibrated on measurements
HOTTER = 4.5  # relief pour above the first pour [K]: 3–6 K, common practice
FIRM = 0.9  # share of the cavity that has formed when the relief pour is due; own judgement
BRISK, HARD = 1.0, 2.0  # cooling at the wall near freezing [K/min], for the words; own judgement


@dataclass(frozen=True)
class Frames:
    """What the eyes see: times [s], temperature [K] and liquid share [1] on rows × columns.

    NaN outside the wax. radius, height [m]: middles of rings; shell [K] with
    shell_height [m] (negative: base).
    """

    times: Array
    temperature: Array
    liquid: Array
    radius: Array
    height: Array
    shell: Array
    shell_height: Array


@dataclass(frozen=True)
class SetFigures:
    """The figures of one run; times [s] from the pour, NaN for what does not come about.

    skin: most of the surface has stopped flowing; closes: all of it; whole: nothing
    is liquid; movable: and COOL below its solidus. last_radius, last_height [m]:
    where it freezes last. enclosed [kg]: liquid when the surface closes; cavity,
    cavity_share [m³, 1]; dip [m] of the surface. relief [kg], relief_at [s].
    wall_rate [K/min]: at the wall, half way up, through freezing.
    """

    skin: float
    closes: float
    whole: float
    movable: float
    last_radius: float
    last_height: float
    enclosed: float
    cavity: float
    cavity_share: float
    dip: float
    relief: float
    relief_at: float
    wall_rate: float


@dataclass(frozen=True)
class SetForecast:
    """A forecast of setting.

    figures: the middle run; spreads: each figure with its range; sinkhole [1]: share of
    the members that leave a notable cavity, none of them certain; relief_pour [K];
    surface: radius and height [m] of the top it is left with; books [1]: error of
    the heat balance; words: the tendencies, said plainly.
    """

    figures: SetFigures
    spreads: dict[str, Spread]
    sinkhole: float
    relief_pour: float
    surface: tuple[Array, Array]
    frames: Frames
    books: float
    words: tuple[str, ...]


@dataclass(frozen=True)
class _Run:
    figures: SetFigures
    frames: Frames
    shrink: Shrinkage
    books: float


def forecast(  # noqa: PLR0913 -- a jar, how finely to see it, and who looks on
    setting: Setting,
    *,
    members: int = MEMBERS,
    cell: float = CELL,
    coarse: float = COARSE,
    engine: Engine = Engine.COMPILED,
    stop: Stop | None = None,
    progress: Progress | None = None,
) -> SetForecast:
    """Return how a jar sets, with spreads from `members` runs on a `coarse` [m] grid.

    cell [m]: ring width of the middle run; progress: told how many runs of `runs(members)`
    are done; stop: asked between them. Raises BadInput for what cannot be, Refused when
    it does not set within 48 h, Stopped when asked to stop.
    """
    watch = Watch(stop, progress)
    watch.heed()
    run = once(setting, cell=cell, engine=engine)
    watch.part()
    centre, others = run.figures, []
    if members:
        centre = once(setting, cell=coarse, engine=engine).figures
        watch.part()
    for doubt in doubts(members):
        others.append(once(setting, cell=coarse, doubt=doubt, engine=engine).figures)
        watch.part()
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
    return SetForecast(
        figures=run.figures,
        spreads=spreads,
        sinkhole=sinkhole,
        relief_pour=setting.pour + HOTTER,
        surface=(run.shrink.radius, run.shrink.surface),
        frames=run.frames,
        books=run.books,
        words=_words(run.figures, sinkhole),
    )


def runs(members: int = MEMBERS) -> int:
    """Return how many runs a forecast with so many members takes."""
    return 1 + (1 + members if members else 0)


def once(
    setting: Setting,
    *,
    cell: float = CELL,
    doubt: Doubt | None = None,
    engine: Engine = Engine.COMPILED,
    pace: Pace | None = None,
) -> _Run:
    """Return one run of setting on rings about `cell` [m] wide."""
    doubt = doubt or Doubt()
    widest = max(float(s.diameter) for s in setting.profile.stations)
    poured = pour(
        setting,
        columns=max(4, round(0.5 * widest / cell)),
        rows=max(4, round(setting.fill / cell)),
        doubt=doubt,
    )
    times = np.zeros(1)
    frames = poured.state[None, :]
    books = 0.0
    span = HORIZON
    while not _all_set(poured, frames[-1]):
        if times[-1] >= LONGEST:
            raise Refused("It does not set within two days; try a cooler room.")
        clock = np.arange(EVERY, span + 1.0, EVERY)
        if len(times) == 1:
            clock = np.concatenate([np.arange(OFTEN, EARLY, OFTEN), clock[clock >= EARLY]])
        further = march(poured.parts, frames[-1], clock, pace=pace, engine=engine)
        books = max(books, further.books)
        frames = np.concatenate([frames, further.frames])
        times = np.concatenate([times, times[-1] + clock])
        span = 0.5 * HORIZON
    return _read(poured, times, frames, books, doubt)


def pour_curve(
    setting: Setting,
    temperatures: Array,
    *,
    members: int = 0,
    cell: float = COARSE,
    stop: Stop | None = None,
) -> tuple[SetForecast, ...]:
    """Return a forecast for each pour temperature [K]: the advice is a curve, not a number."""
    return tuple(
        forecast(replace(setting, pour=float(t)), members=members, cell=cell, stop=stop)
        for t in temperatures
    )


def _all_set(poured: Poured, frame: Array) -> bool:
    wax = poured.parts.mass > 0
    warm = poured.line.temperature(frame[: poured.parts.cells][wax])
    return bool(warm.max() <= poured.wax.solidus - COOL)


def _read(poured: Poured, times: Array, frames: Array, books: float, doubt: Doubt) -> _Run:
    parts, rings = poured.parts, poured.grid.rings
    enthalpy = frames[:, : parts.cells]
    liquid = poured.line.liquid_fraction(enthalpy)
    warm = poured.line.temperature(enthalpy)
    wax = parts.mass > 0
    sunk = shrinkage(
        rings=rings,
        mass=parts.mass,
        wax=poured.wax,
        times=times,
        liquid=liquid,
        warm=warm,
        factor=doubt.shrink,
    )
    most = liquid[:, wax].max(axis=1)
    hottest = warm[:, wax].max(axis=1)
    top = parts.open_cell
    flowing = (liquid[:, top] > 0.5) @ parts.open_area / parts.open_area.sum()  # noqa: PLR2004
    last = _weights_of_last(liquid, parts.mass)
    volume = float(rings.volume.sum())
    dense = float(parts.mass.sum()) / volume
    figures = SetFigures(
        skin=_crossing(times, flowing, 1.0 - SKIN),
        closes=np.nan if sunk.closes is None else sunk.closes,
        whole=_crossing(times, most, SOLID),
        movable=_crossing(times, hottest, poured.wax.solidus - COOL),
        last_radius=float(last @ rings.radius),
        last_height=float(last @ rings.height),
        enclosed=sunk.enclosed,
        cavity=sunk.cavity,
        cavity_share=sunk.cavity / volume,
        dip=sunk.dip,
        relief=sunk.cavity * dense,
        relief_at=_grown(times, sunk.growth),
        wall_rate=_wall_rate(poured, times, warm),
    )
    nodes = frames[:, parts.cells : parts.cells + parts.nodes]
    seen = Frames(
        times,
        rings.fields(warm),
        rings.fields(liquid),
        rings.radius.reshape(-1, rings.stride)[1, 1:-1],
        rings.height.reshape(-1, rings.stride)[1:-1, 1],
        nodes,
        poured.grid.shell.height,
    )
    return _Run(figures, seen, sunk, books)


def _crossing(times: Array, values: Array, level: float) -> float:
    """Return when a falling series last comes down to a level, NaN if it does not."""
    above = np.flatnonzero(values > level)
    if not len(above):
        return float(times[0])
    n = int(above[-1])
    if n + 1 >= len(values):
        return float("nan")
    share = (values[n] - level) / (values[n] - values[n + 1])
    return float(times[n] + share * (times[n + 1] - times[n]))


def _grown(times: Array, growth: Array) -> float:
    if growth[-1] <= 0:
        return float("nan")
    return float(np.interp(FIRM * growth[-1], growth, times))


def _weights_of_last(liquid: Array, mass: Array) -> Array:
    """Weights of the rings by the liquid they hold when 2 % of it is left."""
    held = liquid * mass
    total = held.sum(axis=1)
    some = np.flatnonzero(total > 0.02 * mass.sum())
    row = held[some[-1]] if len(some) else mass
    return np.asarray(row / row.sum())


def _wall_rate(poured: Poured, times: Array, warm: Array) -> float:
    """Cooling of the ring at the wall, half way up, 5 K about its freezing [K/min]."""
    rings = poured.grid.rings
    row = rings.field(rings.volume)[rings.rows // 2]
    ring = rings.index(rings.rows // 2, int(np.flatnonzero(np.isfinite(row))[-1]))
    trace = warm[:, ring]
    middle = 0.5 * (poured.wax.solidus + poured.wax.liquidus)
    start = _crossing(times, trace, middle + 2.5)
    end = _crossing(times, trace, middle - 2.5)
    return 5.0 / max((end - start) / 60.0, 0.5 * EVERY / 60.0)


def _words(figures: SetFigures, sinkhole: float) -> tuple[str, ...]:
    chance = (
        "A sinkhole is likely"
        if sinkhole > 2 / 3
        else "A sinkhole is possible"
        if sinkhole > 1 / 3
        else "A sinkhole is unlikely"
    )
    wall = (
        "The wall is cooled hard while the wax freezes: wet spots are more likely."
        if figures.wall_rate > HARD
        else "The wall cools briskly while the wax freezes: some tendency to wet spots."
        if figures.wall_rate > BRISK
        else "The wall cools gently while the wax freezes: little tendency to wet spots."
    )
    return (
        f"{chance} ({100 * sinkhole:.0f} % of the cases tried).",
        wall,
        "This is a forecast with a spread; pour one and look before you pour a batch.",
    )
