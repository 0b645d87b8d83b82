"""What stores are worth, first in first out: the oldest layer is used first.

IAS 2, paragraph 25, lets the cost of interchangeable goods be assigned in two ways: first in
first out (here) or weighted average (`rushlight.cost.averages`). Last in first out is not among
them and is not offered. What a lot that can be told apart really cost (paragraph 23) needs no
formula: the ledger keeps it. Nothing is written down to what it would fetch (paragraph 9): these
are costs.

**Exact.** What is left of a layer is its cost × units left / units received, rounded to the
nearest 1/10 000, a half to the even one; an issue costs what the layers lose. So the last units
take all that is left, cost in = cost out + left to the last 1/10 000, and what is left depends on
how much was issued, not on how many issues it took.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rushlight.cost.exact import share_of
from rushlight.cost.moves import Move, Receipt, Valued, checked
from rushlight.errors import BadInput


def fifo(moves: Iterable[Move]) -> Valued:
    """Return what each issue cost and what is left, the oldest units going first.

    moves: oldest first; units [mg or pieces], money [1/10 000]. Raises BadInput with every
    problem. Source: IAS 2, paragraphs 25 and 27.
    """
    layers: list[Receipt] = []
    costs: list[int] = []
    oldest, gone = 0, 0  # the layer now used, and how many units of it are gone
    for move in checked(moves):
        if isinstance(move, Receipt):
            layers.append(move)
            continue
        wanted, cost = move.units, 0
        while wanted:
            layer = layers[oldest]
            taken = min(wanted, layer.units - gone)
            cost += _rest(layer, gone) - _rest(layer, gone + taken)
            wanted, gone = wanted - taken, gone + taken
            if gone == layer.units:
                oldest, gone = oldest + 1, 0
        costs.append(cost)
    return Valued(tuple(costs), _left(layers[oldest:], gone))


def fifo_left(on_hand: int, receipts_newest_first: Iterable[Receipt]) -> int:
    """Return what the units in hand are worth, first in first out [1/10 000].

    The same as `fifo(...).left`, to the last 1/10 000, from the newest receipts alone: whatever
    is still there came last. It reads no further than it must, so a query may feed it row by row.

    on_hand: units in hand [mg or pieces], 0 or more. Raises BadInput where the receipts do not
    add up to them.
    """
    value, wanted = 0, on_hand
    for layer in receipts_newest_first if wanted > 0 else ():
        if layer.units >= wanted:
            return value + share_of(layer.value, layer.units, wanted)
        value += layer.value
        wanted -= layer.units
    if wanted:
        raise BadInput.one(
            f"{on_hand} units are in hand, which the receipts do not add up to.",
            "Enter what is missing as a receipt.",
            "on_hand",
        )
    return value


def _rest(layer: Receipt, gone: int) -> int:
    """Return what a layer is worth once so many of its units are gone."""
    return share_of(layer.value, layer.units, layer.units - gone)


def _left(layers: Sequence[Receipt], gone: int) -> tuple[Receipt, ...]:
    """Return the layers that are left, the first of them less what is gone of it."""
    if not layers:
        return ()
    first, *others = layers
    return (Receipt(first.units - gone, _rest(first, gone)), *others)
