from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from sqlalchemy import func, select

from rushlight.cost.margin import Margin
from rushlight.store.tables import jar_entry
from rushlight.workshop import Workshop, materials, pours, prices, settings, undo
from rushlight.workshop.stores import jars, lots, orders
from rushlight.workshop.stores.margins import margins
from rushlight.workshop.stores.truth_views import Margins, Went
from tests.support.bench import equip, receive, running, stock
from tests.support.figures import figures
from tests.support.jars import furnish, jarred

WEB = {
    "name": "Web",
    "kind": "own web shop",
    "aim": "price",
    "target": "10.00",
    "percent": "2 %",
    "fixed": "0.20",
    "jars_an_order": "2",
}


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with ten jars at 4.00 each, a market and a web shop."""
    furnish(empty)
    prices.save_channel(empty, None, WEB)
    jarred(empty, "slipway", 10, cost=400_000)
    return empty


def _sell(shop: Workshop, jars_: int, channel: str, price: str) -> str:
    typed = {"candle": "slipway", "jars": str(jars_), "channel": channel, "price": price}
    return orders.sell(shop, typed).line.code


def _may(shop: Workshop) -> Margins:
    assert shop.today() == date(2026, 5, 12)
    return margins(shop, date(2026, 5, 1), date(2026, 5, 31))


def test_fees_and_cost_come_off_the_price_by_candle_and_channel(shop: Workshop) -> None:
    """By hand: 3 at 9.00 with no fee leave 27 - 12 = 15; 2 at 10.00 leave 20 - 0.60 - 8 = 11.40.

    Fees of the web shop: 2 % of 20.00 and 0.20 an order, shared by two jars.
    """
    _sell(shop, 3, "saturday-market", "9")
    _sell(shop, 2, "web", "10")
    found = _may(shop)
    assert [(one.name, one.channel, one.margin.jars) for one in found.lines] == [
        ("Slipway", "Saturday market", 3),
        ("Slipway", "Web", 2),
    ]
    market, web = (one.margin for one in found.lines)
    assert figures(market.price, market.fees, market.cost, market.profit) == (27, 0, 12, 15)
    assert figures(web.price, web.fees, web.cost, web.profit) == (
        20,
        Decimal("0.6"),
        8,
        Decimal("11.4"),
    )
    assert web.margin == Decimal("0.57")
    assert found.total.profit == Decimal("26.4")
    assert found.channels == (("Saturday market", market), ("Web", web))


def test_months_and_channels_come_to_the_same_total(shop: Workshop) -> None:
    """To the last digit, where a fee of a third of a penny never ends."""
    prices.save_channel(shop, "web", {"jars_an_order": "3"})
    for _ in range(3):
        _sell(shop, 1, "web", "9.99")
        shop.clock.pass_by(days=20)  # type: ignore[attr-defined]  # the tests' own clock
    found = margins(shop, date(2026, 5, 1), date(2026, 7, 31))
    assert [(one.month, one.margin.jars) for one in found.months] == [
        (date(2026, 5, 1), 1),
        (date(2026, 6, 1), 2),
    ]
    assert sum(one.margin.price for one in found.months) == found.total.price == Decimal("29.97")
    fees = sum((one.margin.fees for one in found.months), Decimal(0))
    # 2 % of 29.97 and three times a third of 0.20
    assert fees.quantize(Decimal("1e-15")) == Decimal("0.7994").quantize(Decimal("1e-15"))
    assert fees.quantize(Decimal("1e-15")) == found.total.fees.quantize(Decimal("1e-15"))


def test_the_first_and_the_last_day_count(shop: Workshop) -> None:
    """And the days beside them do not."""
    _sell(shop, 1, "web", "10")
    day = shop.today()
    for first, last, sold in ((0, 0, 1), (-1, -1, 0), (1, 1, 0), (-1, 1, 1)):
        found = margins(shop, day + timedelta(days=first), day + timedelta(days=last))
        assert found.total.jars == sold


def test_what_comes_back_counts_against_what_was_sold(shop: Workshop) -> None:
    """On the day it came back, with the price, the fees and the cost it had."""
    order = _sell(shop, 3, "web", "10")
    shop.clock.pass_by(days=30)  # type: ignore[attr-defined]  # the tests' own clock
    jars.take_back(shop, jars.listing(shop)[0].code, {"jars": "1", "order": order})
    found = margins(shop, date(2026, 5, 1), date(2026, 6, 30))
    may, june = (one.margin for one in found.months)
    assert figures(may.jars, may.price, may.cost) == (3, 30, 12)
    assert figures(june.jars, june.price, june.cost) == (-1, -10, -4)
    assert june.fees == Decimal("-0.3")
    assert figures(found.total.jars, found.total.price, found.total.cost) == (2, 20, 8)


def test_a_sale_undone_was_none(shop: Workshop) -> None:
    """It nets to nothing, and is in no list."""
    _sell(shop, 3, "web", "10")
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)
    found = _may(shop)
    assert found.total == Margin(
        jars=0, price=Decimal(0), fees=Decimal(0), known_cost=Decimal(0), unknown=0
    )


def test_an_order_counts_when_it_was_sent(shop: Workshop) -> None:
    """Picked jars are still the maker's."""
    line = {"lines.0.candle": "slipway", "lines.0.jars": "2", "lines.0.price": "9"}
    order = orders.save(shop, None, {"channel": "saturday-market", **line}).line.code
    chosen = orders.proposal(shop, order)[0]
    orders.pick(shop, order, {f"pick.{chosen.line}.{chosen.lots[0].lot}": "2"})
    assert _may(shop).total.jars == 0
    orders.send(shop, order)
    assert _may(shop).total.price == 18


