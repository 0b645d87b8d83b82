"""Compiled burning of a candle: wax that melts, flows, slumps and burns away.

Columns of rings stand on the base. All rings of a column are full but its top
one, which holds half to one and a half of a ring; the pool is level. Between
two supersteps of heat (`rushlight.heat.kernel_set`) fuel is taken from the
pool, molten tops flow to where the surface is lowest, and the links between
rings are set anew. Mass and heat are moved together, so that both are kept.

The functions here are plain loops, run compiled; the twin runs the same source
uncompiled for what flows, with NumPy for what conducts.
"""
# ruff: noqa: PLR0913, PLR0917 -- a kernel takes its buffers

from __future__ import annotations

import numpy as np

from rushlight.heat._jit import jit
from rushlight.heat.columns import Columns, Flame
from rushlight.heat.enthalpy import Array
from rushlight.heat.kernel_set import advance, potentials
from rushlight.heat.system import Parts

LEAST, FULLEST = 0.5, 1.5  # of a ring, in the top ring of a column
FILM = 0.1  # of a ring, always left on the base by what flows
DREGS = 0.05  # of a ring, always left by the flame
MOST_STAGES = 2001  # in one superstep; more means that something has gone wrong
LEVEL = 1e-7  # a pool is level when it is so to this [m]
BOUNDLESS = 1e9  # room on a column without a lid [kg]
COVERED = 0.98  # of a ring: from here a column under a shoulder has no open face
FLAT = 1e-9  # difference of potential below which two rings are alike [W/m]


@jit
def spot(j: int, i: int, c: Columns) -> int:
    """Return the place of ring (row, column) in the flat arrays."""
    return (j + 1) * c.stride + i + 1


@jit
def stand(i: int, mass: Array, c: Columns) -> float:
    """Return the height [m] of the surface of a column."""
    if c.top[i] < 0:
        return 0.0
    k = (c.top[i] + 1) * c.stride + i + 1
    height: float = c.step * (c.top[i] + mass[k] / c.full[k])
    return height


@jit
def tidy(i: int, y: Array, mass: Array, c: Columns) -> None:
    """Join a thin top ring to the one below, or part a thick one in two."""
    j = c.top[i]
    k = (j + 1) * c.stride + i + 1
    if mass[k] < LEAST * c.full[k] and j > c.first[i]:
        below = k - c.stride
        both = mass[k] + mass[below]
        y[below] = (mass[k] * y[k] + mass[below] * y[below]) / both
        mass[below] = both
        mass[k] = 0.0
        y[k] = 0.0
        c.top[i] = j - 1
    elif mass[k] >= FULLEST * c.full[k] and j < c.cap[i]:
        above = k + c.stride
        mass[above] = mass[k] - c.full[k]
        mass[k] = c.full[k]
        y[above] = y[k]
        c.top[i] = j + 1


@jit
def survey(y: Array, mass: Array, c: Columns, ground: Array) -> bool:
    """Fill for each column: height [m], mass per height [kg/m], what may leave and come [kg].

    Return whether any top is molten and the tops are not level.
    """
    low, high, wet = 1e9, -1e9, False
    for i in range(c.columns):
        if c.top[i] < 0:
            continue
        k = (c.top[i] + 1) * c.stride + i + 1
        ground[0, i] = c.step * (c.top[i] + mass[k] / c.full[k])
        ground[1, i] = c.full[k] / c.step
        if y[k] >= c.flows_at:
            wet = True
            kept = FILM * c.full[k] if c.top[i] == c.first[i] else 0.0
            ground[2, i] = max(0.0, mass[k] - kept)
        ground[3, i] = BOUNDLESS if c.top[i] < c.cap[i] else max(0.0, c.full[k] - mass[k])
        low, high = min(low, ground[0, i]), max(high, ground[0, i])
    return wet and high - low > LEVEL


@jit
def find_level(ground: Array) -> float:
    """Return the height [m] above which as much is molten as fits below it."""
    low, high = 0.0, float(ground[0].max())
    for _ in range(45):
        level = 0.5 * (low + high)
        balance = 0.0
        for i in range(ground.shape[1]):
            above = (ground[0, i] - level) * ground[1, i]
            balance += min(above, ground[2, i]) if above > 0.0 else max(above, -ground[3, i])
        if balance > 0.0:
            low = level
        else:
            high = level
    return 0.5 * (low + high)


