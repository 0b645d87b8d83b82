"""What stores are worth, first in first out."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.exact import half_even
from rushlight.cost.moves import Issue, Move, Receipt
from rushlight.cost.valuation import fifo, fifo_left
from rushlight.errors import BadInput
from tests.support.moves import MONEY, at, came_in, streams

# FinCal 0.6.3 (an R package), documentation of `cogs`: 2 at 2, 3 at 3, 5 at 5, 7 sold.
FINCAL: tuple[Move, ...] = (at(2, 2), at(3, 3), at(5, 5), Issue(7))
# A textbook exercise in perpetual inventory: 45 at 8, 150 at 9, 65 at 10, 120 sold, 50 at 12,
# 130 sold.
PERPETUAL: tuple[Move, ...] = (
    at(45, 8),
    at(150, 9),
    at(65, 10),
    Issue(120),
    at(50, 12),
    Issue(130),
)


def test_the_oldest_units_go_first_as_in_the_published_example() -> None:
    """FinCal 0.6.3, `cogs(..., method = "FIFO")`: cost of goods 23, ending inventory 15."""
    valued = fifo(FINCAL)
    assert (valued.issued, valued.left) == (23 * MONEY, 15 * MONEY)
    assert valued.layers == (at(3, 5),)


def test_the_oldest_units_go_first_as_in_the_textbook_exercise() -> None:
    """The exercise gives 2,260 and 700; the layers left are 10 at 10 and 50 at 12."""
    valued = fifo(PERPETUAL)
    assert (valued.issued, valued.left) == (2260 * MONEY, 700 * MONEY)
    assert valued.layers == (at(10, 10), at(50, 12))


def test_a_year_is_valued_at_each_of_its_dates_as_in_the_published_case() -> None:
    """Wiley IFRS: Practical Implementation Guide and Workbook, IAS 2, case study 2 (FIFO).

    10,000 at 25 and 15,000 at 30, 15,000 sold: 300,000 in May; 20,000 at 35: 1,000,000 in
    September; 20,000 sold: 350,000 in December.
    """
    year = (at(10_000, 25), at(15_000, 30), Issue(15_000), at(20_000, 35), Issue(20_000))
    assert [fifo(year[:n]).left for n in (3, 4, 5)] == [
        300_000 * MONEY,
        1_000_000 * MONEY,
        350_000 * MONEY,
    ]


@given(streams())
def test_cost_in_is_cost_out_and_what_is_left(moves: list[Move]) -> None:
    """To the last 1/10 000, and to the last unit; nothing is worth less than nothing."""
    valued = fifo(moves)
    received, worth = came_in(moves)
    assert valued.issued + valued.left == worth
    assert valued.on_hand == received - sum(m.units for m in moves if isinstance(m, Issue))
    assert min(valued.costs, default=0) >= 0
    assert all(layer.value >= 0 and layer.units > 0 for layer in valued.layers)


@given(streams(most=40))
def test_each_issue_costs_what_its_units_cost(moves: list[Move]) -> None:
    """A twin by hand, unit after unit in exact fractions: within the rounding of two layers' cuts.

    An issue ends in one layer that it cuts and may begin in one that was cut before, each cut
    rounded by half of 1/10 000 at most.
    """
    valued = fifo(moves)
    queue: deque[Fraction] = deque()
    exact = []
    for move in moves:
        if isinstance(move, Receipt):
            queue.extend([Fraction(move.value, move.units)] * move.units)
        else:
            exact.append(sum((queue.popleft() for _ in range(move.units)), Fraction(0)))
    for cost, ideal in zip(valued.costs, exact, strict=True):
        assert abs(cost - ideal) <= 1
    assert abs(valued.left - sum(queue, Fraction(0))) <= Fraction(1, 2)


@given(streams())
def test_the_short_way_is_the_long_way(moves: list[Move]) -> None:
    """From the newest receipts alone comes the same value, to the last 1/10 000."""
    valued = fifo(moves)
    newest_first = [move for move in reversed(moves) if isinstance(move, Receipt)]
    assert fifo_left(valued.on_hand, newest_first) == valued.left


def test_the_short_way_reads_no_further_than_it_must() -> None:
    """Old receipts are left unread, so that a long history costs nothing."""
    read = []

    def receipts() -> Iterator[Receipt]:
        for n in range(1000):
            read.append(n)
            yield at(10, n + 1)

    assert fifo_left(15, receipts()) == (10 * 1 + 5 * 2) * MONEY
    assert read == [0, 1]
    assert fifo_left(0, receipts()) == 0
    assert read == [0, 1]


@given(streams(), st.data())
def test_one_issue_or_several_leave_the_same(moves: list[Move], data: st.DataObject) -> None:
    """Taking two and then three costs what taking five costs, so nothing drifts."""
    parted: list[Move] = []
    for move in moves:
        if isinstance(move, Issue) and move.units > 1:
            first = data.draw(st.integers(1, move.units - 1))
            parted += [Issue(first), Issue(move.units - first)]
        else:
            parted.append(move)
    assert fifo(parted).issued == fifo(moves).issued
    assert fifo(parted).layers == fifo(moves).layers


@given(st.lists(st.integers(1, 500), min_size=1, max_size=8), st.integers(0, 10**6), st.data())
def test_the_order_of_layers_at_one_price_does_not_matter(
    sizes: list[int], each: int, data: st.DataObject
) -> None:
    """At one price a unit there is nothing for first in first out to choose between."""
    layers: list[Move] = [Receipt(units, units * each) for units in sizes]
    issue = Issue(data.draw(st.integers(1, sum(sizes))))
    mixed = fifo([*data.draw(st.permutations(layers)), issue])
    assert mixed.issued == fifo([*layers, issue]).issued == issue.units * each


def test_a_penny_is_cut_to_the_even_side_and_the_last_unit_takes_the_rest() -> None:
    """By hand: 10 over 4 pieces is 2.5 each; what is left goes 10, 8 (7.5), 5, 2 (2.5), 0."""
    assert fifo([Receipt(4, 10), *[Issue(1)] * 4]).costs == (2, 3, 3, 2)


@given(st.integers(-(10**12), 10**12), st.integers(1, 10**6))
def test_a_half_goes_to_the_even_side(value: int, over: int) -> None:
    """The standard library's own rounding of an exact fraction, which is half to even."""
    assert half_even(value, over) == round(Fraction(value, over))


