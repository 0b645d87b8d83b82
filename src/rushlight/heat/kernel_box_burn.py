"""Compiled burning of a candle of any plan with one wick or several.

The rules are those of `rushlight.heat.kernel_burn`; what is new is that there may be
several pools. Molten columns that touch make one pool; each pool levels by itself and
runs over onto what is lower beside it; each wick drinks from the pool it stands in, and
wicks whose pools have met drink from both.
"""
# ruff: noqa: PLR0913, PLR0917 -- a kernel takes its buffers

from __future__ import annotations

import numpy as np

from rushlight.heat._jit import jit
from rushlight.heat.box_columns import Bed, Flames
from rushlight.heat.box_system import Block
from rushlight.heat.enthalpy import Array
from rushlight.heat.grid import Index
from rushlight.heat.kernel_box import box_advance
from rushlight.heat.kernel_burn import down, find_level, molten, stand, tidy
from rushlight.heat.kernel_set import potentials

MOST_STAGES = 4001  # in one superstep, as in `kernel_set`
FILM = 0.02  # of a cell, always left on the base
LEVEL = 1e-7  # a pool is level when it is so to this [m]
BOUNDLESS = 1e9  # room on a column without a lid [kg]
COVERED = 0.98  # of a cell: from here a column under a shoulder has no open face
FLAT = 1e-9  # difference of potential below which two cells are alike [W/m]
DRAWN = 0.1  # of a cell, which a wick leaves in a column


@jit
def label(y: Array, b: Bed, marks: Index, queue: Index) -> int:
    """Fill `marks` with the number of each column's pool, 0 where its top is solid.

    Return how many pools there are.
    """
    c = b.c
    for i in range(c.columns):
        marks[i] = 0
    count = 0
    for seed in range(c.columns):
        if c.top[seed] < 0 or marks[seed] != 0:
            continue
        if y[(c.top[seed] + 1) * c.stride + seed + 1] < c.flows_at:
            continue
        count += 1
        marks[seed] = count
        queue[0] = seed
        waiting = 1
        while waiting > 0:
            waiting -= 1
            here = queue[waiting]
            for step in (-1, 1, -b.pitch, b.pitch):
                i = here + step
                if i < 0 or i >= c.columns or c.top[i] < 0 or marks[i] != 0:
                    continue
                if y[(c.top[i] + 1) * c.stride + i + 1] >= c.flows_at:
                    marks[i] = count
                    queue[waiting] = i
                    waiting += 1
    return count


@jit
def pool_of(w: int, b: Bed, marks: Index) -> int:
    """Return the number of the pool a wick stands in, 0 before there is one."""
    for i in range(b.c.columns):
        if b.foot[w, i] > 0.0 and marks[i] > 0:
            return int(marks[i])
    return 0


@jit
def gather(
    pool: int, y: Array, mass: Array, b: Bed, marks: Index, members: Index, ground: Array
) -> int:
    """List a pool's columns and the solid ones beside it; fill `ground` as `survey` does.

    Return how many there are.
    """
    c, count = b.c, 0
    for i in range(c.columns):
        if c.top[i] < 0:
            continue
        mine = marks[i] == pool
        beside = False
        if marks[i] == 0:
            for step in (-1, 1, -b.pitch, b.pitch):
                n = i + step
                if 0 <= n < c.columns and marks[n] == pool:
                    beside = True
        if not (mine or beside):
            continue
        k = (c.top[i] + 1) * c.stride + i + 1
        ground[0, count] = c.step * (c.top[i] + mass[k] / c.full[k])
        ground[1, count] = c.full[k] / c.step
        ground[2, count] = 0.0
        if mine and y[k] >= c.flows_at:
            kept = FILM * c.full[k] if c.top[i] == c.first[i] else 0.0
            ground[2, count] = max(0.0, mass[k] - kept)
        ground[3, count] = BOUNDLESS if c.top[i] < c.cap[i] else max(0.0, c.full[k] - mass[k])
        members[count] = i
        count += 1
    return count


