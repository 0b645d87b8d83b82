"""What stores are worth, at the weighted average: every unit in hand is worth the same.

IAS 2, paragraph 25, allows the weighted average beside first in first out. Paragraph 27 lets it
be taken over a period (`weighted_average`) or anew as each delivery comes in (`moving_average`).

**Exact.** The moving average takes of what is left: value left × units issued / units left,
rounded to the nearest 1/10 000, a half to the even one, and the last units take all that is left
(`rushlight.cost.exact.share_of`, the ledger's own rule). The average of a period cuts the value of
the whole period in the same way. Cost in = cost out + left, to the last 1/10 000.
"""

from __future__ import annotations

from collections.abc import Iterable

from rushlight.cost.exact import half_even, share_of
from rushlight.cost.moves import Move, Receipt, Valued, checked
from rushlight.errors import BadInput


def weighted_average(moves: Iterable[Move]) -> Valued:
    """Return what each issue cost at the one average of the whole period, and what is left.

    moves: of the period, oldest first, the first receipt being what was there when it began;
    units [mg or pieces], money [1/10 000]. Raises BadInput with every problem.
    Source: IAS 2, paragraphs 25 and 27 (on a periodic basis).
    """
    kept = checked(moves)
    value = sum(move.value for move in kept if isinstance(move, Receipt))
    units = there = sum(move.units for move in kept if isinstance(move, Receipt))
    costs: list[int] = []
    left = value
    for move in kept:
        if not isinstance(move, Receipt):
            there -= move.units
            rest = share_of(value, units, there)
            costs.append(left - rest)
            left = rest
    return Valued(tuple(costs), _layer(there, left))


def moving_average(moves: Iterable[Move]) -> Valued:
    """Return what each issue cost at the average of that moment, and what is left.

    moves: oldest first; units [mg or pieces], money [1/10 000]. Raises BadInput with every
    problem. Source: IAS 2, paragraphs 25 and 27 (as each additional shipment is received).
    """
    units = value = 0
    costs: list[int] = []
    for move in checked(moves):
        if isinstance(move, Receipt):
            units += move.units
            value += move.value
        else:
            cost = share_of(value, units, move.units)
            units -= move.units
            value -= cost
            costs.append(cost)
    return Valued(tuple(costs), _layer(units, value))


def running_average(rows: Iterable[tuple[int, int]]) -> tuple[int, int, int]:
    """Return (cost issued, units left, value left) of a long stream at the moving average.

    The same as `moving_average`, read row by row as a query yields them and kept in three whole
    numbers.

    rows: oldest first, each (units, value): units above 0 came in and cost value; units below 0
    went out, and their value is not read, since the average says it; units of 0 change what the
    stores in hand are worth by value (a cost learned late), or, with nothing in hand, what has
    gone. units [mg or pieces], money [1/10 000]. Raises BadInput at the first row that cannot be.
    """
    issued = units = left = 0
    for place, (change, value) in enumerate(rows):
        if change > 0:
            units += change
            left += value
        elif change < 0:
            if units + change < 0:
                raise _short(place, -change, units)
            # half_even is share_of without its check, which stands above
            cost = half_even(-change * left, units)
            units += change
            left -= cost
            issued += cost
        elif units:
            left += value
        else:
            issued += value
    return issued, units, left


def _layer(units: int, value: int) -> tuple[Receipt, ...]:
    return (Receipt(units, value),) if units else ()


def _short(place: int, wanted: int, there: int) -> BadInput:
    return BadInput.one(
        f"{wanted} units are issued where {there} are in hand.",
        "Put the rows in order of time, and enter what is missing as a receipt.",
        f"rows.{place}",
    )
