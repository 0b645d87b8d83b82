"""How far down each cell of a thread stands: beside what it is threaded to, never on another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rushlight.web.drawing.thread_order import Order, neighbours

PASSES = 4


def settled(
    wanted: Sequence[float], heights: Sequence[float], gap: float, floor: float
) -> list[float]:
    """Return tops nearest to those wanted, in the same order, a gap apart, within 0 and floor.

    Nearest by the sum of squares: with the heights above taken off, tops have to rise from
    one to the next, and neighbours that do not are pooled into their mean (isotonic
    regression by pooling adjacent violators).
    """
    above, tall = [], 0.0
    for height in heights:
        above.append(tall)
        tall += height + gap
    pools: list[tuple[float, int]] = []
    for wish, taken in zip(wanted, above, strict=True):
        total, count = wish - taken, 1
        while pools and pools[-1][0] * count >= total * pools[-1][1]:
            other, many = pools.pop()
            total, count = total + other, count + many
        pools.append((total, count))
    most = max(floor - (tall - gap), 0.0)
    level = [min(max(total / count, 0.0), most) for total, count in pools for _ in range(count)]
    return [free + taken for free, taken in zip(level, above, strict=True)]


def placed(
    order: Order, heights: Mapping[int, float], gap: float
) -> tuple[dict[int, float], float]:
    """Return the top of every cell, and the height of the whole."""
    left, right = neighbours(order.routes, order.columns)
    floor = max(sum(heights[c] + gap for c in cells) - gap for cells in order.columns)
    tops: dict[int, float] = {}
    for cells in order.columns:
        free = floor - (sum(heights[c] + gap for c in cells) - gap)
        y = free / 2
        for cell in cells:
            tops[cell] = y
            y += heights[cell] + gap
    for turn in range(PASSES):
        for cells in reversed(order.columns) if turn % 2 else order.columns:
            wanted = []
            for cell in cells:
                beside = left[cell] + right[cell]
                middles = [tops[b] + heights[b] / 2 for b in beside]
                middle = sum(middles) / len(middles) if middles else tops[cell] + heights[cell] / 2
                wanted.append(middle - heights[cell] / 2)
            settle = settled(wanted, [heights[c] for c in cells], gap, floor)
            tops.update(zip(cells, settle, strict=True))
    return tops, floor