@jit
def flow(y: Array, mass: Array, c: Columns) -> None:
    """Let molten tops run to where the surface is lowest, until it is level."""
    ground = np.zeros((4, c.columns))
    if not survey(y, mass, c, ground):
        return
    level = find_level(ground)
    tank, heat, place = 0.0, 0.0, 0.0
    for i in range(c.columns):
        above = (ground[0, i] - level) * ground[1, i]
        k = (c.top[i] + 1) * c.stride + i + 1
        if above > 0.0:
            tank += min(above, ground[2, i])
            heat += min(above, ground[2, i]) * y[k]
        else:
            place += min(-above, ground[3, i])
    if tank <= 0.0 or place <= 0.0:
        return
    for i in range(c.columns):
        above = (ground[0, i] - level) * ground[1, i]
        k = (c.top[i] + 1) * c.stride + i + 1
        if above > 0.0:
            mass[k] -= min(above, ground[2, i])
        elif above < 0.0:
            more = tank * min(-above, ground[3, i]) / place
            y[k] = (mass[k] * y[k] + more * heat / tank) / (mass[k] + more)
            mass[k] += more
    for i in range(c.columns):
        if c.top[i] >= 0:
            tidy(i, y, mass, c)


@jit
def burn_away(fuel: float, y: Array, mass: Array, c: Columns) -> tuple[float, float]:
    """Take fuel [kg] from the pool, evenly; return mass [kg] and heat [J] taken.

    Before there is a pool it is taken at the wick. A small pool is asked again until
    it has given all; a candle that has none left to give starves the flame.
    """
    taken, heat = 0.0, 0.0
    for _ in range(8):
        wanted = fuel - taken
        if wanted <= 1e-12 * fuel:
            break
        area = 0.0
        for i in range(c.columns):
            k = (max(c.top[i], 0) + 1) * c.stride + i + 1
            if c.top[i] >= 0 and y[k] >= c.flows_at and mass[k] > 0.1 * c.full[k]:
                area += c.full[k]
        for i in range(c.columns):
            k = (max(c.top[i], 0) + 1) * c.stride + i + 1
            part = 0.0
            if area > 0.0:
                if c.top[i] >= 0 and y[k] >= c.flows_at and mass[k] > 0.1 * c.full[k]:
                    part = wanted * c.full[k] / area
            elif i == 0:
                part = wanted
            if part > 0.0:
                part = max(0.0, min(part, mass[k] - DREGS * c.full[k]))
                mass[k] -= part
                taken += part
                heat += part * y[k]
                tidy(i, y, mass, c)
    return taken, heat


@jit
def recontact(mass: Array, p: Parts, c: Columns, stiff: Array) -> None:
    """Set contacts with the shell and open faces; add their links to `stiff` [m]."""
    for n in range(len(c.inside)):
        if c.inside[n] >= 0:
            p.bare_area[c.inside[n]] = c.bare_area[c.inside[n]]
    for t in range(len(p.touch_cell)):
        k = p.touch_cell[t]
        here = mass[k] / c.full[k]
        node = p.touch_node[t]
        if c.inside[node] >= 0:
            wet = min(here, 1.0)
            p.touch_area[t] = c.touch_area[t] * wet
            left = p.bare_area[c.inside[node]] - c.touch_area[t] * wet
            p.bare_area[c.inside[node]] = max(0.0, left)
        else:
            p.touch_half[t] = c.touch_half[t] * max(here, 0.05)
        stiff[k] += p.touch_area[t] / p.touch_half[t]
    for i in range(c.columns):
        j = c.top[i]
        k = (max(j, 0) + 1) * c.stride + i + 1
        p.open_cell[i] = k
        here = mass[k] / c.full[k] if j >= 0 else 0.0
        covered = j < 0 or (j == c.cap[i] and j < c.rows - 1 and here > COVERED)
        p.open_area[i] = 0.0 if covered else np.pi * (c.edge[k] ** 2 - c.edge[k - 1] ** 2)
        p.open_half[i] = 0.5 * c.step * max(here, 0.05)
        stiff[k] += p.open_area[i] / p.open_half[i]
    for t in range(c.columns, len(p.open_cell)):  # the sides of a free-standing candle
        k = p.open_cell[t]
        p.open_area[t] = c.open_area[t] * min(1.0, mass[k] / c.full[k])
        stiff[k] += p.open_area[t] / p.open_half[t]


