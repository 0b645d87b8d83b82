"""What one jar takes, under the names a price can use."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from rushlight.candle.document import read as read_candle
from rushlight.candle.kinds import built_in
from rushlight.candle.sheet import JarSheet
from rushlight.candle.weigh import weigh
from rushlight.cost.amounts import Amount, amounts
from rushlight.cost.document import read

CANDLE: dict[str, Any] = {
    "rushlight": 1,
    "name": "Slipway",
    "vessel": {"use": "straight tumbler"},
    "fill": {"headspace": "12 mm"},
    "wax": {"use": "soy container"},
    "fragrance": {
        "load": "8 %",
        "basis": "of wax",
        "oils": [{"use": "fragrance oil", "parts": "2"}, {"use": "essential oil", "parts": "1"}],
    },
    "wick": {"use": "cotton flat", "count": "2"},
}


@pytest.fixture
def jar() -> JarSheet:
    """Return the sheet of a candle with two oils and two wicks."""
    return weigh(read_candle(CANDLE, built_in()))


def test_a_jar_takes_what_its_sheet_says(jar: JarSheet) -> None:
    """Wax by mass, the vessel once, wicks by their number, exactly as the sheet has them."""
    takes = amounts(jar)
    assert takes["wax"] == Amount(Decimal(repr(float(jar.wax_mass))), "kg")
    assert takes["vessel"] == Amount(Decimal(1), "piece")
    assert takes["wick"] == Amount(Decimal(2), "piece")
    assert takes[jar.candle.wax.name] is takes["wax"]


def test_a_role_held_by_two_materials_is_no_name(jar: JarSheet) -> None:
    """Two oils are priced each by its own name: "fragrance oil" means the one so named."""
    takes = amounts(jar)
    masses = {line.name: line.mass for line in jar.lines}
    oil = Decimal(repr(float(masses["fragrance oil"])))
    assert takes["fragrance oil"].value == oil
    assert takes["essential oil"].value == pytest.approx(oil / 2)


def test_materials_without_a_price_are_listed_once(jar: JarSheet) -> None:
    """A price for the wax alone leaves vessel, wick and oils, each by its name."""
    table = {"materials": [{"of": "wax", "pack": "10 kg", "price": "62"}]}
    pricing = read(table, amounts=amounts(jar))
    assert sorted(pricing.unpriced) == sorted(
        ["straight tumbler", "cotton flat", "fragrance oil", "essential oil"]
    )
