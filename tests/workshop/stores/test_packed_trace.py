"""From a lot of packaging to the orders packed in it, and from them back."""

from __future__ import annotations

import csv
import io

import pytest

from rushlight.workshop import Workshop, settings, undo
from rushlight.workshop import materials as shelf
from rushlight.workshop.exchange.csv_writer import write_csv
from rushlight.workshop.stores import jars, orders, trace
from rushlight.workshop.stores.recall_rows import recall_rows
from tests.support.bench import receive
from tests.support.jars import furnish, jarred


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with twenty jars of two lots, each packed in a carton."""
    furnish(empty)
    jarred(empty, "slipway", 4, cost=40_000)
    jarred(empty, "slipway", 16, cost=160_000)
    shelf.save(empty, None, {"role": "packaging", "name": "Carton"})
    settings.change(empty, {"packaging.0.use": "Carton", "packaging.0.pieces": "1"})
    return empty


@pytest.fixture
def cartons(shop: Workshop) -> tuple[str, str, str]:
    """Return three lots of six cartons; the first and the last are of one batch."""
    kinds = (("C-7", "2026-06-01"), ("C-8", "2026-07-01"), ("C-7", "2026-08-01"))
    first, second, third = (
        receive(shop, "carton", "6", "1.00", supplier_lot=code, expires=day) for code, day in kinds
    )
    return first, second, third


def _sell(shop: Workshop, count: int, buyer: str = "", contact: str = "") -> str:
    typed = {"candle": "slipway", "jars": str(count), "channel": "saturday-market", "price": "9"}
    return orders.sell(shop, {**typed, "buyer": buyer, "contact": contact}).line.code


def test_a_recall_of_cartons_reaches_who_has_them(
    shop: Workshop, cartons: tuple[str, str, str]
) -> None:
    """Nell has five of the batch and Abel one; Ben's seven were of another, all but the last."""
    nell = _sell(shop, 5, "Nell", "07700 900123")
    abel = _sell(shop, 1, "Abel")
    ben = _sell(shop, 7, "Ben")
    one, other = (lot.code for lot in jars.listing(shop, empty=True))
    found = trace.recall(shop, cartons[2])
    assert [(p.buyer, p.contact, p.order, p.lot, p.pieces.units, p.jars) for p in found.packed] == [
        ("Abel", "", abel, cartons[0], 1, 1),
        ("Ben", "", ben, cartons[2], 1, 7),
        ("Nell", "07700 900123", nell, cartons[0], 5, 5),
    ]
    assert {p.jar_lots for p in found.packed if p.order == nell} == {(one, other)}
    assert [(lot.code, lot.used.units, lot.left.units) for lot in found.lots] == [
        (cartons[0], 6, 0),
        (cartons[2], 1, 5),
    ]
    assert (found.sum.made, found.jars, found.sales, found.pours) == (0, (), (), ())


def test_the_recall_of_cartons_as_a_table(shop: Workshop, cartons: tuple[str, str, str]) -> None:
    """A line for each line of an order, though it was packed in two lots of the batch."""
    undo_second = receive(shop, "carton", "1", "1.00", supplier_lot="C-7", expires="2026-06-02")
    order = _sell(shop, 7, "Nell", "07700 900123")
    header, rows = recall_rows(trace.recall(shop, cartons[0]))
    (row,) = csv.DictReader(io.StringIO(write_csv(header, rows).decode("utf-8-sig")))
    lots = " ".join(lot.code for lot in jars.listing(shop, empty=True))
    assert row == {
        "Where": "packed in it",
        "Buyer": "Nell",
        "Contact": "07700 900123",
        "Order": order,
        "Channel": "Saturday market",
        "Placed": "2026-05-12",
        "Sent": "2026-05-12",
        "Jar lot": lots,
        "Candle": "Slipway",
        "Revision": "",
        "Pour": "",
        "Poured": "",
        "Of lots": f"{cartons[0]} {undo_second}",
        "Jars": "7",
    }


def test_the_thread_of_a_lot_of_cartons(shop: Workshop, cartons: tuple[str, str, str]) -> None:
    """From their supplier past the pours to orders and buyers."""
    nell, nobody = _sell(shop, 5, "Nell"), _sell(shop, 3)
    found = trace.follow(shop, cartons[0])
    assert [(row.source.title, row.target.title, row.label) for row in found.thread.rows
            if row.source and row.target] == [
        ("Nobody", cartons[0], "6"),
        (cartons[0], nell, "5"),
        (cartons[0], nobody, "1"),
        (nell, "Nell", "5 jars"),
        (nobody, "No buyer is named", "3 jars"),
    ]  # fmt: skip
    assert "Who has 3 of the jars packed in it is not known." in found.cautions


@pytest.mark.parametrize("start", ["order", "jars", "pour"])
def test_an_order_is_followed_back_to_its_cartons(
    shop: Workshop, cartons: tuple[str, str, str], start: str
) -> None:
    """From the order, from jars that went to it, and from the pour that made them."""
    first = jars.listing(shop)[0]
    order = _sell(shop, 2, "Nell")
    code = {"order": order, "jars": first.code, "pour": str(first.pour)}[start]
    found = trace.follow(shop, code)
    assert [(p.order, p.lot, p.pieces.units) for p in found.packed] == [(order, cartons[0], 2)]
    assert cartons[0] in {lot.code for lot in found.lots}
    rows = {(r.source.code, r.target.code): r.label for r in found.thread.rows
            if r.source and r.target}  # fmt: skip
    assert rows[cartons[0], order] == "2"


def test_a_recall_of_jars_is_of_jars(shop: Workshop, cartons: tuple[str, str, str]) -> None:
    """What they were packed in is no part of them."""
    assert cartons
    code = jars.listing(shop)[0].code
    _sell(shop, 2, "Nell")
    found = trace.recall(shop, code)
    assert (found.packed, found.lots) == ((), ())
    assert found.sum.sold == 2


def test_a_sending_undone_reaches_nobody(shop: Workshop, cartons: tuple[str, str, str]) -> None:
    """Nothing was packed then, in any table."""
    order = _sell(shop, 2, "Nell")
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)
    assert trace.recall(shop, cartons[0]).packed == ()
    assert trace.follow(shop, cartons[0]).packed == ()
    assert trace.follow(shop, order).packed == ()