@jit
def relink(y: Array, mass: Array, p: Parts, c: Columns) -> None:
    """Set links, contacts and open faces for the mass each ring holds now.

    The pool is heated from above and so lies in layers, while its surface is driven
    outwards: it mixes less upwards than across. The upward link is held at the ratio
    of the two potentials.
    """
    s = c.stride
    stiff = np.zeros(len(mass))
    across, calm = np.empty(len(mass)), np.empty(len(mass))
    potentials(y, across, p.bends, p.to_potential)
    potentials(y, calm, p.bends, c.calm)
    for j in range(c.rows):
        for i in range(c.columns):
            k = (j + 1) * c.stride + i + 1
            p.mass[k] = mass[k]
            p.lightness[k] = 1.0 / mass[k] if mass[k] > 0.0 else 0.0
            here = mass[k] / c.full[k] if mass[k] > 0.0 else 0.0
            p.across[k] = 0.0
            p.up[k] = 0.0
            if here > 0.0 and mass[k - 1] > 0.0:
                p.across[k] = c.across[k] * min(here, mass[k - 1] / c.full[k - 1])
            if here > 0.0 and mass[k - s] > 0.0:
                deep = 0.5 * (here + mass[k - s] / c.full[k - s])
                p.up[k] = c.up[k] / deep
                gap = across[k] - across[k - s]
                if abs(gap) > FLAT:
                    p.up[k] *= (calm[k] - calm[k - s]) / gap
            stiff[k] += p.across[k] + p.up[k]
            stiff[k - 1] += p.across[k]
            stiff[k - s] += p.up[k]
    recontact(mass, p, c, stiff)
    most = 0.0
    for k in range(len(mass)):
        most = max(most, stiff[k] * p.lightness[k])
    p.rate[0] = most


@jit
def down(r: float, drop: float) -> float:
    """Return the cosine, from straight down, of the ray to radius r, `drop` below."""
    cosine: float = drop / (r * r + drop * drop) ** 0.5
    return cosine


@jit
def shine(mass: Array, p: Parts, c: Columns, f: Flame) -> None:
    """Share out the flame's heat: rays from a point, hot gas under and beside it.

    A ray meets the first surface it strikes: each column takes the solid angle
    between what stands before it and its own edges, then the wall, and the rest
    leaves by the mouth.
    """
    for k in range(len(p.source)):
        p.source[k] = 0.0
    if f.rate <= 0.0:
        return
    point = stand(0, mass, c) + f.centre
    seen = 1.0
    under = 0.0
    for i in range(c.columns):
        if c.top[i] < 0:
            continue
        k = (c.top[i] + 1) * c.stride + i + 1
        drop = point - stand(i, mass, c)
        new = min(seen, down(c.edge[k], drop))
        if i > 0:
            new = min(new, down(c.edge[k - 1], drop))
        p.source[k] += f.radiated * f.wax * 0.5 * (seen - new)
        seen = new
        under += max(0.0, min(c.edge[k], f.foot) ** 2 - c.edge[k - 1] ** 2)
    for i in range(c.columns):
        k = (max(c.top[i], 0) + 1) * c.stride + i + 1
        mine = max(0.0, min(c.edge[k], f.foot) ** 2 - c.edge[k - 1] ** 2)
        if c.top[i] >= 0:
            p.source[k] += f.beneath * mine / under
    for n in range(p.nodes):
        if c.inside[n] < 0:
            continue
        k = p.cells + n
        new = min(seen, down(c.inner[n], point - c.step * (c.wall_row[n] + 1.0)))
        p.source[k] += f.radiated * f.wall * 0.5 * (seen - new)
        seen = new
        p.source[k] += f.gas * p.bare_area[c.inside[n]] / (4.0 * np.pi * c.inner[n] ** 2)