@jit
def level_pool(
    pool: int, y: Array, mass: Array, b: Bed, marks: Index, members: Index, ground: Array
) -> None:
    """Let a pool come level, and run over onto what is lower beside it."""
    c = b.c
    count = gather(pool, y, mass, b, marks, members, ground)
    here = ground[:, :count]
    low, high = 1e9, -1e9
    for m in range(count):
        low, high = min(low, here[0, m]), max(high, here[0, m])
    if high - low <= LEVEL:
        return
    level = find_level(here)
    tank, heat, place = 0.0, 0.0, 0.0
    for m in range(count):
        above = (here[0, m] - level) * here[1, m]
        i = members[m]
        if above > 0.0:
            tank += min(above, here[2, m])
            heat += min(above, here[2, m]) * y[(c.top[i] + 1) * c.stride + i + 1]
        else:
            place += min(-above, here[3, m])
    if tank <= 0.0 or place <= 0.0:
        return
    for m in range(count):
        above = (here[0, m] - level) * here[1, m]
        i = members[m]
        k = (c.top[i] + 1) * c.stride + i + 1
        if above > 0.0:
            mass[k] -= min(above, here[2, m])
        elif above < 0.0:
            more = tank * min(-above, here[3, m]) / place
            y[k] = (mass[k] * y[k] + more * heat / tank) / (mass[k] + more)
            mass[k] += more
    for m in range(count):
        tidy(members[m], y, mass, c)


@jit
def drawn_from(pool: int, mass: Array, b: Bed, marks: Index) -> float:
    """Return the full mass [kg] of the top cells of a pool that can still give."""
    c, area = b.c, 0.0
    if pool > 0:
        for i in range(c.columns):
            k = (c.top[i] + 1) * c.stride + i + 1
            if marks[i] == pool and mass[k] > DRAWN * c.full[k]:
                area += c.full[k]
    return area


@jit
def drink(w: int, fuel: float, y: Array, mass: Array, b: Bed, marks: Index) -> tuple[float, float]:
    """Take a wick's fuel [kg] evenly from its pool; return mass [kg] and heat [J] taken.

    Before there is a pool it is taken at the wick. A small pool is asked again until it
    has given all.
    """
    c = b.c
    pool = pool_of(w, b, marks)
    taken, heat = 0.0, 0.0
    for _ in range(8):
        wanted = fuel - taken
        if wanted <= 1e-12 * fuel:
            break
        area = drawn_from(pool, mass, b, marks)
        for i in range(c.columns):
            if c.top[i] < 0:
                continue
            k = (c.top[i] + 1) * c.stride + i + 1
            part = 0.0
            if area > 0.0:
                if marks[i] == pool and mass[k] > DRAWN * c.full[k]:
                    part = wanted * c.full[k] / area
            else:
                part = wanted * b.foot[w, i]
            if part > 0.0:
                part = min(part, 0.9 * mass[k])
                mass[k] -= part
                taken += part
                heat += part * y[k]
                tidy(i, y, mass, c)
    return taken, heat


@jit
def recontact(mass: Array, q: Block, b: Bed, stiff: Array) -> None:
    """Set contacts with the shell and open faces; add their links to `stiff` [m]."""
    p, c = q.parts, b.c
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
        p.open_area[i] = 0.0 if covered else b.area[k]
        p.open_half[i] = 0.5 * c.step * max(here, 0.05)
        stiff[k] += p.open_area[i] / p.open_half[i]


@jit
def relink(y: Array, mass: Array, q: Block, b: Bed) -> None:
    """Set links, contacts and open faces for the mass each cell holds now.

    As `kernel_burn.relink`: the melt mixes less upwards than across.
    """
    p, c = q.parts, b.c
    s, f = c.stride, b.pitch
    stiff = np.zeros(len(mass))
    across, calm = np.empty(len(mass)), np.empty(len(mass))
    potentials(y, across, p.bends, p.to_potential)
    potentials(y, calm, p.bends, c.calm)
    for k in range(s, len(mass) - s):
        p.mass[k] = mass[k]
        p.lightness[k] = 1.0 / mass[k] if mass[k] > 0.0 else 0.0
        p.across[k] = 0.0
        q.along[k] = 0.0
        p.up[k] = 0.0
        if mass[k] <= 0.0:
            continue
        here = mass[k] / c.full[k]
        if mass[k - 1] > 0.0:
            p.across[k] = c.across[k] * min(here, mass[k - 1] / c.full[k - 1])
        if mass[k - f] > 0.0:
            q.along[k] = b.along[k] * min(here, mass[k - f] / c.full[k - f])
        if mass[k - s] > 0.0:
            deep = 0.5 * (here + mass[k - s] / c.full[k - s])
            p.up[k] = c.up[k] / deep
            gap = across[k] - across[k - s]
            if abs(gap) > FLAT:
                p.up[k] *= (calm[k] - calm[k - s]) / gap
        stiff[k] += p.across[k] + q.along[k] + p.up[k]
        stiff[k - 1] += p.across[k]
        stiff[k - f] += q.along[k]
        stiff[k - s] += p.up[k]
    recontact(mass, q, b, stiff)
    most = 0.0
    for k in range(len(mass)):
        most = max(most, stiff[k] * p.lightness[k])
    p.rate[0] = most


