from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from rushlight.errors import NotFound
from rushlight.workshop import Workshop, materials, undo
from rushlight.workshop.stores import lots, receiving
from rushlight.workshop.stores.price_history import price_history


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with a wax and a vessel."""
    for role, name in (("wax", "Test soy"), ("vessel", "Test tumbler")):
        materials.save(empty, None, {"role": role, "name": name})
    return empty


def _asked(shop: Workshop, supplier: str, pack: str, price: str, since: str) -> None:
    typed = {"supplier": supplier, "pack": pack, "price": price, "since": since}
    materials.save_price(shop, "test-soy", typed)


def test_pack_prices_stand_by_supplier_with_their_days(shop: Workshop) -> None:
    """For a kilogram, oldest first; one that was dropped is history too."""
    _asked(shop, "Nobody", "10 kg", "48.00", "2026-02-01")
    _asked(shop, "Nowhere", "1 kg", "6.00", "2026-01-01")
    _asked(shop, "Nobody", "10 kg", "52.00", "2026-04-01")
    dropped = materials.get(shop, "test-soy").prices[0].id
    materials.drop_price(shop, "test-soy", dropped)
    found = price_history(shop, "test-soy")
    assert [(one.supplier, one.since, one.unit, one.pack) for one in found.asked] == [
        ("Nowhere", date(2026, 1, 1), Decimal(6), "1 kg"),
        ("Nobody", date(2026, 2, 1), Decimal("4.8"), "10 kg"),
        ("Nobody", date(2026, 4, 1), Decimal("5.2"), "10 kg"),
    ]
    assert sum(one.dropped for one in found.asked) == 1
    assert found.landed == ()


def _delivery(shop: Workshop, day: str, price: str, freight: str = "0") -> int:
    lines = {
        "lines.0.material": "test-soy",
        "lines.0.packs": "2",
        "lines.0.pack": "10 kg",
        "lines.0.price": price,
        "lines.1.material": "test-tumbler",
        "lines.1.packs": "1",
        "lines.1.pack": "24",
        "lines.1.price": price and "24.00",
    }
    head = {"supplier": "Nobody", "day": day, "freight": freight, "freight_by": "value"}
    return receiving.receive(shop, {**head, **lines}).line.id


def test_a_lot_stands_with_its_freight_in_it(shop: Workshop) -> None:
    """By hand: 96.00 of 120.00 bears 8.00 of 10.00 freight: 104.00 for 20 kg, 5.20 a kilogram.

    A tumbler: 24.00 and 2.00 of freight, for 24: 1.0833 each.
    """
    _delivery(shop, "2026-05-01", "48.00", "10.00")
    one = price_history(shop, "test-soy").landed[0]
    assert (one.supplier, one.received_on, one.unit) == (
        "Nobody",
        date(2026, 5, 1),
        Decimal("5.2"),
    )
    assert one.came.units == 20_000_000
    unit = price_history(shop, "test-tumbler").landed[0].unit
    assert unit is not None
    assert unit.quantize(Decimal("0.0001")) == Decimal("1.0833")


def test_a_delivery_undone_never_came_and_one_done_again_did(shop: Workshop) -> None:
    """It is in the history or not, however often."""
    _delivery(shop, "2026-05-01", "48.00")
    for stands in (False, True, False):
        done = undo.latest(shop) if not stands else undo.listing(shop)[0]
        assert done is not None
        undo.undo(shop, done.id)
        assert len(price_history(shop, "test-soy").landed) == stands


def test_a_cost_entered_later_is_no_landed_cost(shop: Workshop) -> None:
    """It is of what was left then; the lot is listed, its landed cost is not known."""
    _delivery(shop, "2026-05-01", "")
    code = price_history(shop, "test-soy").landed[0].lot
    lots.scrap(shop, code, {"amount": "5 kg"})
    lots.worth(shop, code, {"cost": "96.00"})
    assert price_history(shop, "test-soy").landed[0].unit is None


def test_what_a_count_found_is_no_delivery(shop: Workshop) -> None:
    """Only what was received is listed."""
    materials.count(shop, "test-soy", {"amount": "3 kg"})
    assert price_history(shop, "test-soy").landed == ()


def test_a_material_that_is_not_there_is_said_so(shop: Workshop) -> None:
    """By name."""
    with pytest.raises(NotFound, match="tallow"):
        price_history(shop, "tallow")
