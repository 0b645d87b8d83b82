"""Compiled march of a candle in time: explicit enthalpy with super-time-stepping.

One superstep is the second-order Runge–Kutta–Legendre scheme of Meyer,
Balsara & Aslam, J. Comput. Phys. 257 (2014) 594–626: s stages reach
(s² + s − 2)/4 explicit steps. It is a linear combination of conservative
rates, so mass and heat are kept to rounding. Coefficients of the air and of
contacts are held within a superstep. `rushlight.heat.twin` is the same
mathematics in plain NumPy.

Its recursion carries each stage on with the momentum of those before. A ring that
freezes within one superstep so runs on past the end of its latent heat, where the
same heat is suddenly many times the change of temperature, and ends colder than all
about it, however many stages there are. No conduction does that: a superstep that
does is thrown away and taken in halves (`advance`).

A compiled function is cached with the globals it saw and with the functions it
calls; numba looks only at its own file for changes. So a kernel uses no
constant of another module (they come in `Parts`).
"""
# ruff: noqa: PLR0913, PLR0917 -- a kernel takes its buffers

from __future__ import annotations

import numpy as np

from rushlight.heat._jit import jit
from rushlight.heat.enthalpy import Array
from rushlight.heat.system import Parts

SAFETY = 0.9  # of the stable step: coefficients move a little within a superstep
MOST_STAGES = 4001  # in one superstep; more means that something has gone wrong
STRAY = 200.0  # beyond all about it, from where a step is halved [J/kg]: 0.1 K of solid wax
HALVINGS = 7  # of one superstep at most: then a stage is a plain explicit step, or nearly
STILL = 1e-3  # below this difference [K] the slope of the flux is taken


@jit
def over(x: float) -> float:
    """Return x where positive, else 0: a hinge, written so that it vectorises."""
    return x if x > 0.0 else 0.0  # noqa: FURB136 -- max() of numba minds NaN and is slower


@jit
def bent(h: float, bends: Array, changes: Array) -> float:
    """Return the sum of hinges at h."""
    total: float = (
        changes[0]
        + changes[1] * h
        + changes[2] * over(h - bends[2])
        + changes[3] * over(h - bends[3])
        + changes[4] * over(h - bends[4])
        + changes[5] * over(h - bends[5])
        + changes[6] * over(h - bends[6])
        + changes[7] * over(h - bends[7])
        + changes[8] * over(h - bends[8])
        + changes[9] * over(h - bends[9])
    )
    return total


@jit
def piece(h: float, bends: Array) -> int:
    """Return which straight piece h lies in."""
    place = 0
    for n in range(2, len(bends)):
        if bends[n] != 0.0 and h >= bends[n]:
            place += 1
    return place


@jit
def flux_at(t: float, table: Array, start: float, step: float) -> tuple[float, float]:
    """Return flux [W/m²] and its slope [W/(m² K)] at a surface temperature [K]."""
    x = (t - start) / step
    n = min(max(int(x), 0), len(table) - 2)
    rise = table[n + 1] - table[n]
    return table[n] + rise * (x - n), rise / step


@jit
def potentials(y: Array, theta: Array, b: Array, c: Array) -> None:
    """Fill θ(h) [W/m] of every ring from bends b and changes c."""
    b2, b3, b4, b5, b6, b7, b8, b9 = b[2], b[3], b[4], b[5], b[6], b[7], b[8], b[9]
    c0, c1, c2, c3, c4, c5, c6, c7, c8, c9 = (
        c[0], c[1], c[2], c[3], c[4], c[5], c[6], c[7], c[8], c[9],
    )  # fmt: skip
    if c5 == 0.0 and c6 == 0.0:  # most waxes bend three times at most
        for k in range(len(theta)):
            h = y[k]
            theta[k] = c0 + c1 * h + c2 * over(h - b2) + c3 * over(h - b3) + c4 * over(h - b4)
    else:
        for k in range(len(theta)):
            h = y[k]
            theta[k] = (
                c0
                + c1 * h
                + c2 * over(h - b2)
                + c3 * over(h - b3)
                + c4 * over(h - b4)
                + c5 * over(h - b5)
                + c6 * over(h - b6)
                + c7 * over(h - b7)
                + c8 * over(h - b8)
                + c9 * over(h - b9)
            )


