"""How a candle burns: pool, wall, hang-up and life, each with its spread.

A forecast narrows which wicks to test; it never replaces a test burn. Honest
spreads: pool ±15 % once calibrated, wall ±10 K, burn life ±15 % (own judgement;
no open table of measured glass temperatures is known).
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from rushlight.errors import BadInput
from rushlight.heat.burn_run import (
    CELL,
    HEEL,
    BurnDoubt,
    Burning,
    Candle,
    Session,
    build,
    rested,
    session,
)
from rushlight.heat.ensemble import Spread, latin, spread
from rushlight.heat.enthalpy import ZERO, Array
from rushlight.heat.flame import sight
from rushlight.heat.surroundings import Sway
from rushlight.heat.watch import Progress, Stop, Watch

BURN = 4 * 3600.0  # one burn [s]: 4 h, common practice and usual test protocol
MEMBERS = 7
FULL = 0.98  # share of the inner diameter at which the pool counts as full; own judgement
DEEP = 0.019  # a deeper pool is a sign of too much wick [m]: 3/4 in, common practice
TALLEST = 0.040  # a taller flame likewise [m]: common practice
HUNG, NARROW = 0.008, 0.85
# wax left standing this far above the pool hangs up [m], and with a pool below this share of
# the inner width the candle tunnels; own judgement
MOST_SESSIONS = 60
RANGES = {
    "side": (0.8, 1.2),
    "top": (0.6, 1.4),
    "base": (0.6, 1.6),
    "latent": (0.8, 1.2),
    "conduct": (0.85, 1.25),
    "mixed": (0.55, 1.8),
    "radiated": (0.82, 1.24),
    "beneath": (0.6, 1.6),
    "gas": (0.3, 3.0),
}
"""Low and high of each factor [1]: the surroundings as in `ensemble`; radiated share
0.14–0.21 and the rest own judgement."""


@dataclass(frozen=True)
class BurnFigures:
    """The figures of one burn; NaN for what does not come about.

    full_at [s]; pool [m], pool_share [1] of the inner diameter there, depth [m] at the
    end; wall [K] hottest, wall_height [m] above the inner base, wall_at [s]; flame [m];
    power [W]; left [kg] of wax; hang [m]: wax standing above the pool at the end.
    """

    full_at: float
    pool: float
    pool_share: float
    depth: float
    wall: float
    wall_height: float
    wall_at: float
    flame: float
    power: float
    left: float
    hang: float


@dataclass(frozen=True)
class BurnForecast:
    """A forecast of one burn.

    times [s] with pool, depth [m] and wall [K] of the middle run, and pool_low,
    pool_high, wall_low, wall_high of the members; figures and spreads; words.
    """

    figures: BurnFigures
    spreads: dict[str, Spread]
    times: Array
    pool: Array
    pool_low: Array
    pool_high: Array
    depth: Array
    wall: Array
    wall_low: Array
    wall_high: Array
    words: tuple[str, ...]


@dataclass(frozen=True)
class LifeForecast:
    """A whole life: burns of `burn` [s] with rests, to the heel.

    hours [s] of burning with low and high; sessions; wall [K]: hottest of each session;
    pool_share [1]: largest of each; hang [m] and stranded [kg]: wax left above the last
    pool; words.
    """

    hours: Spread
    sessions: int
    wall: Array
    pool_share: Array
    hang: float
    stranded: float
    words: tuple[str, ...]


def doubts(count: int = MEMBERS) -> tuple[BurnDoubt, ...]:
    """Return the members' draws, geometric between the ends of each range."""
    if not count:
        return ()
    found = []
    for row in latin(count, len(RANGES)):
        d = {
            name: low * (high / low) ** float(x)
            for (name, (low, high)), x in zip(RANGES.items(), row, strict=True)
        }
        sway = Sway(d.pop("side"), d.pop("top"), d.pop("base"))
        found.append(BurnDoubt(sway=sway, **d))
    return tuple(found)


def once(
    burning: Burning,
    *,
    seconds: float = BURN,
    cell: float = CELL,
    doubt: BurnDoubt | None = None,
) -> tuple[BurnFigures, Session, Candle]:
    """Return the first burn of a candle: figures, record and the candle after it."""
    candle = build(burning, cell=cell, doubt=doubt)
    record = session(candle, seconds)
    if not len(record.times):
        raise BadInput.one(
            "There is no more wax in it than is left at the end of a candle's life.",
            "Fill higher than half an inch.",
            "fill",
        )
    return _read(candle, record), record, candle


def forecast(  # noqa: PLR0913 -- a candle, how to see it, and who looks on
    burning: Burning,
    *,
    seconds: float = BURN,
    members: int = MEMBERS,
    cell: float = CELL,
    stop: Stop | None = None,
    progress: Progress | None = None,
) -> BurnForecast:
    """Return the first burn with its spread.

    progress: told how many of the 1 + `members` runs are done; stop: asked between them.
    Raises BadInput for what cannot be, Stopped when asked to stop.
    """
    watch = Watch(stop, progress)
    watch.heed()
    figures, record, candle = once(burning, seconds=seconds, cell=cell)
    watch.part()
    draws = []
    for doubt in doubts(members):
        draws.append(once(burning, seconds=seconds, cell=cell, doubt=doubt)[:2])
        watch.part()
    spreads = {
        f.name: spread(
            getattr(figures, f.name),
            getattr(figures, f.name),
            np.array([getattr(found, f.name) for found, _ in draws]),
        )
        for f in fields(BurnFigures)
    }
    short = min(len(r.times) for r in (record, *(r for _, r in draws)))
    pools = np.array([2 * r.log[:short, 1] for r in (record, *(r for _, r in draws))])
    walls = np.array([r.log[:short, 3] for r in (record, *(r for _, r in draws))])
    return BurnForecast(
        figures=figures,
        spreads=spreads,
        times=record.times[:short],
        pool=pools[0],
        pool_low=np.quantile(pools, 0.1, axis=0),
        pool_high=np.quantile(pools, 0.9, axis=0),
        depth=record.log[:short, 2],
        wall=walls[0],
        wall_low=np.quantile(walls, 0.1, axis=0),
        wall_high=np.quantile(walls, 0.9, axis=0),
        words=_words(figures, candle),
    )


