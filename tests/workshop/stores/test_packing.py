from __future__ import annotations

from decimal import Decimal

import pytest
from sqlalchemy import select

from rushlight.errors import Refused
from rushlight.store.tables import deed, movement
from rushlight.workshop import Workshop, candles, materials, settings, undo
from rushlight.workshop.stores import jars, lots, orders
from tests.support.bench import left, receive
from tests.support.jars import furnish, jarred

CARTON = {"role": "packaging", "name": "Carton small"}
ORDER = {"channel": "saturday-market", "lines.0.candle": "slipway", "lines.0.price": "9"}


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with ten jars; each is packed in a carton, and two lots of them wait."""
    furnish(empty)
    jarred(empty, "slipway", 10, cost=400_000)
    materials.save(empty, None, CARTON)
    settings.change(empty, {"packaging.0.use": "carton small", "packaging.0.pieces": "1"})
    return empty


@pytest.fixture
def cartons(shop: Workshop) -> tuple[str, str]:
    """Return two lots of four cartons, at 1.00 and 2.01; the second expires first."""
    later = receive(shop, "carton-small", "4", "1.00", expires="2027-05-01")
    return later, receive(shop, "carton-small", "4", "2.01", expires="2026-12-01")


def _picked(shop: Workshop, count: int, **more: str) -> str:
    order = orders.save(shop, None, {**ORDER, "lines.0.jars": str(count), **more}).line.code
    orders.pick(shop, order, {})
    return order


def _said(shop: Workshop) -> str:
    with shop.store.reading() as connection:
        query = select(deed.c.said).order_by(deed.c.id.desc()).limit(1)
        return str(connection.execute(query).scalar_one())


def test_cartons_leave_when_the_order_is_sent_first_expiring_first(
    shop: Workshop, cartons: tuple[str, str]
) -> None:
    """Not when it is picked; five cartons are the four at 2.01 and one of those at 1.00: 2.26."""
    later, sooner = cartons
    order = _picked(shop, 5)
    assert (left(shop, later), left(shop, sooner)) == ((4, 10_000), (4, 20_100))
    view = orders.send(shop, order)
    assert (left(shop, later), left(shop, sooner)) == ((3, 7_500), (0, 0))
    assert [(one.name, one.lot, one.pieces) for one in view.packed] == [
        ("Carton small", later, 1),
        ("Carton small", sooner, 4),
    ]
    assert view.unpacked == ()
    assert _said(shop) == f"Sent order {order}."
    move = lots.get(shop, sooner).moves[0]
    assert (move.reason, move.order, move.amount.units, move.value) == (
        "packed",
        order,
        -4,
        Decimal("-2.01"),
    )


def test_what_the_books_lack_is_told_and_stops_nothing(
    shop: Workshop, cartons: tuple[str, str]
) -> None:
    """Eight cartons for ten jars: eight leave, and the order says that two were not there."""
    assert cartons
    order = orders.send(shop, _picked(shop, 10))
    assert order.sent_at is not None
    assert sum(one.pieces for one in order.packed) == 8
    assert order.unpacked == ("2 of Carton small were not in the books. Count them.",)
    assert _said(shop) == f"Sent order {order.line.code}. {order.unpacked[0]}"


def test_what_is_no_material_is_told_and_stops_nothing(shop: Workshop) -> None:
    """A name that only the settings know; and a carton of which there never was a lot."""
    settings.change(shop, {"packaging.1.use": "Ribbon", "packaging.1.pieces": "2"})
    typed = {"candle": "slipway", "jars": "3", "channel": "saturday-market", "price": "9"}
    assert orders.sell(shop, typed).unpacked == (
        "3 of Carton small were not in the books. Count them.",
        "6 of Ribbon left too, which is none of your materials. Add it to keep count.",
    )


def test_a_candle_has_packaging_of_its_own(shop: Workshop, cartons: tuple[str, str]) -> None:
    """As its newest revision says, in place of the settings; a name typed twice counts twice."""
    document = {**candles.get(shop, "slipway").document}
    rows = [{"use": "Carton small", "pieces": "1"}, {"use": "carton SMALL", "pieces": "1"}]
    candles.save(shop, "slipway", {**document, "price": {"packaging": rows}})
    order = orders.send(shop, _picked(shop, 3))
    assert sum(one.pieces for one in order.packed) == 6
    assert left(shop, cartons[0])[0] == 2
    rows = [{"use": "Carton small", "pieces": "0"}]
    candles.save(shop, "slipway", {**document, "price": {"packaging": rows}})
    assert orders.send(shop, _picked(shop, 1)).packed == ()


def test_every_line_is_packed(shop: Workshop, cartons: tuple[str, str]) -> None:
    """Each has its own cartons, and what is short is told once for all of them."""
    assert cartons
    jarred(shop, "painters-locker", 5)
    more = {"lines.1.candle": "painters-locker", "lines.1.jars": "5", "lines.1.price": "9"}
    order = orders.send(shop, _picked(shop, 6, **more))
    assert order.unpacked == ("3 of Carton small were not in the books. Count them.",)
    with shop.store.reading() as connection:
        query = select(movement.c.order_line_id, movement.c.amount).order_by(movement.c.id)
        rows = connection.execute(query.where(movement.c.reason == "packed")).all()
    assert [tuple(row) for row in rows] == [
        (order.items[0].id, -4),
        (order.items[0].id, -2),
        (order.items[1].id, -2),
    ]


def test_undoing_the_sending_puts_cartons_back_with_their_cost(
    shop: Workshop, cartons: tuple[str, str]
) -> None:
    """To the last 1/10 000; done again they leave again, and undone they are nobody's."""
    before = [left(shop, lot) for lot in cartons]
    order = _picked(shop, 10)
    orders.send(shop, order)
    after = [left(shop, lot) for lot in cartons]
    done = undo.latest(shop)
    assert done is not None
    back = undo.undo(shop, done.id)
    assert [left(shop, lot) for lot in cartons] == before
    view = orders.get(shop, order)
    assert (view.packed, view.unpacked, view.sent_at) == ((), (), None)
    undo.undo(shop, back.id)
    assert [left(shop, lot) for lot in cartons] == after
    assert len(orders.get(shop, order).unpacked) == 1