@jit
def molten(i: int, y: Array, mass: Array, c: Columns) -> float:
    """Return how deep a column is molten from its top [m].

    The melt line lies where the enthalpy comes down to `flows_at`, straight between the
    middles of two rings; above the uppermost and below the lowest of them by the share of
    the melting that is done, so that the depth grows from nothing to the base without a step.
    """
    j = c.top[i]
    k = spot(j, i, c)
    half = 0.5 * c.step * mass[k] / c.full[k]
    melting = c.flows_at - c.solid_at
    deep: float = half  # down to the middle of ring k
    if y[k] < c.flows_at:
        deep *= max(0.0, (y[k] - c.solid_at) / melting)
        return deep
    while j > c.first[i]:
        below = k - c.stride
        under = 0.5 * c.step * mass[below] / c.full[below]
        if y[below] < c.flows_at:
            deep += (half + under) * (y[k] - c.flows_at) / (y[k] - y[below])
            return deep
        deep += half + under
        j, k, half = j - 1, below, under
    deep += half * min(1.0, (y[k] - c.flows_at) / melting)
    return deep


@jit
def measure(y: Array, mass: Array, p: Parts, c: Columns, log: Array) -> None:
    """Fill a row of the log.

    0 level [m], 1 pool radius [m], 2 pool depth [m], 3 hottest wall [K], 4 its node,
    5 wax left [kg], 6 highest column [m], 7 mean heat of the pool's top [J/kg].
    """
    reach, deep, warmth, weight, highest = 0.0, 0.0, 0.0, 0.0, 0.0
    joined = True
    for i in range(c.columns):
        if c.top[i] < 0:
            continue
        highest = max(highest, stand(i, mass, c))
        k = (c.top[i] + 1) * c.stride + i + 1
        inner = c.edge[k - 1]
        if joined:
            if y[k] >= c.flows_at:
                reach = c.edge[k]
                warmth += mass[k] * y[k]
                weight += mass[k]
            else:  # how far the melting has come into the next ring
                part = (y[k] - c.solid_at) / (c.flows_at - c.solid_at)
                reach = inner + (c.edge[k] - inner) * max(0.0, part)
                joined = False
        deep = max(deep, molten(i, y, mass, c))
    log[0] = stand(0, mass, c)
    log[1] = reach
    log[2] = deep
    log[3] = 0.0
    log[4] = -1.0
    for n in range(p.nodes):
        if y[p.cells + n] > log[3]:
            log[3] = y[p.cells + n]
            log[4] = n
    log[5] = mass.sum()
    log[6] = highest
    log[7] = warmth / weight if weight > 0.0 else 0.0


@jit
def prepare(
    y: Array, mass: Array, p: Parts, c: Columns, f: Flame, tau: float
) -> tuple[float, float]:
    """Do all that flows in a step of τ [s]; return fuel [kg] and heat [J] taken."""
    taken, heat = 0.0, 0.0
    if f.rate > 0.0:
        taken, heat = burn_away(f.rate * tau, y, mass, c)
    flow(y, mass, c)
    relink(y, mass, p, c)
    shine(mass, p, c, f)
    return taken, heat


@jit
def burn(
    y: Array,
    mass: Array,
    p: Parts,
    c: Columns,
    f: Flame,
    times: Array,
    tau: float,
    heel: float,
    frames: Array,
    masses: Array,
    log: Array,
    books: Array,
) -> int:
    """Burn (or cool, at rate 0) y and mass in place, with a record at each of `times`.

    Stops when `heel` [kg] is left while burning; returns how many records were made,
    −1 when a step would have been too stiff.
    books gathers fuel [kg], its heat [J] and the heat fed [J].
    """
    size = len(y)
    buffers = np.zeros((6, size))
    theta = np.zeros(p.cells)
    touch = np.zeros((3, len(p.touch_cell)))
    outlet = np.zeros((2, len(p.open_cell)))
    bare = np.zeros((2, len(p.bare_node)))
    now = 0.0
    for n in range(len(times)):
        steps = max(1, int(np.ceil((times[n] - now) / tau - 1e-9)))
        step = (times[n] - now) / steps
        for _ in range(steps):
            if f.rate > 0.0 and mass.sum() <= heel:
                return n
            fuel, heat = prepare(y, mass, p, c, f, step)
            books[0] += fuel
            books[1] += heat
            books[2] += p.source.sum() * step
            if advance(y, step, p, buffers, theta, touch, outlet, bare, MOST_STAGES) < 0:
                return -1
        now = times[n]
        measure(y, mass, p, c, log[n])
        for k in range(size):
            frames[n, k] = y[k]
        for k in range(len(mass)):
            masses[n, k] = mass[k]
    return len(times)
