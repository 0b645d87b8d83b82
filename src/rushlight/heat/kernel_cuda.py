"""The march of `rushlight.heat.kernel_set` on a graphics card: one candle to a block.

A block keeps its candle's state in shared memory from the pour to the end; its threads share
out the cells. The order in which contacts are summed is not fixed, so results agree with the
processor's to rounding, not to the bit.
"""
# ruff: noqa: PLR0913, PLR0917 -- a kernel takes its buffers

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

import numpy as np

from rushlight.heat.cuda_pack import ROOM, Pack
from rushlight.heat.enthalpy import Array

cuda: Any = import_module("numba.cuda")  # types of its own it has none
SAFETY = 0.9
STILL = 1e-3
STRAY, HALVINGS, MOST_STAGES = 200.0, 7, 4001  # as in `kernel_set`, which says why
STEP = 1.0  # of the flux tables [K], `system.TABLE_STEP`
THREADS = 128  # measured on an H200: 64 to 512, with 48 to 146 registers each

device: Callable[..., Any] = cuda.jit(device=True)


@device
def bent(h: float, bends: Array, changes: Array) -> float:
    """Return the sum of hinges at h."""
    total: float = changes[0] + changes[1] * h
    for n in range(2, len(bends)):
        total += changes[n] * max(h - bends[n], 0.0)
    return total


@device
def piece(h: float, bends: Array) -> int:
    """Return which straight piece h lies in."""
    place = 0
    for n in range(2, len(bends)):
        if bends[n] != 0.0 and h >= bends[n]:
            place += 1
    return place


@device
def flux_at(t: float, table: Array, start: float) -> tuple[float, float]:
    """Return flux [W/m²] and its slope [W/(m² K)] at a surface temperature [K]."""
    x = (t - start) / STEP
    n = min(max(int(x), 0), len(table) - 2)
    rise = table[n + 1] - table[n]
    return table[n] + rise * (x - n), rise / STEP


@device
def largest(mine: float, room: Array) -> float:
    """Return the largest of the threads' numbers; room: one for each thread."""
    t = cuda.threadIdx.x
    room[t] = mine
    cuda.syncthreads()
    half = cuda.blockDim.x // 2
    while half > 0:
        if t < half:
            room[t] = max(room[t], room[t + half])
        cuda.syncthreads()
        half //= 2
    found: float = room[0]
    cuda.syncthreads()
    return found


@device
def settle(y: Array, c: int, q: Pack, held: Array, theta: Array) -> float:
    """Set the coefficients for a superstep; return the stable explicit step [s]."""
    t, many = cuda.threadIdx.x, cuda.blockDim.x
    nc, nt, no, nb = q.size[c, 0], q.size[c, 3], q.size[c, 4], q.size[c, 5]
    bends, kelvin, potential = q.lines[c, 0], q.lines[c, 1], q.lines[c, 2]
    for i in range(t, nt, many):
        h = y[q.touch_at[c, 0, i]]
        k_wax = q.pieces[c, 0, piece(h, bends)]
        conductance = q.touch[c, 0, i] / (q.touch[c, 1, i] / k_wax + q.touch[c, 2, i])
        held[c, 0, i] = conductance * (bent(h, bends, kelvin) - bent(h, bends, potential) / k_wax)
        held[c, 1, i] = conductance / k_wax
        held[c, 2, i] = conductance
    for i in range(t, no, many):
        h = y[q.open_at[c, 0, i]]
        air = q.open_at[c, 1, i]
        k_wax = q.pieces[c, 0, piece(h, bends)]
        warm, ambient = bent(h, bends, kelvin), q.air[c, 1, air]
        inside = q.open[c, 1, i] / k_wax
        surface, best = warm, 0.0
        for _ in range(3):
            out, slope = flux_at(surface, q.flux[c, air], q.air[c, 0, air])
            gap = surface - ambient
            gain = slope if abs(gap) < STILL else out / gap
            best = gain / (1.0 + gain * inside)
            surface = warm - best * inside * (warm - ambient)
        datum = warm - bent(h, bends, potential) / k_wax
        held[c, 3, i] = q.open[c, 0, i] * best * (datum - ambient)
        held[c, 4, i] = q.open[c, 0, i] * best / k_wax
    for i in range(t, nb, many):
        air = q.bare_at[c, 1, i]
        warm = y[nc + q.bare_at[c, 0, i]]
        out, slope = flux_at(warm, q.flux[c, air], q.air[c, 0, air])
        held[c, 5, i] = q.bare[c, 0, i] * (out - slope * warm)
        held[c, 6, i] = q.bare[c, 0, i] * slope
    top = 0.0
    for k in range(t, nc, many):
        top = max(top, y[k])
    top = largest(top, theta)
    stable: float = SAFETY / max(q.rate[c, 0] * q.pieces[c, 1, piece(top, bends)], q.rate[c, 1])
    return stable


