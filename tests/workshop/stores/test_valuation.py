from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from sqlalchemy import func, select

from rushlight.store.tables import jar_balance, movement, stock_balance
from rushlight.workshop import Workshop, materials, pours, undo
from rushlight.workshop.stores import jars, lots, receiving
from rushlight.workshop.stores.holdings import worked_out
from rushlight.workshop.stores.truth_views import MaterialWorth, Three, Valuation
from rushlight.workshop.stores.valuation import valuation
from tests.support.bench import equip, receive, running, stock
from tests.support.figures import figures

LID = "test-lid"


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with a material counted by the piece."""
    materials.save(empty, None, {"role": "packaging", "name": "Test lid"})
    return empty


def _came(shop: Workshop, pieces: int, price: str, **more: str) -> str:
    """Receive so many pieces at a price a piece; return the code of the lot."""
    typed = {"material": LID, "packs": str(pieces), "pack": "1", "price": price, **more}
    lines = {f"lines.0.{field}": text for field, text in typed.items()}
    return receiving.receive(shop, {"supplier": "Nobody", **lines}).lots[0].code


def _went(shop: Workshop, pieces: int) -> None:
    materials.scrap(shop, LID, {"amount": str(pieces)})


def _undo(shop: Workshop) -> None:
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)


def _now(shop: Workshop) -> Valuation:
    return valuation(shop, shop.today())


def _only(found: Valuation) -> MaterialWorth:
    assert len(found.materials) == 1
    return found.materials[0]


def test_layers_left_are_worth_15_first_in_first_out_and_11_4_at_the_average(
    shop: Workshop,
) -> None:
    """2 at 2, 3 at 3, 5 at 5, 7 gone: 15 left of 38 first in first out, 11.4 at the average.

    Source: the documentation of cogs() in the R package FinCal (FIFO cost 23, inventory 15;
    weighted average 26.6 and 11.4).
    """
    for pieces, price in ((2, "2"), (3, "3"), (5, "5")):
        _came(shop, pieces, price)
    assert _now(shop).materials_total == Three(
        by_lot=Decimal(38), fifo=Decimal(38), average=Decimal(38)
    )
    _went(shop, 7)
    one = _only(_now(shop))
    assert one.on_hand.pieces == 3
    assert one.worth == Three(by_lot=Decimal(15), fifo=Decimal(15), average=Decimal("11.4"))


def test_a_perpetual_exercise_ends_at_590_77_and_700(shop: Workshop) -> None:
    """45 at 8, 150 at 9, 65 at 10, 120 gone, 50 at 12, 130 gone: 60 are left of 2,960.00.

    Moving average: cost of sales 2,369.23, end 590.77. First in first out: 2,260 and 700.
    Source: a textbook exercise in perpetual inventory; by hand, 2,360 / 260 = 9.0769 each,
    140 left at 1,270.77, with 600 more 1,870.77 / 190 = 9.8462 each, 60 of them 590.77.
    """
    for pieces, price in ((45, "8"), (150, "9"), (65, "10")):
        _came(shop, pieces, price)
    _went(shop, 120)
    _came(shop, 50, "12")
    _went(shop, 130)
    worth = _only(_now(shop)).worth
    assert figures(worth.by_lot, worth.fifo) == (700, 700)
    assert worth.average is not None
    assert worth.average.quantize(Decimal("0.01")) == Decimal("590.77")
    assert (2960 - worth.average).quantize(Decimal("0.01")) == Decimal("2369.23")


def test_the_lots_bear_their_own_cost_whichever_goes_first(shop: Workshop) -> None:
    """The same layers, the dearest first to expire: 5 at 5 and 2 of 3 at 3 go, 7 is left.

    First in first out and the average know nothing of dates: 15 and 11.4 as before.
    """
    for pieces, price, expires in ((2, "2", ""), (3, "3", "2027-03-01"), (5, "5", "2027-01-01")):
        _came(shop, pieces, price, expires=expires)
    _went(shop, 7)
    worth = _only(_now(shop)).worth
    assert worth == Three(by_lot=Decimal(7), fifo=Decimal(15), average=Decimal("11.4"))


def test_a_day_past_is_valued_as_it_stood_that_evening(shop: Workshop) -> None:
    """What came and went later, and what was undone later, has not happened yet."""
    start = shop.today()
    _came(shop, 10, "3")
    shop.clock.pass_by(days=1)  # type: ignore[attr-defined]  # the tests' own clock
    _went(shop, 4)
    shop.clock.pass_by(days=1)  # type: ignore[attr-defined]
    _undo(shop)
    _came(shop, 1, "9")
    totals = [valuation(shop, start + timedelta(days=n)).materials_total for n in range(-1, 4)]
    assert [one.by_lot for one in totals] == [0, 30, 18, 39, 39]
    assert [one.average for one in totals] == [0, 30, 18, 39, 39]
    assert [one.fifo for one in totals] == [0, 30, 18, 39, 39]


def test_a_valuation_asked_for_again_knows_what_happened_since(shop: Workshop) -> None:
    """What is kept of one is never shown when the ledger has gone on, for any day."""
    start = shop.today()
    _came(shop, 10, "3")
    before = _now(shop)
    assert _now(shop) == before
    _went(shop, 4)
    assert _now(shop).materials_total.average == 18
    shop.clock.pass_by(days=1)  # type: ignore[attr-defined]  # the tests' own clock
    assert valuation(shop, start).materials_total.average == 18
    late = {"supplier": "Nobody", "day": start.isoformat(), "lines.0.material": LID}
    packs = {"lines.0.packs": "1", "lines.0.pack": "1", "lines.0.price": "2"}
    receiving.receive(shop, {**late, **packs})
    assert valuation(shop, start).materials_total == Three(
        by_lot=Decimal(20), fifo=Decimal(20), average=Decimal(20)
    )


def test_a_delivery_undone_changes_no_formula(shop: Workshop) -> None:
    """5 at 2, 5 at 9 undone, 4 gone: 6 left at 2 each way (an issue of 5 at 5.50 it is not)."""
    _came(shop, 10, "2")
    _came(shop, 5, "9")
    _undo(shop)
    _went(shop, 4)
    worth = _only(_now(shop)).worth
    assert worth == Three(by_lot=Decimal(12), fifo=Decimal(12), average=Decimal(12))


def test_a_cost_not_known_is_never_nought(shop: Workshop) -> None:
    """The lot is named and left out; when its cost is entered, what is left of it counts."""
    _came(shop, 5, "10")
    free = _came(shop, 10, "")
    lots.scrap(shop, free, {"amount": "2"})
    found = _now(shop)
    one = _only(found)
    assert figures(one.on_hand.pieces, one.worth.by_lot, one.worth.average) == (5, 50, 50)
    assert [(lot.code, lot.on_hand.pieces) for _, lot in found.unknown] == [(free, 8)]
    lots.worth(shop, free, {"cost": "70"})
    found = _now(shop)
    assert found.unknown == ()
    assert found.materials_total == Three(
        by_lot=Decimal(106), fifo=Decimal(106), average=Decimal(106)
    )
    _undo(shop)
    assert [lot.code for _, lot in _now(shop).unknown] == [free]


def test_only_lots_without_a_cost_in_hand_still_stand_in_the_list(shop: Workshop) -> None:
    """Nothing of known cost is there: no worth, yet the material is named."""
    _came(shop, 10, "")
    one = _only(_now(shop))
    assert (one.on_hand.pieces, len(one.unknown)) == (0, 1)
    assert _now(shop).materials_total.by_lot == 0


@pytest.fixture
def poured(empty: Workshop) -> Workshop:
    """Return a workshop that finished ten jars at 60.00, with 300 g of wax given back."""
    equip(empty)
    stock(empty)
    receive(empty, "test-soy", "5 kg", "25.00")
    typed = {"left.test-soy.amount": "300 g", "jars_differ": "filled lower than planned"}
    pours.finish(empty, running(empty), typed)
    return empty


def test_jars_are_worth_what_their_pour_cost(poured: Workshop) -> None:
    """Ten at 62.50, of which three are given away: 43.75 is left.

    By hand: wax 1.7 kg at 5.00, 8.50; tumblers 15.00, wicks 1.00; labour 18.00, overhead 20.00.
    """
    found = _now(poured)
    assert [(one.candle, one.jars, one.worth) for one in found.jars] == [
        ("oar", 10, Decimal("62.5"))
    ]
    code = jars.listing(poured)[0].code
    jars.take(poured, code, {"jars": "3", "fate": "given"})
    found = _now(poured)
    assert figures(found.jars[0].jars, found.jars_total) == (7, Decimal("43.75"))
    assert found.total == found.materials_total.by_lot + found.jars_total
    assert valuation(poured, poured.today() - timedelta(days=1)).jars == ()


def test_jars_of_a_past_day_are_counted_from_their_entries(poured: Workshop) -> None:
    """The sums the database keeps are of today; those of a day are worked out and agree."""
    day = poured.today()
    before = _now(poured)
    poured.clock.pass_by(days=1)  # type: ignore[attr-defined]  # the tests' own clock
    jars.take(poured, jars.listing(poured)[0].code, {"jars": "3", "fate": "given"})
    assert valuation(poured, day) == before


def test_jars_poured_with_wax_of_unknown_cost_are_named_and_left_out(empty: Workshop) -> None:
    """Never shown as worth what the rest of them cost."""
    equip(empty)
    stock(empty)
    receive(empty, "test-soy", "5 kg", "")
    pours.finish(empty, running(empty), {})
    found = _now(empty)
    assert found.jars_total == 0
    assert [(one.name, jars) for one, _, jars in found.unknown_jars] == [("Oar", 10)]


def test_by_lot_is_what_the_database_keeps_as_the_sum(shop: Workshop, poured: Workshop) -> None:
    """Two ways to one figure: the balances of the triggers, and all movements read again."""
    assert shop.place == poured.place
    found = _now(poured)
    with poured.store.reading() as connection:
        kept = connection.execute(select(func.sum(stock_balance.c.value))).scalar_one()
        kept_jars = connection.execute(select(func.sum(jar_balance.c.value))).scalar_one()
        owners = connection.execute(select(movement.c.material_id).distinct()).scalars().all()
        afresh = worked_out(connection, owners, None)
    assert found.materials_total.by_lot * 10_000 == kept
    assert found.jars_total * 10_000 == kept_jars
    assert sum(one.by_lot for one in afresh.values()) == kept
    # one lot each, so every way gives what its own cost does
    assert found.materials_total.fifo == found.materials_total.average == Decimal("16.5") + 60 + 4


def test_every_formula_speaks_for_the_demonstration_on_any_day(workshop: Workshop) -> None:
    """Its days do not contradict one another, and of one price all ways are alike."""
    for back in (0, 10, 30, 400):
        found = valuation(workshop, workshop.today() - timedelta(days=back))
        for one in found.materials:
            assert one.worth.fifo is not None
            assert one.worth.average is not None
            assert one.on_hand.units > 0 or one.unknown
    assert found.total == 0
