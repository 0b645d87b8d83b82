"""What a delivery comes to: columns that come to what stands under them."""

from __future__ import annotations

from decimal import Decimal

from rushlight.web.landing import landed
from rushlight.workshop.materials import Amount, Measure
from rushlight.workshop.stores.receiving import LandedLine


def line(goods: str | None, freight: str) -> LandedLine:
    """Return a line of a delivery."""
    known = None if goods is None else Decimal(goods)
    return LandedLine(
        place="lines.0",
        material="soy",
        name="Soy",
        amount=Amount(1_000_000, Measure.MASS),
        goods=known,
        freight=Decimal(freight),
        duty=Decimal(0),
        landed=None if known is None else known + Decimal(freight),
        unit_cost=None,
    )


def test_the_parts_come_to_the_whole_as_shown() -> None:
    """Ten of freight on three equal lines: 3.33, 3.33 and 3.34, and ten under them."""
    third = str(Decimal(10) / 3)
    found = landed([line("20", third)] * 3, Decimal("0.01"))
    assert sum(row.freight for row in found.lines) == found.freight == Decimal(10)
    assert sum(row.landed or 0 for row in found.lines) == found.landed == Decimal(70)
    assert sorted(row.freight for row in found.lines) == [Decimal("3.33")] * 2 + [Decimal("3.34")]
    assert found.priced


def test_a_line_without_a_price_is_not_taken_for_nothing() -> None:
    """It stays not known, and the sum says that it is not all."""
    found = landed([line("20", "1"), line(None, "1")], Decimal("0.01"))
    assert found.lines[1].goods is None
    assert found.lines[1].landed is None
    assert found.landed == Decimal(21)
    assert not found.priced
