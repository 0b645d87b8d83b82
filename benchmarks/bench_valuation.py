"""How long valuing the stores takes: 100,000 moves of one material (invented), each way."""

from __future__ import annotations

import random
from collections.abc import Iterator

from benchmarks.measure import Row, repeat
from rushlight.cost.averages import moving_average, running_average, weighted_average
from rushlight.cost.moves import Issue, Move, Receipt
from rushlight.cost.valuation import fifo, fifo_left

MOVES = 100_000
DELIVERED = 0.15  # of the moves, where there is no need yet: what comes in then about goes out
BUDGET = 0.100  # s, for the moving average over a long stream


def stream(count: int = MOVES, *, seed: int = 5) -> list[Move]:
    """Return moves in milligrams: deliveries of 5 to 25 kg, pours of up to 5 kg, never short."""
    draw = random.Random(seed)  # noqa: S311 - invented moves, nothing secret
    moves: list[Move] = []
    there = 0
    for _ in range(count):
        units = draw.randint(200_000, 5_000_000)
        if units <= there and draw.random() > DELIVERED:
            moves.append(Issue(units))
            there -= units
        else:
            kilograms = draw.randint(5, 25)
            receipt = Receipt(kilograms * 1_000_000, kilograms * draw.randint(40_000, 90_000))
            moves.append(receipt)
            there += receipt.units
    return moves


def rows() -> Iterator[Row]:
    """Yield the measured rows."""
    moves = stream()
    signed = [(m.units, m.value) if isinstance(m, Receipt) else (-m.units, 0) for m in moves]
    newest_first = [move for move in reversed(moves) if isinstance(move, Receipt)]
    on_hand = fifo(moves).on_hand
    taken = repeat(lambda: running_average(signed), times=20)
    yield Row(f"value {MOVES:,} moves, moving average, rows alone", taken, "best", BUDGET)
    taken = repeat(lambda: moving_average(moves), times=20)
    yield Row("the same with the cost of each issue", taken, "best")
    taken = repeat(lambda: weighted_average(moves), times=20)
    yield Row("the same at the average of the period", taken, "best")
    taken = repeat(lambda: fifo(moves), times=20)
    yield Row("the same first in first out, with every layer", taken, "best")
    taken = repeat(lambda: fifo_left(on_hand, newest_first), times=20)
    yield Row("what is left, first in first out, newest layers alone", taken, "best", 0.001)