@jit
def rates(
    y: Array, dy: Array, theta: Array, p: Parts, touch: Array, outlet: Array, bare: Array
) -> None:
    """Fill dy/dt.

    Heat flows, with θ of the ring and T of the node: through a contact
    touch₀ + touch₁ θ − touch₂ T, from an open face outlet₀ + outlet₁ θ, from
    a bare node bare₀ + bare₁ T [W]; `settle` sets the coefficients.
    """
    nc, s = p.cells, p.stride
    potentials(y, theta, p.bends, p.to_potential)
    # Views, plain indices and few arrays to a loop: so they become vector code.
    inner = nc - 2 * s
    left, here, right = theta[s - 1 :], theta[s:], theta[s + 1 :]
    below, above = theta, theta[2 * s :]
    west, east = p.across[s:], p.across[s + 1 :]
    south, north = p.up[s:], p.up[2 * s :]
    light, source, out = p.lightness[s:], p.source[s:], dy[s:]
    for k in range(inner):
        out[k] = west[k] * (left[k] - here[k]) + east[k] * (right[k] - here[k]) + source[k]
    for k in range(inner):
        out[k] += south[k] * (below[k] - here[k]) + north[k] * (above[k] - here[k])
    for k in range(inner):
        out[k] *= light[k]
    nodes, before, after = y[nc:], y[nc - 1 :], y[nc + 1 :]
    link, next_link, heated, warmth = p.link, p.link[1:], p.source[nc:], dy[nc:]
    for k in range(p.nodes):
        warmth[k] = (
            link[k] * (before[k] - nodes[k]) + next_link[k] * (after[k] - nodes[k]) + heated[k]
        )
    given = dy[nc + p.nodes :]
    for k in range(len(given)):
        given[k] = 0.0
    for i in range(touch.shape[1]):
        c, n = p.touch_cell[i], p.touch_node[i]
        q = touch[0, i] + touch[1, i] * theta[c] - touch[2, i] * nodes[n]
        dy[c] -= q * p.lightness[c]
        warmth[n] += q
    for i in range(outlet.shape[1]):
        c = p.open_cell[i]
        q = outlet[0, i] + outlet[1, i] * theta[c]
        dy[c] -= q * p.lightness[c]
        given[p.open_air[i]] += q
    for i in range(bare.shape[1]):
        n = p.bare_node[i]
        q = bare[0, i] + bare[1, i] * nodes[n]
        warmth[n] -= q
        given[p.bare_air[i]] += q
    for k in range(p.nodes):
        warmth[k] /= p.capacity[k]


@jit
def settle(y: Array, p: Parts, touch: Array, outlet: Array, bare: Array) -> float:
    """Set the coefficients for a superstep; return the stable explicit step [s]."""
    nc = p.cells
    top = 0.0
    for k in range(nc):
        top = max(top, y[k])
    for i in range(touch.shape[1]):
        h = y[p.touch_cell[i]]
        k_wax = p.conduct[piece(h, p.bends)]
        conductance = p.touch_area[i] / (p.touch_half[i] / k_wax + p.touch_wall[i])
        datum = bent(h, p.bends, p.to_kelvin) - bent(h, p.bends, p.to_potential) / k_wax
        touch[0, i] = conductance * datum
        touch[1, i] = conductance / k_wax
        touch[2, i] = conductance
    for i in range(outlet.shape[1]):
        h = y[p.open_cell[i]]
        k_wax = p.conduct[piece(h, p.bends)]
        warm = bent(h, p.bends, p.to_kelvin)
        inside = p.open_half[i] / k_wax
        air = p.open_air[i]
        surface, best = warm, 0.0
        for _ in range(3):  # the skin is cooler than the middle of the ring
            out, slope = flux_at(surface, p.flux[air], p.flux_start[air], p.flux_step)
            gap = surface - p.ambient[air]
            gain = slope if abs(gap) < STILL else out / gap
            best = gain / (1.0 + gain * inside)
            surface = warm - best * inside * (warm - p.ambient[air])
        datum = warm - bent(h, p.bends, p.to_potential) / k_wax
        outlet[0, i] = p.open_area[i] * best * (datum - p.ambient[air])
        outlet[1, i] = p.open_area[i] * best / k_wax
    for i in range(len(p.bare_node)):
        t = y[nc + p.bare_node[i]]
        air = p.bare_air[i]
        out, slope = flux_at(t, p.flux[air], p.flux_start[air], p.flux_step)
        bare[0, i] = p.bare_area[i] * (out - slope * t)
        bare[1, i] = p.bare_area[i] * slope
    fastest = max(p.rate[0] * p.climb[piece(top, p.bends)], p.rate[1])
    stable: float = SAFETY / fastest
    return stable


@jit
def superstep(
    y: Array,
    tau: float,
    stages: int,
    p: Parts,
    buffers: Array,
    theta: Array,
    touch: Array,
    outlet: Array,
    bare: Array,
) -> None:
    """Fill buffers[5] with y advanced by τ [s] in `stages` stages; buffers: 6 × len(y)."""
    first, dy, old, new, spare = buffers[0], buffers[1], buffers[2], buffers[3], buffers[4]
    after = buffers[5]
    size = len(y)
    rates(y, first, theta, p, touch, outlet, bare)
    w = 4.0 / (stages * stages + stages - 2.0)
    for k in range(size):
        old[k] = y[k]
        new[k] = y[k] + (w / 3.0) * tau * first[k]
    before, b1, b2 = 1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0  # b of j−1; of j−1 and j−2
    for j in range(2, stages + 1):
        b = (j * j + j - 2.0) / (2.0 * j * (j + 1.0))
        mu = (2.0 * j - 1.0) / j * b / b1
        nu = -(j - 1.0) / j * b / b2
        rest = 1.0 - mu - nu
        push = mu * w * tau
        pull = -(1.0 - before) * push
        rates(new, dy, theta, p, touch, outlet, bare)
        for k in range(size):
            spare[k] = mu * new[k] + nu * old[k] + rest * y[k] + push * dy[k] + pull * first[k]
        old, new, spare = new, spare, old
        b2, b1, before = b1, b, b
    for k in range(size):
        after[k] = new[k]