def life(  # noqa: PLR0913 -- a candle, how it is burnt, and who looks on
    burning: Burning,
    *,
    burn: float = BURN,
    rest: float = 3 * 3600.0,
    cell: float = CELL,
    heel: float = HEEL,
    stop: Stop | None = None,
    progress: Progress | None = None,
) -> LifeForecast:
    """Return a whole life of burns of `burn` [s] with rests [s] between, to the heel [m].

    progress: told how many burns are done; stop: asked between burns and rests, and
    Stopped is raised when it says so.

    The spread of the hours is that of the burn rate over a life, ±20 %: burn rates
    change by 15–25 % from full to near empty (common practice).
    """
    watch = Watch(stop, progress)
    watch.heed()
    candle = build(burning, cell=cell, heel=heel)
    walls, shares = [], []
    total, count = 0.0, 0
    last: Session | None = None
    while count < MOST_SESSIONS:
        record = session(candle, burn, every=600.0)
        count += 1
        if len(record.times):
            last = record
            total += float(record.times[-1])
            walls.append(float(record.log[:, 3].max()))
            shares.append(float(_share(candle, record).max()))
        watch.part()
        if record.ended:
            break
        out, seconds = rested(rest)
        session(candle, seconds, lit=out, every=seconds)
        watch.heed()
    hang, stranded = (0.0, 0.0) if last is None else _stranded(candle, last)
    words = [f"About {total / 3600:.0f} h of burning in {count} burns of {burn / 3600:.0f} h."]
    if hang > HUNG:
        words.append(
            f"Wax hangs up: {1000 * stranded:.0f} g is left on the wall above the last pool."
        )
    words.append("Stop at half an inch of wax. Test burn before you sell.")
    return LifeForecast(
        Spread(total / 1.2, total, total / 0.8),
        count,
        np.array(walls),
        np.array(shares),
        hang,
        stranded,
        tuple(words),
    )


def _share(candle: Candle, record: Session) -> Array:
    """Return the pool's share of the inner diameter at its level, through a session."""
    profile = candle.burning.profile
    inner = np.array([float(profile.diameter_at(z)) for z in record.log[:, 0]])
    return np.asarray(2 * record.log[:, 1] / inner)


def _read(candle: Candle, record: Session) -> BurnFigures:
    log = record.log
    share = _share(candle, record)
    full = np.flatnonzero(share >= FULL)
    hottest = int(log[:, 3].argmax())
    seen = sight(candle.burning.rate, candle.burning.wax.burning_heat)
    return BurnFigures(
        full_at=float(record.times[full[0]]) if len(full) else float("nan"),
        pool=float(2 * log[-1, 1]),
        pool_share=float(min(share[-1], 1.0)),
        depth=float(log[-1, 2]),
        wall=float(log[hottest, 3]),
        wall_height=float(candle.grid.shell.height[int(log[hottest, 4])]),
        wall_at=float(record.times[hottest]),
        flame=seen.height,
        power=seen.power,
        left=float(log[-1, 5]),
        hang=float(log[-1, 6] - log[-1, 0]),
    )


def _stranded(candle: Candle, record: Session) -> tuple[float, float]:
    """Return how far above the pool wax stands [m] and how much of it [kg]."""
    level, highest = record.log[-1, 0], record.log[-1, 6]
    bottom = candle.grid.rings.height - 0.5 * candle.columns.step
    above = np.clip((bottom + candle.columns.step - level) / candle.columns.step, 0.0, 1.0)
    return float(highest - level), float((record.masses[-1] * above).sum())


def _words(figures: BurnFigures, candle: Candle) -> tuple[str, ...]:
    said = []
    if np.isnan(figures.full_at):
        said.append(
            f"No full melt pool in this burn: {100 * figures.pool_share:.0f} % of the inner width."
        )
        if figures.hang > HUNG and figures.pool_share < NARROW:
            said.append(
                f"It tunnels: wax stands {1000 * figures.hang:.0f} mm above the pool at the wall."
            )
    else:
        said.append(f"Full melt pool after {figures.full_at / 3600:.1f} h.")
    if figures.depth > DEEP:
        said.append(f"The pool is deep, {1000 * figures.depth:.0f} mm: a sign of too much wick.")
    if figures.flame > TALLEST:
        said.append(f"A tall flame, {1000 * figures.flame:.0f} mm: a sign of too much wick.")
    said.append(
        f"The {candle.burning.material} reaches about {figures.wall - ZERO:.0f} °C, "
        f"{1000 * figures.wall_height:.0f} mm above the inner base; hot glass burns and cracks."
    )
    said.append("A forecast with a spread, not a test: test burn before you sell.")
    return tuple(said)