def test_a_channel_out_of_use_still_has_what_was_sold_there(shop: Workshop) -> None:
    """Its fees are those it last had."""
    _sell(shop, 2, "web", "10")
    prices.drop_channel(shop, "web")
    assert _may(shop).lines[0].margin.fees == Decimal("0.6")


def test_jars_that_left_unsold_stand_beside(shop: Workshop) -> None:
    """Given, tested and broken ones with what they cost; they are in no margin."""
    code = jars.listing(shop)[0].code
    jars.take(shop, code, {"jars": "2", "fate": "given"})
    jars.take(shop, code, {"jars": "1", "fate": "broken"})
    jars.take(shop, code, {"jars": "4", "fate": "testing"})
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)
    found = _may(shop)
    assert found.went == (Went("given", 2, Decimal(8)), Went("broken", 1, Decimal(4)))
    assert found.total.jars == 0


def test_jars_of_unknown_cost_have_no_profit_yet(empty: Workshop) -> None:
    """The group waits for them and says how many; the cost of the others is kept."""
    equip(empty)
    stock(empty)
    prices.save_channel(empty, None, WEB)
    receive(empty, "test-soy", "2 kg", "10.00")
    receive(empty, "test-soy", "9 kg", "")
    for _ in range(2):
        pours.finish(empty, running(empty), {})
    for lot in jars.listing(empty):
        typed = {"lot": lot.code, "jars": "2", "channel": "web", "price": "10", "curing": "yes"}
        orders.sell(empty, typed)
        jars.take(empty, lot.code, {"jars": "1", "fate": "given"})
    found = _may(empty)
    margin = found.lines[0].margin
    # ten jars: wax 10.00, tumblers 15.00, wicks 1.00, labour 18.00, overhead 20.00
    assert figures(margin.jars, margin.unknown, margin.known_cost) == (4, 2, Decimal("12.8"))
    assert figures(margin.cost, margin.profit, margin.margin) == (None, None, None)
    assert found.went == (Went("given", 2, None),)


def test_the_cost_of_sales_is_what_the_entries_carry(shop: Workshop) -> None:
    """Two ways to one figure, where the cost of a jar does not divide evenly."""
    jarred(shop, "slipway", 7, cost=333_333)
    for sold in (1, 5, 2, 6):
        _sell(shop, sold, "web", "10")
    with shop.store.reading() as connection:
        query = select(-func.sum(jar_entry.c.value)).where(jar_entry.c.reason == "sold")
        carried = connection.execute(query).scalar_one()
    cost = _may(shop).total.cost
    assert cost is not None
    assert cost * 10_000 == carried