@jit
def stages_for(tau: float, stable: float) -> int:
    """Return the odd number of stages, at least 3, that makes τ stable."""
    n = int(((9.0 + 16.0 * tau / stable) ** 0.5 - 1.0) / 2.0) + 1
    return max(3, n + 1 - n % 2)


@jit
def bounds(k: int, before: Array, after: Array, p: Parts) -> tuple[float, float]:
    """Return the least and the most of what ring k was and its neighbours were and are [J/kg]."""
    s = p.stride
    low, high = before[k], before[k]
    if p.across[k] > 0.0:
        low = min(low, before[k - 1], after[k - 1])
        high = max(high, before[k - 1], after[k - 1])
    if p.across[k + 1] > 0.0:
        low = min(low, before[k + 1], after[k + 1])
        high = max(high, before[k + 1], after[k + 1])
    if p.up[k] > 0.0:
        low = min(low, before[k - s], after[k - s])
        high = max(high, before[k - s], after[k - s])
    if p.up[k + s] > 0.0:
        low = min(low, before[k + s], after[k + s])
        high = max(high, before[k + s], after[k + s])
    return low, high


@jit
def lone(before: Array, after: Array, p: Parts, inner: Array) -> None:
    """Fill the change [J/kg] of rings that conduct only to their neighbours, 0 for others."""
    for k in range(p.cells):
        inner[k] = after[k] - before[k] if p.source[k] == 0.0 else 0.0
    for i in range(len(p.touch_cell)):
        inner[p.touch_cell[i]] = 0.0
    for i in range(len(p.open_cell)):
        if p.open_area[i] > 0.0:
            inner[p.open_cell[i]] = 0.0


@jit
def strays(before: Array, after: Array, p: Parts, inner: Array) -> bool:
    """Tell whether a superstep took a ring more than STRAY past all about it.

    A ring that conducts only to its neighbours ends no colder than the coldest of what
    it and they were and what they are now, and no hotter than the hottest. Rings that
    touch vessel or air or are heated are left out. inner: room for one number a ring.
    """
    lone(before, after, p, inner)
    for k in range(p.stride, p.cells - p.stride):
        if -STRAY <= inner[k] <= STRAY:  # it has itself for company
            continue
        low, high = bounds(k, before, after, p)
        if low - after[k] > STRAY or after[k] - high > STRAY:
            return True
    return False


@jit
def advance(
    y: Array,
    tau: float,
    p: Parts,
    buffers: Array,
    theta: Array,
    touch: Array,
    outlet: Array,
    bare: Array,
    most: int,
) -> int:
    """Advance y by τ [s] in place, in halves where a ring strays; return the stages taken.

    −1 when one superstep needs more than `most` of them. buffers: 6 × len(y).
    """
    after = buffers[5]
    done, part, halved, count = 0.0, tau, 0, 0
    while tau - done > 1e-9 * tau:
        part = min(part, tau - done)
        stages = stages_for(part, settle(y, p, touch, outlet, bare))
        if stages > most:
            return -1
        superstep(y, part, stages, p, buffers, theta, touch, outlet, bare)
        count += stages
        if halved < HALVINGS and strays(y, after, p, theta):
            part *= 0.5
            halved += 1
        else:
            done += part
            for k in range(len(y)):
                y[k] = after[k]
    return count


@jit
def march(
    y: Array, times: Array, p: Parts, least: float, growth: float, most: float, frames: Array
) -> int:
    """Fill a frame of y at each of `times` [s]; return the number of stages taken.

    Supersteps are `least` + `growth` × time so far, at most `most` [s]; −1 is returned
    when one would be too stiff.
    """
    size = len(y)
    buffers = np.zeros((6, size))
    theta = np.zeros(p.cells)
    touch = np.zeros((3, len(p.touch_cell)))
    outlet = np.zeros((2, len(p.open_cell)))
    bare = np.zeros((2, len(p.bare_node)))
    now, count = 0.0, 0
    for frame in range(len(times)):
        while times[frame] - now > 1e-9 * most:
            left = times[frame] - now
            tau = min(left, least + growth * now, most)
            if tau < left < 2.0 * tau:
                tau = 0.5 * left
            stages = advance(y, tau, p, buffers, theta, touch, outlet, bare, MOST_STAGES)
            if stages < 0:
                return -1
            now += tau
            count += stages
        for k in range(size):
            frames[frame, k] = y[k]
    return count
