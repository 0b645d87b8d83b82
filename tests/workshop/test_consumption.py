"""What a pour used, down to the drop."""

from __future__ import annotations

import pytest

from rushlight.candle.sheet import Role
from rushlight.quantity.si import Kilogram
from rushlight.workshop import Workshop, candles, materials, pours, settings
from rushlight.workshop.material_views import Measure
from tests.support.bench import OAR, equip, left, receive, stock


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a small workshop with 50 g of each of two dyes, and a scale that shows whole grams.

    To a kilogram of wax the candle takes six drops of 0.03 g of the one, and 0.1 g of the other,
    a powder.
    """
    equip(empty)
    settings.change(empty, {"readability": "1 g"})
    stock(empty)
    receive(empty, "test-soy", "10 kg", "50.00")
    for name, kind in (("Fern", "liquid dye"), ("Ash", "powder dye")):
        facts = {"drop_mass": "0.03 g"} if name == "Fern" else {}
        materials.save(empty, None, {"role": "dye", "name": name, "kind": kind, "facts": facts})
    candles.save(
        empty,
        "oar",
        {
            **OAR,
            "dyes": [
                {"use": "Fern", "drops": "6", "per": "1 kg"},
                {"use": "Ash", "amount": "0.1 g", "per": "1 kg"},
            ],
        },
    )
    return empty


def _poured(shop: Workshop, actual: dict[str, str]) -> None:
    """Plan, start, tick what is said by name, and finish ten jars."""
    number = pours.plan(shop, "oar", {"jars": "10"}, shop.today()).id
    pours.start(shop, number)
    for line in pours.get(shop, number).pots[0].lines:
        if line.name in actual:
            pours.tick(shop, number, 1, line.key, actual[line.name])
    pours.finish(shop, number, {})


def test_drops_and_traces_leave_the_stores_though_the_scale_shows_nothing(shop: Workshop) -> None:
    """Ten jars of 200 g take twelve drops and 0.2 g; both stand as 0 g on the sheet."""
    fern, ash = (receive(shop, slug, "50 g", "5.00") for slug in ("fern", "ash"))
    sheets = candles.sheet(shop, candles.get(shop, "oar").document, {"jars": "10"})
    shown = [line.total for line in sheets.batch.lines if line.role is Role.DYE]
    assert shown == [Kilogram(0), Kilogram(0)]
    needs = {need.name: need.needed for need in sheets.supplies}
    assert needs["Fern"].measure is Measure.MASS
    assert needs["Fern"].units == pytest.approx(360, abs=1)  # 2 kg x 6 x 30 mg
    assert needs["Ash"].units == pytest.approx(200, abs=1)  # 2 kg x 100 mg
    _poured(shop, {})
    assert left(shop, fern)[0] == 50_000 - needs["Fern"].units
    assert left(shop, ash)[0] == 50_000 - needs["Ash"].units
    assert left(shop, fern)[1] < 50_000, "it took its cost along"
    _poured(shop, {"Fern": "0 g", "Ash": "0 g"})
    assert left(shop, fern)[0] == 50_000 - 2 * needs["Fern"].units


def test_what_a_finer_scale_showed_is_what_leaves(shop: Workshop) -> None:
    """Not that and the planned amount as well."""
    fern, ash = (receive(shop, slug, "50 g", "5.00") for slug in ("fern", "ash"))
    _poured(shop, {"Fern": "0.4 g", "Ash": "0.25 g"})
    assert (left(shop, fern)[0], left(shop, ash)[0]) == (49_600, 49_750)
