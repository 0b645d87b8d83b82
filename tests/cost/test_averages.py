"""What stores are worth, at the weighted average of a period and at the moving average."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.averages import moving_average, running_average, weighted_average
from rushlight.cost.exact import share_of
from rushlight.cost.moves import Issue, Move, Receipt, Valued
from rushlight.errors import BadInput
from tests.support.moves import MONEY, at, came_in, streams

Way = Callable[[Iterable[Move]], Valued]
WAYS = pytest.mark.parametrize("way", [weighted_average, moving_average])


def rows_of(moves: list[Move]) -> list[tuple[int, int]]:
    """Return moves as signed rows; an issue carries a value that nobody is to read."""
    return [(m.units, m.value) if isinstance(m, Receipt) else (-m.units, -999) for m in moves]


@WAYS
def test_the_average_is_that_of_the_published_example(way: Way) -> None:
    """FinCal 0.6.3 (an R package), documentation of `cogs`: 2 at 2, 3 at 3, 5 at 5, 7 sold.

    method = "WAC": cost of goods 26.6, ending inventory 11.4. All was bought before anything was
    sold, so the average of the period and the moving average are one.
    """
    valued = way([at(2, 2), at(3, 3), at(5, 5), Issue(7)])
    assert (valued.issued, valued.left) == (266_000, 114_000)
    assert valued.layers == (Receipt(3, 114_000),)


def test_the_average_of_a_period_is_that_of_the_published_example() -> None:
    """CIMA BA3 Integrated Workbook, ch. 14, example 2, periodic average.

    5 each at 3.50, 4, 5 and 5.50, 7 sold: 4.50 a unit, 31.50 sold and 58.50 left.
    """
    opening, *bought = (Receipt(5, 5 * price) for price in (35_000, 40_000, 50_000, 55_000))
    valued = weighted_average([opening, bought[0], Issue(7), *bought[1:]])
    assert (valued.issued, valued.left) == (315_000, 585_000)


def test_the_moving_average_is_that_of_the_textbook_exercise() -> None:
    """45 at 8, 150 at 9, 65 at 10, 120 sold, 50 at 12, 130 sold.

    A textbook exercise in perpetual inventory gives cost of sales 2,369.23 and 590.77 left.
    """
    moves = (at(45, 8), at(150, 9), at(65, 10), Issue(120), at(50, 12), Issue(130))
    valued = moving_average(moves)
    assert round(valued.issued, -2) == 23_692_300
    assert round(valued.left, -2) == 5_907_700
    assert valued.issued + valued.left == 2960 * MONEY


@WAYS
@given(moves=streams())
def test_cost_in_is_cost_out_and_what_is_left(way: Way, moves: list[Move]) -> None:
    """To the last 1/10 000, and to the last unit; no issue costs less than nothing."""
    valued = way(moves)
    received, worth = came_in(moves)
    assert valued.issued + valued.left == worth
    assert valued.on_hand == received - sum(m.units for m in moves if isinstance(m, Issue))
    assert min(valued.costs, default=0) >= 0
    assert valued.left >= 0


@WAYS
@given(moves=streams())
def test_the_average_lies_between_the_cheapest_and_the_dearest_layer(
    way: Way, moves: list[Move]
) -> None:
    """Each issue, and what is left: within half of 1/10 000 for each rounding so far."""
    prices = [Fraction(m.value, m.units) for m in moves if isinstance(m, Receipt)]
    valued = way(moves)
    issues = [m.units for m in moves if isinstance(m, Issue)]
    for done, (units, cost) in enumerate(zip(issues, valued.costs, strict=True), start=1):
        slack = Fraction(max(done, 2), 2)
        assert min(prices) * units - slack <= cost <= max(prices) * units + slack
    if valued.layers:
        slack = Fraction(len(issues), 2)
        low, high = min(prices) * valued.on_hand, max(prices) * valued.on_hand
        assert low - slack <= valued.left <= high + slack


@given(streams())
def test_the_moving_average_is_its_twin_in_exact_fractions(moves: list[Move]) -> None:
    """Value and units side by side without rounding: within half of 1/10 000 for each issue."""
    valued = moving_average(moves)
    units, value, done = 0, Fraction(0), 0
    for move in moves:
        if isinstance(move, Receipt):
            units, value = units + move.units, value + move.value
        else:
            value -= value * move.units / units
            units, done = units - move.units, done + 1
    assert abs(valued.left - value) <= Fraction(done, 2)


@given(streams())
def test_the_quick_way_is_the_long_way(moves: list[Move]) -> None:
    """Three whole numbers kept along the rows: the same, to the last 1/10 000."""
    valued = moving_average(moves)
    assert running_average(rows_of(moves)) == (valued.issued, valued.on_hand, valued.left)


@given(st.lists(st.integers(1, 10**6), min_size=1, max_size=6), st.data())
def test_the_order_of_what_came_in_does_not_matter(sizes: list[int], data: st.DataObject) -> None:
    """Before anything is issued, an average knows no order."""
    layers: list[Move] = [Receipt(n, data.draw(st.integers(0, 10**9))) for n in sizes]
    issue = Issue(data.draw(st.integers(1, sum(sizes))))
    mixed = data.draw(st.permutations(layers))
    for way in (weighted_average, moving_average):
        assert way([*mixed, issue]) == way([*layers, issue])


def test_what_comes_later_changes_the_average_of_the_period_alone() -> None:
    """By hand: 2 at 1, 1 issued, 2 at 4. The period says 10/4 = 2.5, the moment said 1."""
    moves = (at(2, 1), Issue(1), at(2, 4))
    assert weighted_average(moves).costs == (25_000,)
    assert moving_average(moves).costs == (10_000,)


def test_a_cost_learned_late_joins_what_is_in_hand_or_what_has_gone() -> None:
    """By hand: 4 at no cost yet, 1 out, 300 learned, 1 of 3 out at 100, all out, 50 learned."""
    rows = [(4, 0), (-1, 0), (0, 300), (-1, 0)]
    assert running_average(rows) == (100, 2, 200)
    assert running_average([*rows, (-2, 0), (0, 50)]) == (350, 0, 0)


@given(st.integers(0, 10**12), st.integers(1, 10**6), st.data())
def test_the_last_units_take_all_that_is_left(value: int, of: int, data: st.DataObject) -> None:
    """However a lot is parted, its parts are its value, none below nothing."""
    cuts = data.draw(st.lists(st.integers(0, of), max_size=6).map(sorted))
    parts = [high - low for low, high in zip([0, *cuts], [*cuts, of], strict=True)]
    left, units, taken = value, of, []
    for part in parts:
        if units:
            taken.append(share_of(left, units, part))
            left, units = left - taken[-1], units - part
    assert sum(taken) == value
    assert left == 0
    assert min(taken) >= 0


@pytest.mark.parametrize(
    ("value", "of", "units", "share"),
    [(10, 4, 1, 2), (14, 4, 1, 4), (11, 4, 1, 3), (10, 4, 4, 10), (10, 4, 0, 0), (1, 3, 1, 0)],
)
def test_a_share_is_rounded_half_to_even(value: int, of: int, units: int, share: int) -> None:
    """By hand: 2.5 is 2, 3.5 is 4, 2.75 is 3, the last take all, none take nothing, 0.33 is 0."""
    assert share_of(value, of, units) == share


@pytest.mark.parametrize(("of", "units"), [(3, 4), (3, -1), (0, 0)])
def test_a_share_of_more_than_is_there_is_refused(of: int, units: int) -> None:
    """The ledger never takes what it has not."""
    with pytest.raises(ValueError, match="cannot be taken"):
        share_of(10, of, units)


@WAYS
def test_more_issued_than_came_is_refused(way: Way) -> None:
    """With its place, and by the quick way too."""
    with pytest.raises(BadInput) as wrong:
        way([Receipt(3, 3), Issue(4)])
    assert wrong.value.problems[0].place == "moves.1"
    with pytest.raises(BadInput) as quick:
        running_average([(3, 3), (-4, 0)])
    assert quick.value.problems[0].place == "rows.1"


@given(streams())
def test_the_averages_agree_where_all_came_in_first(moves: list[Move]) -> None:
    """Receipts first: the same cost within the rounding of each issue."""
    ordered = sorted(moves, key=lambda move: isinstance(move, Issue))
    period, moving = weighted_average(ordered), moving_average(ordered)
    pairs = zip(accumulate(period.costs), accumulate(moving.costs), strict=True)
    for done, (one, other) in enumerate(pairs, start=1):
        assert abs(one - other) <= Fraction(done + 1, 2)
