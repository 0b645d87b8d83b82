from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.store.deeds import deed_of
from rushlight.workshop import Workshop, candles, prices, undo
from rushlight.workshop.stores import orders
from rushlight.workshop.stores.views import OrderState, OrderView
from tests.support.jars import furnish, jarred, left

HEAD = {"channel": "saturday-market", "buyer": "The Chandlery", "due": "2026-05-20"}
LINE = {"lines.0.candle": "slipway", "lines.0.jars": "6", "lines.0.price": "12.50"}


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with two candles, a channel and two materials."""
    furnish(empty)
    return empty


def _order(shop: Workshop, **more: str) -> OrderView:
    return orders.save(shop, None, {**HEAD, **LINE, **more})


def _undo(shop: Workshop) -> None:
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)


def _places(caught: pytest.ExceptionInfo[BadInput]) -> set[str]:
    return {problem.place for problem in caught.value.problems}


def test_an_order_is_kept_as_it_was_typed(shop: Workshop) -> None:
    """Head, lines, takings and a code with its check character."""
    view = orders.save(
        shop,
        None,
        {
            **HEAD,
            "contact": "01234",
            "note": "In two boxes",
            "lines.0.candle": "slipway",
            "lines.0.jars": "6",
            "lines.0.price": "12.50",
            "lines.3.candle": "PAINTER'S LOCKER",
            "lines.3.jars": "2",
            "lines.3.price": "9",
        },
    )
    assert view.line.code.startswith("S")
    assert (view.line.state, view.line.channel) == (OrderState.OPEN, "Saturday market")
    assert (view.line.placed_on, view.line.due_on) == (shop.today(), date(2026, 5, 20))
    assert (view.line.jars, view.line.picked) == (8, 0)
    assert view.line.takings == Decimal(93)  # 6 × 12.50 + 2 × 9
    assert (view.line.buyer, view.contact, view.note) == ("The Chandlery", "01234", "In two boxes")
    assert [(i.candle, i.jars, i.price) for i in view.items] == [
        ("slipway", 6, Decimal("12.5")),
        ("painters-locker", 2, Decimal(9)),
    ]
    assert orders.get(shop, view.line.code.replace("-", " ").lower()) == view


def test_an_order_without_a_price_asks_what_the_channel_asks(shop: Workshop) -> None:
    """The price table's rounded price of that candle in that channel, worked out once."""
    typed = {"lines.0.price": "", "lines.1.candle": "slipway", "lines.1.jars": "1"}
    assert [item.price for item in _order(shop, **typed).items] == [9, 9]
    prices.save_channel(shop, "saturday-market", {"aim": "margin", "target": "55 %"})
    asked = prices.price_table(shop, "slipway").rows[0].asked
    assert asked is not None
    assert [item.price for item in _order(shop, **typed).items] == [asked.price, asked.price]


def test_every_problem_of_an_order_is_said_at_its_place(shop: Workshop) -> None:
    """Channel, day, candle, jars and price at once; nothing is written."""
    with pytest.raises(BadInput) as caught:
        orders.save(
            shop,
            None,
            {
                "channel": "the moon",
                "due": "1999-01-01",
                "lines.0.candle": "nothing of ours",
                "lines.0.jars": "some",
                "lines.1.candle": "slipway",
                "lines.1.jars": "",
                "lines.2.candle": "",
                "lines.2.jars": "4",
                "lines.2.price": "-2",
                "colour": "red",
            },
        )
    assert _places(caught) == {
        "channel",
        "due",
        "lines.0.candle",
        "lines.0.jars",
        "lines.1.jars",
        "lines.2.candle",
        "lines.2.price",
        "colour",
    }
    with pytest.raises(BadInput) as caught:
        orders.save(shop, None, {**HEAD, "lines.0.candle": "", "lines.0.jars": ""})
    assert _places(caught) == {"lines"}
    assert orders.listing(shop) == ()
    assert orders.buyers(shop) == ()


def test_a_candle_that_has_no_price_wants_one_typed(shop: Workshop) -> None:
    """A channel that follows a retail price, with none before it, cannot say one."""
    for view in prices.channels(shop):
        prices.drop_channel(shop, view.slug)
    prices.save_channel(shop, None, {"name": "Shops", "kind": "wholesale"})
    with pytest.raises(BadInput) as caught:
        orders.save(
            shop, None, {"channel": "shops", "lines.0.candle": "slipway", "lines.0.jars": "1"}
        )
    assert _places(caught) == {"lines.0.price"}