@jit
def height_at_wick(w: int, mass: Array, b: Bed) -> float:
    """Return the mean height [m] of the surface under a wick's flame."""
    height = 0.0
    for i in range(b.c.columns):
        if b.foot[w, i] > 0.0:
            height += b.foot[w, i] * stand(i, mass, b.c)
    return height


@jit
def follow(ray: int, point: float, wax: float, wall: float, mass: Array, q: Block, b: Bed) -> None:
    """Let one ray from a height [m] give the columns it meets and the wall their parts.

    wax, wall [W]: what each takes of a whole sphere in one ray; the rule is that of the
    rings: a ray meets the first surface it strikes.
    """
    p, c = q.parts, b.c
    seen, inner = 1.0, 0.0
    for n in range(b.ray_start[ray], b.ray_start[ray + 1]):
        i = b.ray_column[n]
        if c.top[i] < 0:
            continue
        drop = point - stand(i, mass, c)
        new = min(seen, down(b.ray_edge[n], drop))
        if inner > 0.0:
            new = min(new, down(inner, drop))
        p.source[(c.top[i] + 1) * c.stride + i + 1] += wax * (seen - new)
        seen, inner = new, b.ray_edge[n]
    for j in range(len(b.wall_top)):
        new = min(seen, down(b.ray_wall[ray, j], point - b.wall_top[j]))
        p.source[p.cells + b.feet + j * b.sectors + b.ray_sector[ray]] += wall * (seen - new)
        seen = new


@jit
def shine(mass: Array, q: Block, b: Bed, f: Flames) -> None:
    """Share out the flames' heat: rays from a point, hot gas under and beside it."""
    p, c = q.parts, b.c
    for k in range(len(p.source)):
        p.source[k] = 0.0
    if f.rate <= 0.0:
        return
    wicks, rays = b.foot.shape[0], len(b.ray_start) - 1
    per = rays // wicks
    for w in range(wicks):
        point = height_at_wick(w, mass, b) + f.centre[w]
        for i in range(c.columns):
            if b.foot[w, i] > 0.0 and c.top[i] >= 0:
                p.source[(c.top[i] + 1) * c.stride + i + 1] += f.beneath[w] * b.foot[w, i]
        wax = f.radiated[w] * f.wax * 0.5 / per
        wall = f.radiated[w] * f.wall * 0.5 / per
        for ray in range(w * per, (w + 1) * per):
            follow(ray, point, wax, wall, mass, q, b)
        for n in range(b.feet, p.nodes):
            bare = p.bare_area[c.inside[n]]
            p.source[p.cells + n] += f.gas[w] * b.gas_share[w, n] * bare


@jit
def near_melting(i: int, y: Array, b: Bed, marks: Index, tapped: Index) -> float:
    """Return how much of a solid column [1] counts to a wick's pool beside it."""
    c = b.c
    for step in (-1, 1, -b.pitch, b.pitch):
        n = i + step
        if 0 <= n < c.columns and marks[n] > 0 and tapped[marks[n]] > 0:
            h = y[(c.top[i] + 1) * c.stride + i + 1]
            share: float = (h - c.solid_at) / (c.flows_at - c.solid_at)
            return min(max(0.0, share), 1.0)
    return 0.0