def _packed_in(shop: Workshop, price: str) -> str:
    """Let every jar be packed in a carton; receive twenty, at a price or at none."""
    materials.save(shop, None, {"role": "packaging", "name": "Carton"})
    settings.change(shop, {"packaging.0.use": "Carton", "packaging.0.pieces": "1"})
    return receive(shop, "carton", "20", price)


def test_what_jars_were_packed_in_is_a_part_of_their_cost(shop: Workshop) -> None:
    """By hand: 3 jars at 4.00, and 3 of 20 cartons at 7.99: 1.1985 (1.19850 to 1/10 000)."""
    before = _sell(shop, 1, "web", "10")
    _packed_in(shop, "7.99")
    _sell(shop, 3, "saturday-market", "9")
    market, web = (one.margin for one in _may(shop).lines)
    assert figures(market.jars, market.cost, market.packaging, market.profit) == (
        3,
        Decimal("13.1985"),
        Decimal("1.1985"),
        Decimal("13.8015"),
    )
    # sent before packaging was booked: it has none
    assert orders.get(shop, before).packed == ()
    assert figures(web.cost, web.packaging) == (4, 0)
    total = _may(shop).total
    assert (total.cost, total.packaging) == (Decimal("17.1985"), Decimal("1.1985"))


def test_packaging_comes_to_the_same_by_candle_channel_and_month(shop: Workshop) -> None:
    """It counts on the day of the sending; jars that come back leave it where it is."""
    _packed_in(shop, "7.99")
    line = {"lines.0.candle": "slipway", "lines.0.jars": "4", "lines.0.price": "9"}
    order = orders.save(shop, None, {"channel": "web", **line}).line.code
    orders.pick(shop, order, {})
    shop.clock.pass_by(days=30)  # type: ignore[attr-defined]  # the tests' own clock
    orders.send(shop, order)
    _sell(shop, 2, "saturday-market", "9")
    jars.take_back(shop, jars.listing(shop)[0].code, {"jars": "1", "order": order})
    found = margins(shop, date(2026, 5, 1), date(2026, 6, 30))
    whole = Decimal("2.397")  # 6 of 20 at 7.99
    assert [(one.margin.jars, one.margin.packaging) for one in found.months] == [(4, 0), (1, whole)]
    for group in (found.lines, found.months):
        margins_ = [one.margin for one in group]
        assert sum(one.known_packaging for one in margins_) == found.total.packaging == whole
        assert sum(one.known_cost for one in margins_) == found.total.cost == 20 + whole
    assert sum(margin.known_packaging for _, margin in found.channels) == whole


def test_a_carton_of_unknown_cost_makes_the_cost_unknown(shop: Workshop) -> None:
    """Of the jars packed in it, and until its lot has one, which no longer reaches them."""
    lot = _packed_in(shop, "")
    _sell(shop, 3, "web", "10")
    found = _may(shop).total
    assert (found.cost, found.packaging, found.profit, found.unknown) == (None, None, None, 3)
    lots.worth(shop, lot, {"cost": "20.00"})
    assert _may(shop).total.unknown == 3
    _sell(shop, 2, "saturday-market", "9")
    market = next(one.margin for one in _may(shop).lines if one.channel == "Saturday market")
    assert figures(market.cost, market.packaging) == (10, 2)


def test_a_sending_undone_costs_nothing(shop: Workshop) -> None:
    """Neither its jars nor their cartons."""
    _packed_in(shop, "7.99")
    _sell(shop, 3, "web", "10")
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)
    total = _may(shop).total
    assert figures(total.jars, total.cost, total.packaging, total.unknown) == (0, 0, 0, 0)


def test_margins_are_worked_out_anew_after_anything_that_bears_on_them(shop: Workshop) -> None:
    """A sale, its undoing, a channel's fee; and only then."""
    _sell(shop, 2, "web", "10")
    first = _may(shop)
    assert _may(shop) is first
    _sell(shop, 1, "web", "10")
    assert _may(shop).total.jars == 3
    done = undo.listing(shop)[0]
    undo.undo(shop, done.id)
    assert _may(shop) == first
    prices.save_channel(shop, "web", WEB | {"percent": "12 %"})
    assert _may(shop).total.fees - first.total.fees == 2  # ten more in a hundred, of 20.00
