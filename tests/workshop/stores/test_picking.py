from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import func, select

from rushlight.errors import BadInput, Refused
from rushlight.store.deeds import deed_of
from rushlight.store.tables import jar_entry, jar_lot, order_line
from rushlight.workshop import Workshop, undo
from rushlight.workshop.stores import orders
from rushlight.workshop.stores.views import LinePicked, OrderView
from tests.support.jars import furnish, jarred, left

DAY = date(2026, 5, 12)  # the clock's


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with two candles, a channel and two materials."""
    furnish(empty)
    return empty


def _order(shop: Workshop, *jars: int) -> OrderView:
    typed = {"channel": "saturday-market"}
    for n, count in enumerate(jars):
        line = {"candle": "slipway", "jars": str(count), "price": "10"}
        typed |= {f"lines.{n}.{part}": text for part, text in line.items()}
    return orders.save(shop, None, typed)


def _places(caught: pytest.ExceptionInfo[BadInput]) -> set[str]:
    return {problem.place for problem in caught.value.problems}


def test_the_lot_first_out_of_cure_is_picked_first(shop: Workshop) -> None:
    """By the end of cure, then the day poured, then the order they were made in; none curing."""
    newer = jarred(shop, "slipway", 4, poured=DAY - timedelta(30), cure=20)
    older = jarred(shop, "slipway", 4, poured=DAY - timedelta(25), cure=10)
    twin = jarred(shop, "slipway", 4, poured=DAY - timedelta(25), cure=10)
    curing = jarred(shop, "slipway", 4, poured=DAY - timedelta(40), cure=41)
    code = _order(shop, 6, 9).line.code
    first, second = orders.proposal(shop, code)
    assert first.lots == (LinePicked(lot=older, jars=4), LinePicked(lot=twin, jars=2))
    assert second.lots == (LinePicked(lot=twin, jars=2), LinePicked(lot=newer, jars=4))
    assert (first.short, first.curing_until) == (0, None)
    assert (second.short, second.curing_until) == (3, DAY + timedelta(1))
    assert [(c.lot, c.left, c.curing) for c in first.choices] == [
        (older, 4, False),
        (twin, 4, False),
        (newer, 4, False),
        (curing, 4, True),
    ]


def test_jars_ready_today_are_cured(shop: Workshop) -> None:
    """The last day of the cure is over in the morning."""
    lot = jarred(shop, "slipway", 4, poured=DAY - timedelta(14), cure=14)
    (pick,) = orders.proposal(shop, _order(shop, 4).line.code)
    assert pick.lots == (LinePicked(lot=lot, jars=4),)


def test_picking_as_proposed_takes_what_there_is(shop: Workshop) -> None:
    """The rest is picked later; what is picked is proposed no more."""
    jarred(shop, "slipway", 4)
    code = _order(shop, 6).line.code
    assert orders.pick(shop, code, {}).line.picked == 4
    with pytest.raises(Refused, match="nothing to pick"):
        orders.pick(shop, code, {})
    lot = jarred(shop, "slipway", 4)
    (pick,) = orders.proposal(shop, code)
    assert pick.lots == (LinePicked(lot=lot, jars=2),)
    orders.pick(shop, code, {})
    assert orders.proposal(shop, code) == ()


def test_she_may_pick_other_lots(shop: Workshop) -> None:
    """What she typed by line and lot, a younger one before an older."""
    jarred(shop, "slipway", 4, poured=DAY - timedelta(9))
    young = jarred(shop, "slipway", 4)
    view = _order(shop, 3)
    line = view.items[0].id
    picked = orders.pick(shop, view.line.code, {f"pick.{line}.{young}": "3"})
    assert picked.items[0].picked == (LinePicked(lot=young, jars=3),)


def test_curing_jars_are_picked_only_when_she_says_so(shop: Workshop) -> None:
    """Refused with the day their cure ends; nothing is picked."""
    lot = jarred(shop, "slipway", 4, cure=7)
    view = _order(shop, 3)
    field = f"pick.{view.items[0].id}.{lot}"
    with pytest.raises(BadInput, match="cures until 2026-05-19") as caught:
        orders.pick(shop, view.line.code, {field: "3"})
    assert _places(caught) == {field}
    assert orders.pick(shop, view.line.code, {field: "3", "curing": "yes"}).line.picked == 3


def test_every_problem_of_a_pick_is_said_at_its_place(shop: Workshop) -> None:
    """Too many of a lot, more than wanted, another candle, no such lot, no such line, no number."""
    few = jarred(shop, "slipway", 2)
    many = jarred(shop, "slipway", 50)
    other = jarred(shop, "painters-locker", 9)
    view = _order(shop, 4, 4)
    one, two = (item.id for item in view.items)
    typed = {
        f"pick.{one}.{few}": "3",
        f"pick.{one}.{many}": "some",
        f"pick.{two}.{many}": "5",
        f"pick.{two}.{other}": "1",
        f"pick.{two}.260101-01-1": "1",
        f"pick.999.{many}": "1",
    }
    with pytest.raises(BadInput) as caught:
        orders.pick(shop, view.line.code, typed)
    # the fields of the second line after the one that is too much stay too much
    assert _places(caught) == set(typed)
    with pytest.raises(BadInput) as caught:
        orders.pick(shop, view.line.code, {f"pick.{one}.{few}": "0"})
    assert _places(caught) == {"pick"}
    assert orders.get(shop, view.line.code).line.picked == 0


def test_two_lines_share_what_a_lot_has(shop: Workshop) -> None:
    """Three and three of five jars are one too many."""
    lot = jarred(shop, "slipway", 5)
    view = _order(shop, 3, 3)
    one, two = (item.id for item in view.items)
    with pytest.raises(BadInput) as caught:
        orders.pick(shop, view.line.code, {f"pick.{one}.{lot}": "3", f"pick.{two}.{lot}": "3"})
    assert _places(caught) == {f"pick.{two}.{lot}"}


def test_picked_jars_are_put_back(shop: Workshop) -> None:
    """Some or all, at the cost they were picked at; more than was picked is refused."""
    lot = jarred(shop, "slipway", 7, cost=100_001)
    view = _order(shop, 5)
    code, field = view.line.code, f"pick.{view.items[0].id}.{lot}"
    orders.pick(shop, code, {})
    assert orders.unpick(shop, code, {field: "2"}).line.picked == 3
    assert left(shop, lot)[0] == 4
    with pytest.raises(BadInput) as caught:
        orders.unpick(shop, code, {field: "4"})
    assert _places(caught) == {field}
    orders.unpick(shop, code, {})
    assert left(shop, lot) == (7, 100_001)
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)
    assert orders.get(shop, code).line.picked == 3


def test_more_jars_than_an_order_has_never_come_back(shop: Workshop) -> None:
    """The ledger itself refuses it, whoever asks: else a lot would hold more than was made."""
    lot = jarred(shop, "slipway", 7)
    view = _order(shop, 5)
    orders.pick(shop, view.line.code, {})
    with shop.store.reading() as connection:
        number = connection.execute(select(jar_lot.c.id).where(jar_lot.c.code == lot)).scalar_one()

    def back(jars: int) -> None:
        with deed_of(shop.store, "test.back", at=shop.now()) as work:
            line = view.items[0].id
            work.do("jars", jar_lot_id=number, jars=jars, reason="taken back", order_line_id=line)

    with pytest.raises(Refused, match="it has 5"):
        back(6)
    back(5)
    with pytest.raises(Refused, match="it has 0"):
        back(1)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    made=st.lists(st.tuples(st.integers(1, 9), st.integers(0, 100_000)), min_size=1, max_size=4),
    wanted=st.lists(st.integers(1, 12), min_size=1, max_size=3),
    back=st.lists(st.integers(0, 5), min_size=3, max_size=3),
)
def test_picking_and_putting_back_loses_no_jar_and_no_cost(
    shop: Workshop, made: list[tuple[int, int]], wanted: list[int], back: list[int]
) -> None:
    """What is picked and what is in hand add up to what was made, in jars and in cost."""
    lots = [jarred(shop, "slipway", jars, cost=cost) for jars, cost in made]
    view = _order(shop, *wanted)
    code = view.line.code
    orders.pick(shop, code, {})
    for item, jars in zip(orders.get(shop, code).items, back, strict=False):
        for picked in item.picked:
            count = min(jars, picked.jars)
            if count:
                orders.unpick(shop, code, {f"pick.{item.id}.{picked.lot}": str(count)})
    after = orders.get(shop, code)
    assert all(sum(p.jars for p in i.picked) <= i.jars for i in after.items)
    held = [left(shop, lot) for lot in lots]
    assert after.line.picked + sum(jars for jars, _ in held) == sum(jars for jars, _ in made)
    with shop.store.reading() as connection:
        gone = connection.execute(
            select(-func.sum(jar_entry.c.value))
            .join(order_line, order_line.c.id == jar_entry.c.order_line_id)
            .where(order_line.c.id.in_([item.id for item in after.items]))
        ).scalar_one()
    assert gone + sum(value for _, value in held) == sum(cost for _, cost in made)
    orders.cancel(shop, code)
    assert [left(shop, lot) for lot in lots] == made
    for lot, (jars, cost) in zip(lots, made, strict=True):  # leave none for the next example
        _throw_away(shop, lot, jars, cost)


def _throw_away(shop: Workshop, lot: str, jars: int, cost: int) -> None:
    with deed_of(shop.store, "test.broken", at=shop.now()) as work:
        number = work.connection.execute(
            select(jar_lot.c.id).where(jar_lot.c.code == lot)
        ).scalar_one()
        work.do("jars", jar_lot_id=number, jars=-jars, value=-cost, reason="broken")
        work.said = "Broken."
