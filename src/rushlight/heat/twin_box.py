"""The march of a candle of any plan in plain NumPy, for `rushlight.heat.kernel_box`."""

from __future__ import annotations

import numpy as np

from rushlight.heat import twin
from rushlight.heat.box_system import Block
from rushlight.heat.enthalpy import Array, evaluate
from rushlight.heat.twin import Held

MOST_STAGES = 4001


def rates(y: Array, q: Block, held: Held) -> Array:
    """Return dy/dt: that of the rings, what flows along y, and the net of the shell."""
    p, s = q.parts, q.pitch
    dy = twin.rates(y, p, held)
    theta = evaluate(p.bends, p.to_potential, y[: p.cells])
    flow = q.along[s : p.cells] * (theta[s:] - theta[:-s])
    heat = np.zeros(p.cells)
    heat[:-s] += flow
    heat[s:] -= flow
    nodes = y[p.cells : p.cells + p.nodes]
    through = q.link * (nodes[q.a] - nodes[q.b])
    warmth = np.zeros(p.nodes)
    np.add.at(warmth, q.a, -through)
    np.add.at(warmth, q.b, through)
    dy[: p.cells] += heat * p.lightness
    dy[p.cells : p.cells + p.nodes] += warmth / p.capacity
    return dy


def superstep(y: Array, tau: float, stages: int, q: Block, held: Held) -> Array:
    """Return y advanced by τ [s] in `stages` stages; see `twin.superstep`."""
    w = 4.0 / (stages**2 + stages - 2.0)
    share = [1 / 3, 1 / 3, 1 / 3]
    share += [(j * j + j - 2.0) / (2.0 * j * (j + 1.0)) for j in range(3, stages + 1)]
    first = rates(y, q, held)
    old, new = y, y + w / 3.0 * tau * first
    for j in range(2, stages + 1):
        mu = (2.0 * j - 1.0) / j * share[j] / share[j - 1]
        nu = -(j - 1.0) / j * share[j] / share[j - 2]
        push = mu * w * tau
        pull = -(1.0 - share[j - 1]) * push
        slope = rates(new, q, held)
        old, new = new, mu * new + nu * old + (1 - mu - nu) * y + push * slope + pull * first
    return new


def advance(y: Array, tau: float, q: Block, most: int) -> tuple[Array, int]:
    """Return y advanced by τ [s], in halves where a cell strays; see `twin.advance`."""
    more = ((q.along[q.pitch : q.parts.cells], q.pitch),)
    done, part, halved, count = 0.0, tau, 0, 0
    while tau - done > 1e-9 * tau:
        part = min(part, tau - done)
        held = twin.settle(y, q.parts)
        stages = twin.stages_for(part, held.stable)
        if stages > most:
            return y, -1
        after = superstep(y, part, stages, q, held)
        count += stages
        if halved < twin.HALVINGS and twin.strays(y, after, q.parts, more):
            part *= 0.5
            halved += 1
        else:
            y = after
            done += part
    return y, count


def march(  # noqa: PLR0913, PLR0917 -- the same call as the kernel's
    y: Array, times: Array, q: Block, least: float, growth: float, most: float, frames: Array
) -> int:
    """Fill a frame of y at each of `times` [s]; return the number of stages taken."""
    now, count = 0.0, 0
    for frame, until in enumerate(times):
        while until - now > 1e-9 * most:
            left = until - now
            tau = min(left, least + growth * now, most)
            if tau < left < 2.0 * tau:
                tau = 0.5 * left
            y, stages = advance(y, tau, q, MOST_STAGES)
            if stages < 0:
                return -1
            now += tau
            count += stages
        frames[frame] = y
    return count
