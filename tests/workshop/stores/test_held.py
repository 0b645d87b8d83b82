from __future__ import annotations

from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.averages import moving_average
from rushlight.cost.moves import Issue, Move, Receipt
from rushlight.cost.valuation import fifo
from rushlight.workshop.stores.held import Held, held
from rushlight.workshop.stores.settled import Moved, settled
from tests.support.moves import streams

LOT, OTHER = 1, 2


def _rows(*given_: tuple[int, int, str], lot: int = LOT) -> list[Moved]:
    """Return movements of a lot: units, value and reason of each, numbered in order."""
    numbers = count(1)
    return [Moved(next(numbers), lot, units, value, reason) for units, value, reason in given_]


def _as_moved(moves: list[Move]) -> list[Moved]:
    """Return a stream as the ledger keeps it, what left bearing its cost first in first out."""
    costs = iter(fifo(moves).costs)
    rows = [
        (m.units, m.value, "received")
        if isinstance(m, Receipt)
        else (-m.units, -next(costs), "used")
        for m in moves
    ]
    return _rows(*rows)


@given(streams())
def test_what_is_held_is_what_both_formulas_say_of_the_whole_stream(moves: list[Move]) -> None:
    """First in first out and the moving average of the core are the other way to the figures."""
    rows = _as_moved(moves)
    found = held(rows, ())
    whole = fifo(moves)
    assert found == Held(
        whole.on_hand,
        whole.left,
        whole.left,
        moving_average(moves).left,
        (),
    )


@given(streams(), st.data())
def test_what_was_undone_leaves_no_trace_in_any_worth(
    moves: list[Move], data: st.DataObject
) -> None:
    """A receipt or an issue put in anywhere and undone at the end changes no figure."""
    rows = _as_moved(moves)
    at = data.draw(st.integers(0, len(rows)))
    units = data.draw(st.sampled_from((-5, 7)))
    more = Moved(0, OTHER, units, units * 3, "used" if units < 0 else "received")
    back = Moved(0, OTHER, -units, -units * 3, "undone", more.reason)
    with_it = [*rows[:at], more, *rows[at:], back]
    numbered = [row._replace(id=n) for n, row in enumerate(with_it, 1)]
    assert held(numbered, ()) == held(rows, ())


@given(st.lists(st.booleans(), min_size=1, max_size=6))
def test_undoing_and_doing_again_stands_or_not_by_turns(turns: list[bool]) -> None:
    """However often: after an odd number of undoings the movement is gone, else it stands."""
    rows = _rows((10, 100, "received"), (-4, -40, "used"))
    sign = 1
    for number, _ in enumerate(turns, 3):
        rows.append(Moved(number, LOT, 4 * sign, 40 * sign, "undone", "used"))
        sign = -sign
    stands = len(turns) % 2 == 0
    assert sum(row.units for row in settled(rows)) == (6 if stands else 10)
    assert len(settled(rows)) == (2 if stands else 1)


def test_what_a_pour_returned_was_never_used() -> None:
    """Of 8 taken 3 come back: 5 were used; what it threw away left all the same."""
    rows = [
        Moved(1, LOT, 10, 100, "received"),
        Moved(2, LOT, -8, -80, "used", pour=4),
        Moved(3, LOT, 3, 30, "returned", pour=4),
        Moved(4, LOT, -1, -10, "scrapped", pour=4),
    ]
    assert settled(rows) == [
        rows[0],
        rows[1]._replace(units=-5, value=-50),
        rows[3],
    ]
    assert held(rows, ()) == Held(4, 40, 40, 40, ())


def test_all_of_it_may_come_back() -> None:
    """Then nothing was used; more than was used is a receipt."""
    rows = [
        Moved(1, LOT, 10, 100, "received"),
        Moved(2, LOT, -4, -40, "used", pour=4),
        Moved(3, LOT, 4, 40, "returned", pour=4),
    ]
    assert settled(rows) == rows[:1]
    more = [*rows[:2], rows[2]._replace(units=6, value=60)]
    assert settled(more) == [rows[0], more[2]._replace(units=2, value=20)]


def test_a_lot_without_a_cost_is_in_no_worth_and_is_named() -> None:
    """Ten of it stand beside five that cost 50; three of the ten have gone."""
    rows = [
        Moved(1, LOT, 5, 50, "received"),
        Moved(2, OTHER, 10, 0, "received"),
        Moved(3, OTHER, -3, 0, "used"),
    ]
    assert held(rows, {OTHER}) == Held(5, 50, 50, 50, ((OTHER, 7),))
    assert held([*rows, Moved(4, OTHER, -7, 0, "scrapped")], {OTHER}).unknown == ()


def test_from_the_day_its_cost_is_entered_what_is_left_of_a_lot_counts() -> None:
    """Seven left are entered at 70, then corrected to 56; one of them goes.

    Worked by hand: 5 at 10 and 7 at 8, so 106 for 12; the next to go costs 10 first in first
    out (96 left), 8.83 at the average (97 left, to the nearest whole).
    """
    rows = [
        Moved(1, LOT, 5, 50, "received"),
        Moved(2, OTHER, 10, 0, "received"),
        Moved(3, OTHER, -3, 0, "used"),
        Moved(4, OTHER, 0, 70, "valued"),
        Moved(5, OTHER, 0, -14, "valued"),
        Moved(6, OTHER, -1, -8, "used"),
    ]
    assert held(rows, {OTHER}) == Held(11, 98, 96, 97, ())


def test_days_out_of_order_are_read_as_they_were_entered() -> None:
    """Used on a day before it came: in order of days it falls short, in order of entry not."""
    rows = [Moved(2, LOT, -4, -40, "used"), Moved(1, LOT, 10, 100, "received")]
    assert held(rows, ()) == Held(6, 60, 60, 60, ())


def test_where_no_order_holds_the_formulas_are_silent() -> None:
    """More left than ever came, up to that day: the lots' own sum is all there is to say."""
    assert held(_rows((10, 100, "received"), (-12, -120, "used")), ()) == Held(
        -2, -20, None, None, ()
    )


@pytest.mark.parametrize("moves", [[], [Receipt(3, 10), Issue(3)]])
def test_nothing_left_is_worth_nothing(moves: list[Move]) -> None:
    """Neither before anything came nor after the last of it went."""
    assert held(_as_moved(moves), ()) == Held(0, 0, 0, 0, ())