@device
def exchange(y: Array, dy: Array, theta: Array, c: int, q: Pack, held: Array) -> None:
    """Add what flows between wax, shell and air."""
    t, many = cuda.threadIdx.x, cuda.blockDim.x
    nc, nodes = q.size[c, 0], q.size[c, 2]
    light, capacity = q.cell[c, 2], q.node[c, 1]
    for i in range(t, q.size[c, 3], many):
        k, n = q.touch_at[c, 0, i], q.touch_at[c, 1, i]
        heat = held[c, 0, i] + held[c, 1, i] * theta[k] - held[c, 2, i] * y[nc + n]
        cuda.atomic.add(dy, k, -heat * light[k])
        cuda.atomic.add(dy, nc + n, heat / capacity[n])
    for i in range(t, q.size[c, 4], many):
        k = q.open_at[c, 0, i]
        heat = held[c, 3, i] + held[c, 4, i] * theta[k]
        cuda.atomic.add(dy, k, -heat * light[k])
        cuda.atomic.add(dy, nc + nodes + q.open_at[c, 1, i], heat)
    for i in range(t, q.size[c, 5], many):
        n = q.bare_at[c, 0, i]
        heat = held[c, 5, i] + held[c, 6, i] * y[nc + n]
        cuda.atomic.add(dy, nc + n, -heat / capacity[n])
        cuda.atomic.add(dy, nc + nodes + q.bare_at[c, 1, i], heat)


@device
def rates(y: Array, dy: Array, theta: Array, c: int, q: Pack, held: Array) -> None:
    """Fill dy/dt; see `kernel_set.rates`."""
    t, many = cuda.threadIdx.x, cuda.blockDim.x
    nc, s, nodes = q.size[c, 0], q.size[c, 1], q.size[c, 2]
    across, up, light = q.cell[c, 0], q.cell[c, 1], q.cell[c, 2]
    link, capacity = q.node[c, 0], q.node[c, 1]
    for k in range(t, nc, many):
        theta[k] = bent(y[k], q.lines[c, 0], q.lines[c, 2])
    cuda.syncthreads()
    for k in range(t, nc, many):
        gain = 0.0
        if s <= k < nc - s:
            here = theta[k]
            gain = across[k] * (theta[k - 1] - here) + across[k + 1] * (theta[k + 1] - here)
            gain += up[k] * (theta[k - s] - here) + up[k + s] * (theta[k + s] - here)
        dy[k] = gain * light[k]
    for n in range(t, nodes, many):
        k = nc + n
        gain = 0.0
        if n > 0:
            gain += link[n] * (y[k - 1] - y[k])
        if n + 1 < nodes:
            gain += link[n + 1] * (y[k + 1] - y[k])
        dy[k] = gain / capacity[n]
    if t < 4:  # noqa: PLR2004 -- the kinds of air
        dy[nc + nodes + t] = 0.0
    cuda.syncthreads()
    exchange(y, dy, theta, c, q, held)
    cuda.syncthreads()


@device
def beyond(k: int, step: int, before: Array, after: Array, most: float) -> float:
    """Return the lowest (most −1) or highest (most 1) a neighbour was and is, signed so."""
    edge: float = max(most * before[k + step], most * after[k + step])
    return edge


@device
def mark_inner(c: int, q: Pack, inner: Array) -> None:
    """Mark the rings that touch neither vessel nor air."""
    t, many = cuda.threadIdx.x, cuda.blockDim.x
    nc, light = q.size[c, 0], q.cell[c, 2]
    for k in range(t, nc, many):
        inner[k] = 1.0 if light[k] > 0.0 else 0.0
    cuda.syncthreads()
    for i in range(t, q.size[c, 3], many):
        inner[q.touch_at[c, 0, i]] = 0.0
    for i in range(t, q.size[c, 4], many):
        if q.open[c, 0, i] > 0.0:
            inner[q.open_at[c, 0, i]] = 0.0
    cuda.syncthreads()