def test_a_buyer_is_found_whatever_the_case(shop: Workshop) -> None:
    """One buyer, whose contact the newer order brings up to date; an empty one changes nothing."""
    _order(shop, contact="old@example.org")
    _order(shop, buyer="the  CHANDLERY", contact="new@example.org")
    view = _order(shop, buyer="The chandlery")
    assert [(b.name, b.contact) for b in orders.buyers(shop)] == [
        ("The Chandlery", "new@example.org")
    ]
    assert view.contact == "new@example.org"


def test_a_buyer_can_be_renamed_but_not_to_another(shop: Workshop) -> None:
    """The order shows the new name; two of one name are refused."""
    view = _order(shop)
    _order(shop, buyer="The Gallery")
    orders.save_buyer(shop, "the chandlery", {"name": "Chandlery & Sons", "contact": "5"})
    assert orders.get(shop, view.line.code).line.buyer == "Chandlery & Sons"
    with pytest.raises(BadInput) as caught:
        orders.save_buyer(shop, "The Gallery", {"name": "CHANDLERY & sons"})
    assert _places(caught) == {"name"}
    with pytest.raises(NotFound):
        orders.save_buyer(shop, "Nobody", {"contact": "1"})


def test_a_changed_order_keeps_what_is_not_named(shop: Workshop) -> None:
    """A new due day leaves the lines; naming lines replaces them, prices staying where unsaid."""
    view = _order(shop, **{"lines.1.candle": "painters-locker", "lines.1.jars": "2",
                           "lines.1.price": "9"})  # fmt: skip
    code = view.line.code
    changed = orders.save(shop, code, {"due": "2026-06-01", "buyer": ""})
    assert (changed.line.due_on, changed.line.buyer) == (date(2026, 6, 1), "")
    assert changed.items == view.items
    changed = orders.save(shop, code, {"lines.0.candle": "slipway", "lines.0.jars": "8"})
    assert [(i.id, i.candle, i.jars, i.price) for i in changed.items] == [
        (view.items[0].id, "slipway", 8, Decimal("12.5"))
    ]
    _undo(shop)
    assert orders.get(shop, code).items == view.items


def test_two_lines_of_one_candle_are_told_apart_by_their_number(shop: Workshop) -> None:
    """With lines.N.id the right one changes, the other is taken out."""
    view = _order(shop, **{"lines.1.candle": "slipway", "lines.1.jars": "2", "lines.1.price": "9"})
    second = view.items[1]
    typed = {"lines.0.id": str(second.id), "lines.0.candle": "slipway", "lines.0.jars": "3"}
    changed = orders.save(shop, view.line.code, typed)
    assert [(i.id, i.jars, i.price) for i in changed.items] == [(second.id, 3, Decimal(9))]


def test_a_line_is_not_shortened_below_what_was_picked(shop: Workshop) -> None:
    """Neither made shorter nor left out; longer is welcome."""
    jarred(shop, "slipway", 12)
    code = _order(shop).line.code
    orders.pick(shop, code, {})
    for typed, place in (
        ({"lines.0.candle": "slipway", "lines.0.jars": "5"}, "lines.0.jars"),
        ({"lines.0.candle": "painters-locker", "lines.0.jars": "5", "lines.0.price": "1"}, "lines"),
    ):
        with pytest.raises(BadInput) as caught:
            orders.save(shop, code, typed)
        assert _places(caught) == {place}
    more = orders.save(shop, code, {"lines.0.candle": "slipway", "lines.0.jars": "7"})
    assert (more.line.state, more.line.jars, more.line.picked) == (OrderState.OPEN, 7, 6)


