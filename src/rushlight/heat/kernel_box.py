"""Compiled march of a candle of any plan: the ring kernel with one more direction.

Rates are those of `rushlight.heat.kernel_set` plus what flows along y and through the net
of the shell; the superstep is the same. `rushlight.heat.twin_box` is its NumPy twin.
"""
# ruff: noqa: PLR0913, PLR0917 -- a kernel takes its buffers

from __future__ import annotations

import numpy as np

from rushlight.heat._jit import jit
from rushlight.heat.box_system import Block
from rushlight.heat.enthalpy import Array
from rushlight.heat.kernel_set import bounds, lone, rates, settle, stages_for

MOST_STAGES = 4001  # in one superstep, as in `kernel_set`: more means something is wrong
STRAY, HALVINGS = 200.0, 7  # as in `kernel_set`


@jit
def box_rates(
    y: Array, dy: Array, theta: Array, q: Block, touch: Array, outlet: Array, bare: Array
) -> None:
    """Fill dy/dt; the arguments are those of `kernel_set.rates`."""
    p, s = q.parts, q.pitch
    rates(y, dy, theta, p, touch, outlet, bare)
    nc = p.cells
    south, north = q.along[s:], q.along[2 * s :]
    front, here, back = theta, theta[s:], theta[2 * s :]
    light, out = p.lightness[s:], dy[s:]
    for k in range(nc - 2 * s):
        gain = south[k] * (front[k] - here[k]) + north[k] * (back[k] - here[k])
        out[k] += light[k] * gain
    nodes, warmth = y[nc:], dy[nc:]
    for n in range(len(q.link)):
        a, b = q.a[n], q.b[n]
        heat = q.link[n] * (nodes[a] - nodes[b])
        warmth[a] -= heat / p.capacity[a]
        warmth[b] += heat / p.capacity[b]


@jit
def box_superstep(
    y: Array,
    tau: float,
    stages: int,
    q: Block,
    buffers: Array,
    theta: Array,
    touch: Array,
    outlet: Array,
    bare: Array,
) -> None:
    """Fill buffers[5] with y advanced by τ [s]; see `kernel_set.superstep`."""
    first, dy, old, new, spare = buffers[0], buffers[1], buffers[2], buffers[3], buffers[4]
    after = buffers[5]
    size = len(y)
    box_rates(y, first, theta, q, touch, outlet, bare)
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
        box_rates(new, dy, theta, q, touch, outlet, bare)
        for k in range(size):
            spare[k] = mu * new[k] + nu * old[k] + rest * y[k] + push * dy[k] + pull * first[k]
        old, new, spare = new, spare, old
        b2, b1, before = b1, b, b
    for k in range(size):
        after[k] = new[k]


@jit
def box_strays(before: Array, after: Array, q: Block, inner: Array) -> bool:
    """Tell whether a superstep took a cell past all about it; see `kernel_set.strays`."""
    p, s = q.parts, q.pitch
    lone(before, after, p, inner)
    for k in range(s, p.cells - s):
        if -STRAY <= inner[k] <= STRAY:
            continue
        low, high = bounds(k, before, after, p)
        if q.along[k] > 0.0:
            low = min(low, before[k - s], after[k - s])
            high = max(high, before[k - s], after[k - s])
        if q.along[k + s] > 0.0:
            low = min(low, before[k + s], after[k + s])
            high = max(high, before[k + s], after[k + s])
        if low - after[k] > STRAY or after[k] - high > STRAY:
            return True
    return False


@jit
def box_advance(
    y: Array,
    tau: float,
    q: Block,
    buffers: Array,
    theta: Array,
    touch: Array,
    outlet: Array,
    bare: Array,
    most: int,
) -> int:
    """Advance y by τ [s] in place, in halves where a cell strays; see `kernel_set.advance`."""
    after = buffers[5]
    done, part, halved, count = 0.0, tau, 0, 0
    while tau - done > 1e-9 * tau:
        part = min(part, tau - done)
        stages = stages_for(part, settle(y, q.parts, touch, outlet, bare))
        if stages > most:
            return -1
        box_superstep(y, part, stages, q, buffers, theta, touch, outlet, bare)
        count += stages
        if halved < HALVINGS and box_strays(y, after, q, theta):
            part *= 0.5
            halved += 1
        else:
            done += part
            for k in range(len(y)):
                y[k] = after[k]
    return count


@jit
def march(
    y: Array, times: Array, q: Block, least: float, growth: float, most: float, frames: Array
) -> int:
    """Fill a frame of y at each of `times` [s]; see `kernel_set.march`, also for −1."""
    size, p = len(y), q.parts
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
            stages = box_advance(y, tau, q, buffers, theta, touch, outlet, bare, MOST_STAGES)
            if stages < 0:
                return -1
            now += tau
            count += stages
        for k in range(size):
            frames[frame, k] = y[k]
    return count
