"""What is held of one material and what it is worth, by lot and by the two formulas.

IAS 2, paragraph 25: the cost of goods that are like one another is assigned first in first out
or at the weighted average. What the ledger itself keeps is what each lot still bears of its own
cost, each draw taken from a lot that was named, the first to expire first.

A lot that came without a cost is left out of all three and named, until its cost is entered:
from then on what is left of it counts as if it came then.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from rushlight.cost.averages import running_average
from rushlight.cost.moves import Receipt
from rushlight.cost.valuation import fifo_left
from rushlight.errors import BadInput
from rushlight.workshop.stores.settled import Moved, settled


@dataclass(frozen=True, slots=True)
class Held:
    """What is held: units of known cost [mg or pieces] and their worth in three ways [1/10 000].

    fifo, average: None where the days of the movements contradict one another. unknown: units
    by lot of those whose cost is not known.
    """

    units: int
    by_lot: int
    fifo: int | None
    average: int | None
    unknown: tuple[tuple[int, int], ...]


def held(moves: Sequence[Moved], without_cost: Collection[int]) -> Held:
    """Return what is held after some movements of one material.

    moves: in order of their days. without_cost: lots that came without a cost.
    """
    by_lot = sum(move.value for move in moves)
    stand = settled(moves)
    flow, unknown = _known(stand, without_cost)
    units, lots = sum(row[0] for row in flow), tuple(unknown.items())
    try:
        fifo, average = _formulas(flow, units)
    except BadInput:
        # something left on a day before it came: as it was entered, nothing ever fell short
        flow, _ = _known(sorted(stand, key=lambda move: move.id), without_cost)
        try:
            fifo, average = _formulas(flow, units)
        except BadInput:
            return Held(units, by_lot, None, None, lots)
    return Held(units, by_lot, fifo, average, lots)


def _formulas(flow: Sequence[tuple[int, int]], units: int) -> tuple[int, int]:
    """Return what the units are worth first in first out, and at the moving average."""
    average = running_average(flow)[2]
    return fifo_left(units, _newest_first(flow)), average


def _newest_first(flow: Sequence[tuple[int, int]]) -> Iterator[Receipt]:
    for units, value in reversed(flow):
        if units > 0:
            yield Receipt(units, value)


def _known(
    moves: Sequence[Moved], without_cost: Collection[int]
) -> tuple[list[tuple[int, int]], dict[int, int]]:
    """Return what moved of lots of known cost, and what is left of the others by lot."""
    if not any(move.lot in without_cost for move in moves):
        return [(move.units, move.value) for move in moves], {}
    flow: list[tuple[int, int]] = []
    waiting: dict[int, int] = {}
    learned: dict[int, int] = {}  # where a lot whose cost was entered stands in the flow
    for move in moves:
        if move.lot not in without_cost:
            flow.append((move.units, move.value))
        elif move.lot in learned:
            if move.units:
                flow.append((move.units, move.value))
            else:
                at = learned[move.lot]
                flow[at] = (flow[at][0], flow[at][1] + move.value)
        elif move.value > 0 and not move.units:
            learned[move.lot] = len(flow)
            flow.append((waiting.pop(move.lot, 0), move.value))
        else:
            waiting[move.lot] = waiting.get(move.lot, 0) + move.units
    return flow, {lot: units for lot, units in waiting.items() if units}