def test_an_order_goes_from_open_to_picked_to_sent(shop: Workshop) -> None:
    """The state follows from what was done; each list shows its own."""
    lot = jarred(shop, "slipway", 12)
    code = _order(shop).line.code
    with pytest.raises(Refused, match="6 of Slipway"):
        orders.send(shop, code)
    assert orders.pick(shop, code, {}).line.state is OrderState.PICKED
    assert left(shop, lot)[0] == 6
    sent = orders.send(shop, code)
    assert (sent.line.state, sent.sent_at) == (OrderState.SENT, shop.now())
    for state in OrderState:
        codes = [line.code for line in orders.listing(shop, state=state)]
        assert codes == ([code] if state is OrderState.SENT else [])
    with pytest.raises(BadInput):
        orders.listing(shop, state="lost")


def test_a_sent_order_only_takes_its_buyer(shop: Workshop) -> None:
    """Lines, channel and picks stand; who bought can still be put right, for a recall."""
    jarred(shop, "slipway", 12)
    code = _order(shop, buyer="").line.code
    orders.pick(shop, code, {})
    orders.send(shop, code)
    refusals: tuple[Callable[[], object], ...] = (
        lambda: orders.save(shop, code, LINE),
        lambda: orders.pick(shop, code, {}),
        lambda: orders.unpick(shop, code, {}),
        lambda: orders.cancel(shop, code),
        lambda: orders.send(shop, code),
    )
    for refused in refusals:
        with pytest.raises(Refused, match="sent"):
            refused()
    assert orders.save(shop, code, {"buyer": "Nell", "contact": "next door"}).contact == "next door"


def test_a_cancelled_order_puts_its_jars_back_at_their_cost(shop: Workshop) -> None:
    """The lot is as it was, to the last 1/10 000; undone, the order has its jars again."""
    lot = jarred(shop, "slipway", 7, cost=100_001)
    code = _order(shop).line.code
    orders.pick(shop, code, {})
    assert orders.cancel(shop, code).line.state is OrderState.CANCELLED
    assert left(shop, lot) == (7, 100_001)
    with pytest.raises(Refused, match="cancelled"):
        orders.pick(shop, code, {})
    _undo(shop)
    assert orders.get(shop, code).line.state is OrderState.PICKED
    assert left(shop, lot)[0] == 1


def test_each_deed_of_an_order_is_undone(shop: Workshop) -> None:
    """Sending, picking and writing it down, in turn; not one before what rests on it."""
    lot = jarred(shop, "slipway", 7)
    code = _order(shop).line.code
    saved = undo.latest(shop)
    assert saved is not None
    orders.pick(shop, code, {})
    with pytest.raises(Refused, match="Picked 6"):
        undo.undo(shop, saved.id)
    orders.send(shop, code)
    states = []
    for _ in range(3):
        done = undo.latest(shop, f"order:{code}")
        assert done is not None
        undo.undo(shop, done.id)
        states.append(orders.get(shop, code).line.state)
    assert states == [OrderState.PICKED, OrderState.OPEN, OrderState.CANCELLED]
    assert left(shop, lot)[0] == 7
    assert orders.buyers(shop) == ()


def test_a_form_sent_twice_is_one_order(shop: Workshop) -> None:
    """The second time returns the first order."""
    first = orders.save(shop, None, {**HEAD, **LINE}, key="k")
    assert orders.save(shop, None, {**HEAD, **LINE}, key="k") == first
    assert len(orders.listing(shop)) == 1


def test_many_orders_are_saved_in_one_deed(shop: Workshop) -> None:
    """As an import does: all of them or, when one is wrong, none."""
    with deed_of(shop.store, "test.import", at=shop.now()) as work:
        shared = orders.Catalogue(shop, work.connection)
        saved = [
            orders.save_within(shop, work, None, {**HEAD, **LINE}, catalogue=shared)
            for _ in range(3)
        ]
        work.said = "Took in three orders."
    assert [line.code for line in orders.listing(shop)] == [one.code for one in saved][::-1]

    def again() -> None:
        with deed_of(shop.store, "test.import", at=shop.now()) as work:
            orders.save_within(shop, work, None, {**HEAD, **LINE})
            orders.save_within(shop, work, None, {**HEAD, "lines.0.candle": "x"})

    with pytest.raises(BadInput):
        again()
    assert len(orders.listing(shop)) == 3