@jit
def measure_pools(
    y: Array, mass: Array, b: Bed, marks: Index, queue: Index, areas: Array, log: Array
) -> None:
    """Fill entries 0, 1, 7 and those of the wicks in a row of the log."""
    count = label(y, b, marks, queue)
    tapped = np.zeros(count + 1, dtype=np.int64)
    areas[: count + 1] = 0.0
    log[0], log[7] = 1e9, 0.0
    for w in range(b.foot.shape[0]):
        log[0] = min(log[0], height_at_wick(w, mass, b))
        pool = pool_of(w, b, marks)
        if pool == 0 or tapped[pool] == 0:
            log[7] += 1.0
        if pool > 0:
            tapped[pool] = 1
    log[1] = 0.0
    for i in range(b.c.columns):
        if b.c.top[i] < 0:
            continue
        area = b.area[(b.c.top[i] + 1) * b.c.stride + i + 1]
        areas[marks[i]] += area
        if marks[i] == 0:
            log[1] += area * near_melting(i, y, b, marks, tapped)
        elif tapped[marks[i]] > 0:
            log[1] += area
    for w in range(b.foot.shape[0]):
        pool = pool_of(w, b, marks)
        log[8 + w] = areas[pool] if pool > 0 else 0.0


@jit
def measure(
    y: Array, mass: Array, q: Block, b: Bed, marks: Index, queue: Index, log: Array
) -> None:
    """Fill a row of the log.

    0 lowest surface at a wick [m], 1 area of the wicks' pools [m²], 2 depth [m], 3 hottest
    wall [K], 4 its node, 5 wax left [kg], 6 highest column [m], 7 how many pools the wicks
    have, 8… area of each wick's own pool [m²].
    """
    p, c = q.parts, b.c
    measure_pools(y, mass, b, marks, queue, np.zeros(c.columns + 1), log)
    highest, deep = 0.0, 0.0
    for i in range(c.columns):
        if c.top[i] >= 0:
            highest = max(highest, stand(i, mass, c))
            deep = max(deep, molten(i, y, mass, c))
    log[2], log[3], log[4] = deep, 0.0, -1.0
    for n in range(p.nodes):
        if y[p.cells + n] > log[3]:
            log[3] = y[p.cells + n]
            log[4] = n
    log[5] = mass.sum()
    log[6] = highest


@jit
def prepare(
    y: Array, mass: Array, q: Block, b: Bed, f: Flames, tau: float, marks: Index, queue: Index
) -> tuple[float, float]:
    """Do all that flows in a step of τ [s]; return fuel [kg] and heat [J] taken."""
    ground = np.zeros((4, b.c.columns))
    count = label(y, b, marks, queue)
    taken, heat = 0.0, 0.0
    if f.rate > 0.0:
        for w in range(b.foot.shape[0]):
            fuel, carried = drink(w, f.each[w] * tau, y, mass, b, marks)
            taken += fuel
            heat += carried
    for pool in range(1, count + 1):
        level_pool(pool, y, mass, b, marks, queue, ground)
    relink(y, mass, q, b)
    shine(mass, q, b, f)
    return taken, heat


@jit
def burn(
    y: Array,
    mass: Array,
    q: Block,
    b: Bed,
    f: Flames,
    times: Array,
    tau: float,
    heel: float,
    frames: Array,
    masses: Array,
    log: Array,
    books: Array,
) -> int:
    """Burn (or cool, at rate 0) y and mass in place; see `kernel_burn.burn`, also for −1."""
    size, p = len(y), q.parts
    buffers = np.zeros((6, size))
    theta = np.zeros(p.cells)
    touch = np.zeros((3, len(p.touch_cell)))
    outlet = np.zeros((2, len(p.open_cell)))
    bare = np.zeros((2, len(p.bare_node)))
    marks = np.zeros(b.c.columns, dtype=np.int64)
    queue = np.zeros(b.c.columns, dtype=np.int64)
    now = 0.0
    for n in range(len(times)):
        steps = max(1, int(np.ceil((times[n] - now) / tau - 1e-9)))
        step = (times[n] - now) / steps
        for _ in range(steps):
            if f.rate > 0.0 and mass.sum() <= heel:
                return n
            fuel, heat = prepare(y, mass, q, b, f, step, marks, queue)
            books[0] += fuel
            books[1] += heat
            books[2] += p.source.sum() * step
            if box_advance(y, step, q, buffers, theta, touch, outlet, bare, MOST_STAGES) < 0:
                return -1
        now = times[n]
        measure(y, mass, q, b, marks, queue, log[n])
        for k in range(size):
            frames[n, k] = y[k]
        for k in range(len(mass)):
            masses[n, k] = mass[k]
    return len(times)