@device
def strayed(before: Array, after: Array, c: int, q: Pack, inner: Array) -> float:
    """Return by how much a superstep took a ring past all about it; see `kernel_set.strays`."""
    t, many = cuda.threadIdx.x, cuda.blockDim.x
    nc, s = q.size[c, 0], q.size[c, 1]
    across, up = q.cell[c, 0], q.cell[c, 1]
    mark_inner(c, q, inner)
    worst = 0.0
    for k in range(s + t, nc - s, many):
        if inner[k] == 0.0:
            continue
        for way in (-1.0, 1.0):
            edge = way * before[k]
            if across[k] > 0.0:
                edge = max(edge, beyond(k, -1, before, after, way))
            if across[k + 1] > 0.0:
                edge = max(edge, beyond(k, 1, before, after, way))
            if up[k] > 0.0:
                edge = max(edge, beyond(k, -s, before, after, way))
            if up[k + s] > 0.0:
                edge = max(edge, beyond(k, s, before, after, way))
            worst = max(worst, way * after[k] - edge)
    cuda.syncthreads()
    past: float = largest(worst, inner)
    return past


@device
def stages_for(tau: float, stable: float) -> int:
    """Return the odd number of stages, at least 3, that makes τ stable."""
    n = int(((9.0 + 16.0 * tau / stable) ** 0.5 - 1.0) / 2.0) + 1
    return max(3, n + 1 - n % 2)


@device
def superstep(y: Array, tau: float, stages: int, work: Array, c: int, q: Pack, held: Array) -> None:
    """Put y a superstep later into the last row of `work`; see `kernel_set.superstep`."""
    t, many = cuda.threadIdx.x, cuda.blockDim.x
    first, dy, theta, old, new = work[0], work[1], work[2], work[3], work[4]
    size = q.size[c, 0] + q.size[c, 2] + 4
    rates(y, first, theta, c, q, held)
    w = 4.0 / (stages * stages + stages - 2.0)
    for k in range(t, size, many):
        old[k] = y[k]
        new[k] = y[k] + (w / 3.0) * tau * first[k]
    cuda.syncthreads()
    before, b1, b2 = 1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0
    for j in range(2, stages + 1):
        b = (j * j + j - 2.0) / (2.0 * j * (j + 1.0))
        mu = (2.0 * j - 1.0) / j * b / b1
        nu = -(j - 1.0) / j * b / b2
        push = mu * w * tau
        pull = -(1.0 - before) * push
        rates(new, dy, theta, c, q, held)
        for k in range(t, size, many):
            stepped = mu * new[k] + nu * old[k] + (1.0 - mu - nu) * y[k]
            old[k] = new[k]
            new[k] = stepped + push * dy[k] + pull * first[k]
        cuda.syncthreads()
        b2, b1, before = b1, b, b


# fewer registers to a thread let four blocks share a processor; the simulator has none
simulated = bool(import_module("numba").config.ENABLE_CUDASIM)
kernel: Callable[..., Any] = cuda.jit if simulated else cuda.jit(max_registers=128)


@kernel
def march(
    base: Array, times: Array, q: Pack, held: Array, least: float, growth: float, most: float,
    frames: Array, counts: Array,
) -> None:  # fmt: skip
    """Fill a frame of each candle at each of `times` [s]; base: the states, changed in place.

    counts: stages taken, −1 where a candle became too stiff.
    """
    c, t, many = cuda.blockIdx.x, cuda.threadIdx.x, cuda.blockDim.x
    work = cuda.shared.array((5, ROOM), np.float64)
    y, size = base[c], q.size[c, 0] + q.size[c, 2] + 4
    now, count = 0.0, 0
    for frame in range(len(times)):
        while times[frame] - now > 1e-9 * most:
            left = times[frame] - now
            tau = min(left, least + growth * now, most)
            if tau < left < 2.0 * tau:
                tau = 0.5 * left
            done, part, halved = 0.0, tau, 0
            while tau - done > 1e-9 * tau:
                part = min(part, tau - done)
                stages = stages_for(part, settle(y, c, q, held, work[2]))
                if stages > MOST_STAGES:
                    counts[c] = -1
                    return
                superstep(y, part, stages, work, c, q, held)
                count += stages
                if halved < HALVINGS and strayed(y, work[4], c, q, work[2]) > STRAY:
                    part *= 0.5
                    halved += 1
                else:
                    for k in range(t, size, many):
                        y[k] = work[4, k]
                    done += part
                cuda.syncthreads()
            now += tau
        for k in range(t, size, many):
            frames[c, frame, k] = y[k]
    if t == 0:
        counts[c] = count