def test_every_wrong_move_is_named_at_once() -> None:
    """No units, a value below nothing, and then whatever is issued before it came."""
    with pytest.raises(BadInput) as wrong:
        fifo([Receipt(0, 5), Receipt(3, -1), Issue(0)])
    places = [problem.place for problem in wrong.value.problems]
    assert places == ["moves.0.units", "moves.1.value", "moves.2.units"]
    with pytest.raises(BadInput) as early:
        fifo([Receipt(3, 3), Issue(4), Issue(3), Issue(1)])
    assert [problem.place for problem in early.value.problems] == ["moves.1", "moves.3"]
    assert "4 units are issued where 3 are in hand" in str(early.value)


@pytest.mark.parametrize("on_hand", [6, -1])
def test_more_in_hand_than_ever_came_is_refused(on_hand: int) -> None:
    """And so is less than nothing."""
    with pytest.raises(BadInput, match="do not add up"):
        fifo_left(on_hand, [Receipt(5, 5)])


def test_nothing_in_and_nothing_out_is_worth_nothing() -> None:
    """The empty stream, and a lot that is used up, leave no layers."""
    assert fifo([]).layers == ()
    assert fifo([Receipt(2, 7), Issue(2)]).layers == ()
    assert fifo([Receipt(2, 7), Issue(2)]).costs == (7,)
