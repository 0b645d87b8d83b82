"""How a candle of any plan with several wicks burns: pools, wall and life, with spreads.

The three-dimensional sister of `rushlight.heat.burn`, on coarser cells; its figures mean
the same. A forecast narrows which wicks to test; it never replaces a test burn.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from rushlight.errors import BadInput
from rushlight.heat.box_burn_run import CELL, BoxCandle, build, out, session
from rushlight.heat.box_columns import LOG, Wicks
from rushlight.heat.box_plan import ROUND, Plan
from rushlight.heat.box_plan import wicks as usual
from rushlight.heat.burn import BURN, DEEP, FULL, HUNG, MOST_SESSIONS, TALLEST, doubts
from rushlight.heat.burn_run import HEEL, BurnDoubt, Burning, Session
from rushlight.heat.ensemble import Spread, spread
from rushlight.heat.enthalpy import ZERO, Array
from rushlight.heat.flame import sight
from rushlight.heat.watch import Progress, Stop, Watch

COARSE = 0.006  # cells of the members [m]
MEMBERS = 5


@dataclass(frozen=True)
class BoxBurnFigures:
    """The figures of one burn; NaN for what does not come about.

    joined_at [s]: the pools of all wicks are one (0 for one wick); full_at [s]; area [m²]
    of the pools together and pool [m], the diameter of a circle of that area, pool_share [1]:
    pool over that of the whole surface, depth [m], at the end; wall [K] hottest, wall_x,
    wall_y [m] and wall_height [m] above the inner base, wall_at [s]; flame [m] of each
    wick; power [W] of all; left [kg] of wax; hang [m]: wax above the pool at the end.
    """

    joined_at: float
    full_at: float
    area: float
    pool: float
    pool_share: float
    depth: float
    wall: float
    wall_x: float
    wall_y: float
    wall_height: float
    wall_at: float
    flame: float
    power: float
    left: float
    hang: float


@dataclass(frozen=True)
class BoxBurnForecast:
    """A forecast of one burn.

    wicks [m]: where each stands; times [s] with pool [m] (as in the figures), depth [m],
    pools: how many there are, own_pool [m]: each wick's, times × wicks, and wall [K] of the
    middle run; pool_low … wall_high of the members; figures and spreads; words.
    """

    figures: BoxBurnFigures
    spreads: dict[str, Spread]
    wicks: Wicks
    times: Array
    pool: Array
    pool_low: Array
    pool_high: Array
    depth: Array
    pools: Array
    own_pool: Array
    wall: Array
    wall_low: Array
    wall_high: Array
    words: tuple[str, ...]


@dataclass(frozen=True)
class BoxLifeForecast:
    """A whole life, as `burn.LifeForecast`."""

    hours: Spread
    sessions: int
    wall: Array
    pool_share: Array
    hang: float
    stranded: float
    words: tuple[str, ...]


def once(  # noqa: PLR0913 -- a candle and how finely to see it
    burning: Burning,
    plan: Plan = ROUND,
    *,
    wicks: Wicks | int = 2,
    seconds: float = BURN,
    cell: float = CELL,
    doubt: BurnDoubt | None = None,
) -> tuple[BoxBurnFigures, Session, BoxCandle]:
    """Return the first burn: figures, record and the candle after it.

    wicks: where they stand, x, y [m] from the middle, or how many, where they usually
    stand; each burns `burning.rate`.
    """
    candle = build(burning, plan, _stood(burning, plan, wicks), cell=cell, doubt=doubt)
    record = session(candle, seconds)
    if not len(record.times):
        raise BadInput.one(
            "There is no more wax in it than is left at the end of a candle's life.",
            "Fill higher than half an inch.",
            "fill",
        )
    return read(candle, record), record, candle


def forecast(  # noqa: PLR0913 -- a candle and how finely to see it
    burning: Burning,
    plan: Plan = ROUND,
    *,
    wicks: Wicks | int = 2,
    seconds: float = BURN,
    members: int = MEMBERS,
    cell: float = CELL,
    coarse: float = COARSE,
    stop: Stop | None = None,
    progress: Progress | None = None,
) -> BoxBurnForecast:
    """Return the first burn with its spread, from `members` runs on `coarse` [m] cells.

    progress: told how many of the 2 + `members` runs are done; stop: asked between them.
    Raises BadInput for what cannot be, Stopped when asked to stop.
    """
    watch = Watch(stop, progress)
    watch.heed()
    figures, record, candle = once(burning, plan, wicks=wicks, seconds=seconds, cell=cell)
    watch.part()
    draws = []
    for d in (BurnDoubt(), *doubts(members)):
        draws.append(once(burning, plan, wicks=wicks, seconds=seconds, cell=coarse, doubt=d)[:2])
        watch.part()
    centre, others = draws[0][0], draws[1:]
    spreads = {
        f.name: spread(
            getattr(figures, f.name),
            getattr(centre, f.name),
            np.array([getattr(found, f.name) for found, _ in others]),
        )
        for f in fields(BoxBurnFigures)
        if f.name not in {"wall_x", "wall_y"}
    }
    records = [record, *(r for _, r in draws)]
    short = min(len(r.times) for r in records)
    pools = np.array([_across(r.log[:short, 1]) for r in records])
    walls = np.array([r.log[:short, 3] for r in records])
    return BoxBurnForecast(
        figures=figures,
        spreads=spreads,
        wicks=tuple(candle.wicks),
        times=record.times[:short],
        pool=pools[0],
        pool_low=np.quantile(pools, 0.1, axis=0),
        pool_high=np.quantile(pools, 0.9, axis=0),
        depth=record.log[:short, 2],
        pools=record.log[:short, 7],
        own_pool=_across(record.log[:short, LOG:]),
        wall=walls[0],
        wall_low=np.quantile(walls, 0.1, axis=0),
        wall_high=np.quantile(walls, 0.9, axis=0),
        words=_words(figures, candle),
    )


def life(  # noqa: PLR0913 -- a candle and how it is burnt
    burning: Burning,
    plan: Plan = ROUND,
    *,
    wicks: Wicks | int = 2,
    burn: float = BURN,
    rest: float = 3 * 3600.0,
    cell: float = COARSE,
    heel: float = HEEL,
    stop: Stop | None = None,
    progress: Progress | None = None,
) -> BoxLifeForecast:
    """Return a whole life of burns of `burn` [s] with rests [s] between, to the heel [m].

    progress, stop: as in `burn.life`.
    The spread of the hours is that of the burn rate over a life, ±20 %, as in `burn.life`.
    """
    watch = Watch(stop, progress)
    watch.heed()
    candle = build(burning, plan, _stood(burning, plan, wicks), cell=cell, heel=heel)
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
        session(candle, rest, lit=out(candle), every=rest)
        watch.heed()
    hang, stranded = (0.0, 0.0) if last is None else _stranded(candle, last)
    words = [f"About {total / 3600:.0f} h of burning in {count} burns of {burn / 3600:.0f} h."]
    if hang > HUNG:
        words.append(
            f"Wax hangs up: {1000 * stranded:.0f} g is left above the last pool, most of it "
            "where the wall is farthest from the wicks."
        )
    words.append("Stop at half an inch of wax. Test burn before you sell.")
    return BoxLifeForecast(
        Spread(total / 1.2, total, total / 0.8),
        count,
        np.array(walls),
        np.array(shares),
        hang,
        stranded,
        tuple(words),
    )


def read(candle: BoxCandle, record: Session) -> BoxBurnFigures:
    """Return the figures of a burn from its record."""
    log, times = record.log, record.times
    share = _share(candle, record)
    full = np.flatnonzero(share >= FULL)
    apart = np.flatnonzero(log[:, 7] > 1)
    joined = 0 if not len(apart) else int(apart[-1]) + 1
    hottest = int(log[:, 3].argmax())
    node = int(log[hottest, 4])
    wall_x, wall_y = _where(candle, node)
    seen = sight(candle.burning.rate, candle.burning.wax.burning_heat)
    one = len(candle.wicks) == 1
    return BoxBurnFigures(
        joined_at=0.0 if one else float(times[joined]) if joined < len(times) else float("nan"),
        full_at=float(times[full[0]]) if len(full) else float("nan"),
        area=float(log[-1, 1]),
        pool=float(_across(log[-1, 1])),
        pool_share=float(min(share[-1], 1.0)),
        depth=float(log[-1, 2]),
        wall=float(log[hottest, 3]),
        wall_x=wall_x,
        wall_y=wall_y,
        wall_height=float(candle.box.grid.shell.height[node]),
        wall_at=float(times[hottest]),
        flame=seen.height,
        power=seen.power * len(candle.wicks),
        left=float(log[-1, 5]),
        hang=float(log[-1, 6] - log[-1, 0]),
    )


def _stood(burning: Burning, plan: Plan, places: Wicks | int) -> Wicks:
    if not isinstance(places, int):
        return places
    if not 1 <= places <= 6:  # noqa: PLR2004 -- more is a brazier
        raise BadInput.one(
            f"{places} wicks are not a candle this model knows.", "Give 1 to 6.", "wick.count"
        )
    width = float(burning.profile.diameter_at(burning.fill))  # type: ignore[arg-type]
    return usual(places, plan, width)


def _across(area: Array | float) -> Array:
    """Return the diameter of the circle of an area."""
    return np.asarray(2.0 * np.sqrt(np.asarray(area) / np.pi))


def _share(candle: BoxCandle, record: Session) -> Array:
    """Return the pool over the whole surface at its level, as diameters, through a session."""
    profile = candle.burning.profile
    level = np.clip(record.log[:, 0], 0.0, float(profile.depth))
    whole = np.array([candle.plan.area(float(profile.diameter_at(z))) for z in level])
    return np.asarray(np.sqrt(record.log[:, 1] / whole))


def _where(candle: BoxCandle, node: int) -> tuple[float, float]:
    """Return x, y [m] of a node of the shell."""
    box, at = candle.box, node - candle.bed.feet
    if at < 0:
        place = int(np.flatnonzero(box.feet == node)[0])
        return float(box.at.x[place]), float(box.at.y[place])
    layer, sector = divmod(at, candle.bed.sectors)
    x, y = box.line.centre[:, sector] * box.sides.mean[layer]
    return float(x), float(y)


def _stranded(candle: BoxCandle, record: Session) -> tuple[float, float]:
    """Return how far above the pool wax stands [m] and how much of it [kg]."""
    level, highest = record.log[-1, 0], record.log[-1, 6]
    bottom = candle.box.grid.rings.height - 0.5 * candle.box.dz
    above = np.clip((bottom + candle.box.dz - level) / candle.box.dz, 0.0, 1.0)
    return float(highest - level), float((record.masses[-1] * above).sum())


def _words(figures: BoxBurnFigures, candle: BoxCandle) -> tuple[str, ...]:
    said = []
    count = len(candle.wicks)
    if count > 1:
        said.append(
            f"The pools of the {count} wicks do not all join in this burn."
            if np.isnan(figures.joined_at)
            else f"The pools of the {count} wicks join after {figures.joined_at / 3600:.1f} h."
        )
    if np.isnan(figures.full_at):
        said.append(
            f"No full melt pool in this burn: {100 * figures.pool_share**2:.0f} % of the surface."
        )
        if figures.hang > HUNG:
            said.append(f"Wax stands {1000 * figures.hang:.0f} mm above the pool at the wall.")
    else:
        said.append(f"Full melt pool after {figures.full_at / 3600:.1f} h.")
    if figures.depth > DEEP:
        said.append(f"The pool is deep, {1000 * figures.depth:.0f} mm: a sign of too much wick.")
    if figures.flame > TALLEST:
        said.append(f"Tall flames, {1000 * figures.flame:.0f} mm: a sign of too much wick.")
    said.append(
        f"The {candle.burning.material} reaches about {figures.wall - ZERO:.0f} °C, "
        f"{1000 * figures.wall_height:.0f} mm above the inner base"
        f"{_side(figures, candle)}; hot glass burns and cracks."
    )
    said.append("A forecast with a spread, not a test: test burn before you sell.")
    return tuple(said)


def _side(figures: BoxBurnFigures, candle: BoxCandle) -> str:
    """Say where round the vessel the hottest place is, when it matters."""
    if len(candle.wicks) == 1 and candle.plan.breadth == 1.0:
        return ""
    gaps = [np.hypot(figures.wall_x - x, figures.wall_y - y) for x, y in candle.wicks]
    return f", {1000 * min(gaps):.0f} mm from the nearest wick"