def test_a_jar_that_comes_back_brings_no_carton(shop: Workshop, cartons: tuple[str, str]) -> None:
    """The carton is with the buyer, or in the bin."""
    order = orders.send(shop, _picked(shop, 5)).line.code
    after = [left(shop, lot) for lot in cartons]
    jars.take_back(shop, jars.listing(shop)[0].code, {"jars": "2", "order": order})
    assert [left(shop, lot) for lot in cartons] == after


def test_a_delivery_an_order_was_packed_from_stands(
    shop: Workshop, cartons: tuple[str, str]
) -> None:
    """Also where a count made up for what left; only then can it be undone."""
    orders.send(shop, _picked(shop, 2))
    sent = undo.latest(shop)
    assert sent is not None
    lots.count(shop, cartons[1], {"amount": "4"})
    with pytest.raises(Refused, match="packed"):
        undo.undo(shop, sent.id - 3)


def test_packing_a_sale_is_one_deed(shop: Workshop, cartons: tuple[str, str]) -> None:
    """Sold over the counter and undone, nothing has moved; asked twice, it is done once."""
    typed = {"candle": "slipway", "jars": "3", "channel": "saturday-market", "price": "9"}
    first = orders.sell(shop, typed, key="once")
    again = orders.sell(shop, typed, key="once")
    assert again == first
    assert left(shop, cartons[1])[0] == 1
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)
    assert left(shop, cartons[1]) == (4, 20_100)


def test_packaging_that_cannot_be_read_is_told(
    shop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A candle kept with a price nobody can read is sent all the same."""
    from rushlight.errors import BadInput
    from rushlight.workshop import costing

    def wrong(*_: object) -> None:
        raise BadInput.one("This is no number.", "Type one.")

    order = _picked(shop, 1)
    monkeypatch.setattr(costing, "packaging", wrong)
    assert orders.send(shop, order).unpacked == (
        "What Slipway is packed in cannot be read. Look at its price.",
    )


def test_a_sending_is_not_done_again_from_nothing(shop: Workshop, cartons: tuple[str, str]) -> None:
    """Cartons gone since: doing it again would draw what is not there; sending anew tells it."""
    order = _picked(shop, 8)
    orders.send(shop, order)
    done = undo.latest(shop)
    assert done is not None
    back = undo.undo(shop, done.id)
    for lot in cartons:
        lots.scrap(shop, lot, {"amount": "4"})
    with pytest.raises(Refused, match="not that much Carton small"):
        undo.undo(shop, back.id)
    assert orders.send(shop, order).unpacked == (
        "8 of Carton small were not in the books. Count them.",
    )
