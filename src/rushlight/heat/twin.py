"""The march of a candle in plain NumPy: slow, short, and what the kernel is tested against.

Function for function the mathematics of `rushlight.heat.kernel_set`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rushlight.heat.enthalpy import Array, evaluate
from rushlight.heat.grid import Index
from rushlight.heat.system import Parts

Links = tuple[tuple[Array, int], ...]
SAFETY = 0.9
STRAY, HALVINGS = 200.0, 7
STILL = 1e-3
MOST_STAGES = 4001


@dataclass(frozen=True)
class Held:
    """Coefficients held within a superstep, as in the kernel; `stable` [s]."""

    touch: Array
    outlet: Array
    bare: Array
    stable: float


def piece(h: Array, bends: Array) -> Index:
    """Return which straight piece each h [J/kg] lies in."""
    return np.asarray(sum((h >= bend).astype(np.int64) for bend in bends[2:] if bend != 0.0))


def flux_at(t: Array, air: Index, p: Parts) -> tuple[Array, Array]:
    """Return flux [W/m²] and slope [W/(m² K)] at T [K], one kind of air per place."""
    x = (t - p.flux_start[air]) / p.flux_step
    n = np.clip(x.astype(np.int64), 0, p.flux.shape[1] - 2)
    low, high = p.flux[air, n], p.flux[air, n + 1]
    return low + (high - low) * (x - n), (high - low) / p.flux_step


def settle(y: Array, p: Parts) -> Held:
    """Return the coefficients for a superstep."""
    h = y[p.touch_cell]
    k_wax = p.conduct[piece(h, p.bends)]
    conductance = p.touch_area / (p.touch_half / k_wax + p.touch_wall)
    datum = evaluate(p.bends, p.to_kelvin, h) - evaluate(p.bends, p.to_potential, h) / k_wax
    touch = np.array([conductance * datum, conductance / k_wax, conductance])
    h = y[p.open_cell]
    k_wax = p.conduct[piece(h, p.bends)]
    warm = evaluate(p.bends, p.to_kelvin, h)
    inside = p.open_half / k_wax
    ambient = p.ambient[p.open_air]
    surface, best = warm, np.zeros_like(warm)
    for _ in range(3):
        out, slope = flux_at(surface, p.open_air, p)
        gap = surface - ambient
        still = np.abs(gap) < STILL
        gain = np.where(still, slope, out / np.where(still, 1.0, gap))
        best = gain / (1.0 + gain * inside)
        surface = warm - best * inside * (warm - ambient)
    datum = warm - evaluate(p.bends, p.to_potential, h) / k_wax
    outlet = p.open_area * best * np.array([datum - ambient, 1.0 / k_wax])
    t = y[p.cells + p.bare_node]
    out, slope = flux_at(t, p.bare_air, p)
    bare = p.bare_area * np.array([out - slope * t, slope])
    top = piece(np.array([max(0.0, float(y[: p.cells].max()))]), p.bends)[0]
    fastest = max(float(p.rate[0] * p.climb[top]), float(p.rate[1]))
    return Held(touch, outlet, bare, SAFETY / fastest)


def rates(y: Array, p: Parts, held: Held) -> Array:
    """Return dy/dt."""
    nc, s = p.cells, p.stride
    dy = np.zeros_like(y)
    theta = evaluate(p.bends, p.to_potential, y[:nc])
    east = p.across[1:nc] * np.diff(theta)  # towards the lower index
    north = p.up[s:nc] * (theta[s:] - theta[:-s])
    heat = p.source[:nc].copy()
    heat[:-1] += east
    heat[1:] -= east
    heat[:-s] += north
    heat[s:] -= north
    nodes = y[nc : nc + p.nodes]
    warmth = p.source[nc:].copy()
    flow = p.link[1 : p.nodes] * np.diff(nodes)
    warmth[:-1] += flow
    warmth[1:] -= flow
    given = dy[nc + p.nodes :]
    q = held.touch[0] + held.touch[1] * theta[p.touch_cell] - held.touch[2] * nodes[p.touch_node]
    np.add.at(heat, p.touch_cell, -q)
    np.add.at(warmth, p.touch_node, q)
    q = held.outlet[0] + held.outlet[1] * theta[p.open_cell]
    np.add.at(heat, p.open_cell, -q)
    np.add.at(given, p.open_air, q)
    q = held.bare[0] + held.bare[1] * nodes[p.bare_node]
    np.add.at(warmth, p.bare_node, -q)
    np.add.at(given, p.bare_air, q)
    dy[:nc] = heat * p.lightness
    dy[nc : nc + p.nodes] = warmth / p.capacity
    return dy


def superstep(y: Array, tau: float, stages: int, p: Parts, held: Held) -> Array:
    """Return y advanced by τ [s] in `stages` stages (Meyer, Balsara & Aslam 2014)."""
    w = 4.0 / (stages**2 + stages - 2.0)
    share = [1 / 3, 1 / 3, 1 / 3]
    share += [(j * j + j - 2.0) / (2.0 * j * (j + 1.0)) for j in range(3, stages + 1)]
    first = rates(y, p, held)
    old, new = y, y + w / 3.0 * tau * first
    for j in range(2, stages + 1):
        mu = (2.0 * j - 1.0) / j * share[j] / share[j - 1]
        nu = -(j - 1.0) / j * share[j] / share[j - 2]
        push = mu * w * tau
        pull = -(1.0 - share[j - 1]) * push
        slope = rates(new, p, held)
        old, new = new, mu * new + nu * old + (1 - mu - nu) * y + push * slope + pull * first
    return new


def stages_for(tau: float, stable: float) -> int:
    """Return the odd number of stages, at least 3, that makes τ stable."""
    n = int(((9.0 + 16.0 * tau / stable) ** 0.5 - 1.0) / 2.0) + 1
    return max(3, n + 1 - n % 2)


def strays(before: Array, after: Array, p: Parts, more: Links = ()) -> bool:
    """Tell whether a superstep took a ring more than STRAY past all about it.

    more: links beside those across and up, each with its stride.
    """
    nc, s = p.cells, p.stride
    inner = (p.lightness > 0.0) & (p.source[:nc] == 0.0)
    inner[p.touch_cell] = False
    inner[p.open_cell[p.open_area > 0.0]] = False
    was, now = before[:nc], after[:nc]
    low, high = was.copy(), was.copy()
    least, greatest = np.minimum(was, now), np.maximum(was, now)
    for links, step in ((p.across[1:nc], 1), (p.up[s:nc], s), *more):
        for here, there in (
            (slice(step, None), slice(None, -step)),
            (slice(None, -step), slice(step, None)),
        ):
            low[here] = np.where(links > 0.0, np.minimum(low[here], least[there]), low[here])
            high[here] = np.where(links > 0.0, np.maximum(high[here], greatest[there]), high[here])
    past = np.maximum(low - now, now - high)
    return bool(np.any(past[inner] > STRAY))


def advance(y: Array, tau: float, p: Parts, most: int) -> tuple[Array, int]:
    """Return y advanced by τ [s], in halves where a ring strays, and the stages taken (or −1)."""
    done, part, halved, count = 0.0, tau, 0, 0
    while tau - done > 1e-9 * tau:
        part = min(part, tau - done)
        held = settle(y, p)
        stages = stages_for(part, held.stable)
        if stages > most:
            return y, -1
        after = superstep(y, part, stages, p, held)
        count += stages
        if halved < HALVINGS and strays(y, after, p):
            part *= 0.5
            halved += 1
        else:
            y = after
            done += part
    return y, count


def march(  # noqa: PLR0913, PLR0917 -- the same call as the kernel's
    y: Array, times: Array, p: Parts, least: float, growth: float, most: float, frames: Array
) -> int:
    """Fill a frame of y at each of `times` [s]; return the number of stages taken."""
    now, count = 0.0, 0
    for frame, until in enumerate(times):
        while until - now > 1e-9 * most:
            left = until - now
            tau = min(left, least + growth * now, most)
            if tau < left < 2.0 * tau:
                tau = 0.5 * left
            y, stages = advance(y, tau, p, MOST_STAGES)
            if stages < 0:
                return -1
            now += tau
            count += stages
        frames[frame] = y
    return count