def test_orders_to_be_sent_stand_by_the_day_they_are_due(shop: Workshop) -> None:
    """The soonest first, those without a day last; all together the newest first."""
    late = _order(shop, due="2026-06-30").line.code
    none = _order(shop, due="").line.code
    soon = _order(shop, due="2026-05-13").line.code
    assert [line.code for line in orders.listing(shop, state="open")] == [soon, late, none]
    assert [line.code for line in orders.listing(shop)] == [soon, none, late]
    assert len(orders.listing(shop, limit=2)) == 2


def test_a_code_with_a_slip_is_told_from_one_of_no_order(shop: Workshop) -> None:
    """The check character does it."""
    code = _order(shop).line.code
    wrong = code[:-1] + str((int(code[-1]) + 1) % 10)
    with pytest.raises(BadInput, match="slip"):
        orders.get(shop, wrong)
    with pytest.raises(NotFound):
        orders.get(shop, "M1-9")


def test_a_candle_out_of_use_is_not_ordered_anew(shop: Workshop) -> None:
    """An order that has it keeps its line."""
    view = _order(shop)
    candles.shelve(shop, "slipway")
    with pytest.raises(BadInput, match="out of use"):
        _order(shop)
    typed = {"lines.0.candle": "slipway", "lines.0.jars": "7"}
    assert orders.save(shop, view.line.code, typed).line.jars == 7


def test_a_sale_over_the_counter_is_one_deed(shop: Workshop) -> None:
    """Order, pick and sending at once; undone, the jars are back and the order cancelled."""
    lot = jarred(shop, "slipway", 5, cost=40_003)
    typed = {"candle": "slipway", "jars": "2", "channel": "saturday-market", "price": "11"}
    before = len(undo.listing(shop, limit=1000))
    sold = orders.sell(shop, typed, key="k")
    assert orders.sell(shop, typed, key="k") == sold
    assert len(undo.listing(shop, limit=1000)) == before + 1
    assert (sold.line.state, sold.line.takings) == (OrderState.SENT, Decimal(22))
    assert [p.lot for p in sold.items[0].picked] == [lot]
    assert left(shop, lot)[0] == 3
    _undo(shop)
    assert orders.get(shop, sold.line.code).line.state is OrderState.CANCELLED
    assert left(shop, lot) == (5, 40_003)


def test_a_sale_says_what_is_missing(shop: Workshop) -> None:
    """Jars that are not there, a channel, a lot's code with a slip."""
    jarred(shop, "slipway", 5)
    jarred(shop, "slipway", 5, cure=14)
    with pytest.raises(BadInput) as caught:
        orders.sell(shop, {"candle": "slipway", "jars": "6"})
    assert _places(caught) == {"channel", "jars"}
    assert "Only 5 cured" in str(caught.value)
    assert "2026-05-26" in str(caught.value)
    with pytest.raises(BadInput) as caught:
        orders.sell(shop, {"lot": "260512-01-0", "jars": "0", "channel": "saturday-market"})
    assert _places(caught) == {"lot", "jars"}


def test_a_lot_of_another_candle_is_not_sold_for_the_one_chosen(shop: Workshop) -> None:
    """The wrong jar in the hand, or the wrong line of the list: asked, not guessed."""
    lot = jarred(shop, "slipway", 5)
    typed = {"lot": lot, "jars": "1", "channel": "saturday-market", "price": "5"}
    with pytest.raises(BadInput, match=f"{lot} is of Slipway") as caught:
        orders.sell(shop, {**typed, "candle": "painters-locker"})
    assert _places(caught) == {"lot"}
    with pytest.raises(BadInput) as caught:
        orders.sell(shop, {**typed, "candle": "tallow dip"})
    assert _places(caught) == {"candle"}
    assert orders.sell(shop, {**typed, "candle": "slipway"}).items[0].picked[0].lot == lot


def test_curing_jars_are_sold_only_when_she_says_so(shop: Workshop) -> None:
    """By the code of their lot, and with the word."""
    lot = jarred(shop, "slipway", 5, cure=14)
    typed = {"lot": lot, "jars": "2", "channel": "saturday-market", "price": "5"}
    with pytest.raises(BadInput, match="cures until 2026-05-26") as caught:
        orders.sell(shop, typed)
    assert _places(caught) == {"curing"}
    orders.sell(shop, {**typed, "curing": "yes"})
    assert left(shop, lot)[0] == 3
