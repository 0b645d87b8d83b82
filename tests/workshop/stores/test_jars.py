from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.workshop import Workshop, candles, pours, prices, undo
from rushlight.workshop.stores import jars, orders
from rushlight.workshop.stores.codes import jar_code
from rushlight.workshop.stores.views import JarState
from tests.support.bench import OAR, equip, receive, running, stock


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a small workshop with all that ten jars take."""
    equip(empty)
    stock(empty)
    receive(empty, "test-soy", "20 kg", "100")
    prices.save_channel(empty, None, {"name": "Fair", "kind": "direct"})
    return empty


def _jars(shop: Workshop, count: int = 10) -> str:
    return pours.finish(shop, running(shop, count), {}).jar_lot


def _sold(shop: Workshop, lot: str, count: str) -> str:
    typed = {"lot": lot, "jars": count, "channel": "fair", "price": "15", "curing": "yes"}
    return orders.sell(shop, {**typed, "buyer": "The Chandlery"}).line.code


def _places(caught: pytest.ExceptionInfo[BadInput]) -> list[str]:
    return [problem.place for problem in caught.value.problems]


def test_jars_cure_then_are_ready_and_at_last_gone(shop: Workshop, clock: Any) -> None:
    """Ready from the day the cure ends; empty lots are listed only when asked for."""
    code = _jars(shop)
    line = jars.get(shop, code).line
    assert (line.state, line.candle, line.revision, line.made) == (JarState.CURING, "oar", 1, 10)
    clock.pass_by(days=(line.ready_on - line.poured_on).days)
    assert jars.listing(shop)[0].state == JarState.READY
    jars.take(shop, code, {"jars": "10", "fate": "broken", "note": "The shelf fell"})
    assert jars.get(shop, code).line.state == JarState.GONE
    assert jars.listing(shop) == ()
    assert [one.code for one in jars.listing(shop, empty=True)] == [code]


def test_the_oldest_cure_comes_first_and_a_candle_has_its_own_list(
    shop: Workshop, clock: Any
) -> None:
    """By the day the cure ends; of another candle there are none."""
    first = _jars(shop, 2)
    clock.pass_by(days=1)
    second = _jars(shop, 2)
    candles.save(shop, None, {**OAR, "name": "Rowlock"})
    assert [line.code for line in jars.listing(shop)] == [first, second]
    assert [line.code for line in jars.listing(shop, candle="oar", limit=1)] == [first]
    assert jars.listing(shop, candle="rowlock") == ()
    with pytest.raises(NotFound):
        jars.get(shop, jar_code(shop.today(), 9))
    with pytest.raises(BadInput, match="slip"):
        jars.get(shop, "260512-01-5")


def test_jars_given_tested_and_broken_take_their_cost_along(shop: Workshop) -> None:
    """Each is an entry with its reason.

    Worked by hand: wax 3.00, tumblers 4.50, wicks 0.30, labour 12.00 + 1.80, overhead 6.00:
    27.60 for three, 9.20 each.
    """
    code = _jars(shop, 3)
    for fate in ("given", "testing", "broken"):
        view = jars.take(shop, code, {"jars": "1", "fate": fate, "note": "n"})
    assert [(move.reason, move.jars, move.value) for move in view.moves] == [
        ("broken", -1, Decimal("-9.2")),
        ("testing", -1, Decimal("-9.2")),
        ("given", -1, Decimal("-9.2")),
        ("poured", 3, Decimal("27.6")),
    ]
    assert view.went == (("broken", 1), ("given", 1), ("testing", 1))
    assert view.line.worth == 0


def test_costs_that_do_not_divide_are_all_given_out(shop: Workshop) -> None:
    """7 jars worth 1/10 000s that 7 does not divide: what left and what is left add up."""
    code = _jars(shop, 7)
    whole = jars.get(shop, code).line.worth
    assert whole is not None
    out = Decimal(0)
    for _ in range(7):
        view = jars.take(shop, code, {"jars": "1", "fate": "given"})
        out -= view.moves[0].value
        assert view.line.worth == whole - out
    assert out == whole


def test_a_sold_jar_names_its_order_and_comes_back_with_its_cost(shop: Workshop) -> None:
    """Two of three come back; a jar that was never in the order does not."""
    code = _jars(shop)
    order = _sold(shop, code, "3")
    view = jars.get(shop, code)
    sold = view.moves[0]
    assert (sold.reason, sold.jars, sold.order, sold.channel, sold.buyer) == (
        "sold",
        -3,
        order,
        "Fair",
        "The Chandlery",
    )
    back = jars.take_back(shop, code, {"jars": "2", "order": order, "note": "chipped"})
    assert (back.moves[0].reason, back.moves[0].jars, back.moves[0].order) == (
        "taken back",
        2,
        order,
    )
    assert -back.moves[0].value * 3 == sold.value * 2
    assert back.line.left == 9
    assert dict(back.went) == {"sold": 3, "taken back": -2}
    with pytest.raises(BadInput) as caught:
        jars.take_back(shop, code, {"jars": "2", "order": order})
    assert _places(caught) == ["jars"]


def test_a_count_books_the_difference_at_its_cost(shop: Workshop) -> None:
    """Fewer are a loss; more are worth what they lie beside, or what they were poured at."""
    code = _jars(shop)
    each = jars.get(shop, code).line.cost
    assert each is not None
    assert jars.count(shop, code, {"jars": "8"}).moves[0].value == -2 * each
    assert jars.count(shop, code, {"jars": "0"}).line.worth == 0
    view = jars.count(shop, code, {"jars": "4", "note": "behind the kiln"})
    assert (view.moves[0].jars, view.moves[0].value) == (4, 4 * each)
    assert (view.moves[0].reason, view.line.left) == ("counted", 4)
    assert len(jars.count(shop, code, {"jars": "4"}).moves) == len(view.moves)


def test_what_was_done_to_jars_can_be_undone_and_done_again(shop: Workshop) -> None:
    """By entries of their own, which add up by reason."""
    code = _jars(shop)
    jars.take(shop, code, {"jars": "4", "fate": "testing"})
    done = undo.latest(shop, f"jars:{code}")
    assert done is not None
    again = undo.undo(shop, done.id)
    assert (jars.get(shop, code).line.left, jars.get(shop, code).went) == (10, ())
    undo.undo(shop, again.id)
    assert jars.get(shop, code).went == (("testing", 4),)


def test_a_pour_whose_jars_an_order_has_is_not_undone_by_a_count(shop: Workshop) -> None:
    """Five sold and five found leave as many in hand as were poured, and yet a buyer has five."""
    code = _jars(shop)
    finished = undo.latest(shop)
    assert finished is not None
    _sold(shop, code, "5")
    jars.count(shop, code, {"jars": "10"})
    with pytest.raises(Refused, match="order"):
        undo.undo(shop, finished.id)


def test_jars_of_an_undone_pour_are_not_taken(shop: Workshop) -> None:
    """There are none."""
    code = _jars(shop)
    finished = undo.latest(shop)
    assert finished is not None
    undo.undo(shop, finished.id)
    for verb in (jars.take, jars.take_back, jars.count):
        with pytest.raises(Refused, match="undone"):
            verb(shop, code, {"jars": "1"})


@pytest.mark.parametrize(
    ("typed", "places"),
    [
        ({}, ["jars", "fate"]),
        ({"jars": "11", "fate": "sold"}, ["fate", "jars"]),
        ({"jars": "0", "fate": "given"}, ["jars"]),
        ({"jars": "1", "fate": "given", "order": "S1-9"}, ["order"]),
        ({"jars": "one", "fate": "given", "note": "\x00"}, ["jars", "note"]),
    ],
)
def test_a_taking_that_cannot_be_is_said_in_its_place(
    shop: Workshop, typed: dict[str, str], places: list[str]
) -> None:
    """Every problem at once, and nothing is written."""
    code = _jars(shop)
    with pytest.raises(BadInput) as caught:
        jars.take(shop, code, typed)
    assert _places(caught) == places
    assert jars.get(shop, code).line.left == 10


@pytest.mark.parametrize("order", ["", "S9-3", "S1-1", "260512-01-4", "what"])
def test_jars_come_back_from_an_order_that_had_them(shop: Workshop, order: str) -> None:
    """Not from one that is missing, unknown or mistyped."""
    code = _jars(shop)
    with pytest.raises(BadInput) as caught:
        jars.take_back(shop, code, {"jars": "1", "order": order})
    assert _places(caught) == ["order"]


def test_jars_do_not_come_back_from_an_order_that_was_not_sent(shop: Workshop) -> None:
    """It still has to be picked; it is picked anew."""
    code = _jars(shop)
    line = {"lines.0.candle": "oar", "lines.0.jars": "2", "lines.0.price": "15"}
    order = orders.save(shop, None, {"channel": "fair", **line}).line.code
    with pytest.raises(BadInput) as caught:
        jars.take_back(shop, code, {"jars": "1", "order": order})
    assert _places(caught) == ["order"]


@pytest.mark.parametrize("counted", ["9", "10", "13"])
def test_a_pour_is_not_undone_from_under_jars_that_went(shop: Workshop, counted: str) -> None:
    """Whatever was counted since: some would be in hand that nobody poured, and none could see."""
    code = _jars(shop)
    finish = undo.listing(shop, limit=1)[0]
    jars.take(shop, code, {"jars": "2", "fate": "testing"})
    jars.count(shop, code, {"jars": counted})
    for _ in ("counting", "taking"):
        with pytest.raises(
            Refused, match=r"have left it or were counted since|became of the others"
        ):
            undo.undo(shop, finish.id)
        last = undo.latest(shop, f"jars:{code}")
        assert last is not None
        undo.undo(shop, last.id)
    undo.undo(shop, finish.id)
    assert jars.get(shop, code).line.left == 0


def test_a_taking_sent_twice_is_one(shop: Workshop) -> None:
    """The second form changes nothing."""
    code = _jars(shop)
    for _ in range(2):
        view = jars.take(shop, code, {"jars": "1", "fate": "given"}, key="k")
    assert (view.line.left, view.line.poured_on) == (9, date(2026, 5, 12))
