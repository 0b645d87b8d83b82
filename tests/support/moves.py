"""Streams of receipts and issues for the tests of valuation."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st

from rushlight.cost.moves import Issue, Move, Receipt

MONEY = 10_000  # the ledger's money in one unit of the currency


def at(units: int, price: int) -> Receipt:
    """Return so many units received at a price a unit, in whole currency."""
    return Receipt(units, units * price * MONEY)


def came_in(moves: Sequence[Move]) -> tuple[int, int]:
    """Return the units and the value of everything that came in."""
    receipts = [move for move in moves if isinstance(move, Receipt)]
    return sum(one.units for one in receipts), sum(one.value for one in receipts)


@st.composite
def streams(draw: st.DrawFn, *, most: int = 10**6) -> list[Move]:
    """Draw moves that never issue what is not there: any order, any layers, often used up."""
    moves: list[Move] = []
    there = 0
    for _ in range(draw(st.integers(0, 12))):
        if there and draw(st.booleans()):
            units = draw(st.one_of(st.just(there), st.integers(1, there)))
            moves.append(Issue(units))
            there -= units
        else:
            receipt = Receipt(draw(st.integers(1, most)), draw(st.integers(0, 10**9)))
            moves.append(receipt)
            there += receipt.units
    return moves
