from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from rushlight.errors import Refused
from rushlight.workshop import Workshop, materials, pours, settings
from rushlight.workshop.stores import jars, working
from rushlight.workshop.stores.pour_truth import pour_truth
from rushlight.workshop.stores.truth_views import PourTruth
from tests.support.bench import equip, receive, running, stock
from tests.support.figures import figures


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a small workshop with jars, wicks and a kilogram of wax at 5.00."""
    equip(empty)
    stock(empty)
    receive(empty, "test-soy", "1 kg", "5.00")
    return empty


def _dearer(shop: Workshop) -> PourTruth:
    """Plan ten jars at 5.00 a kilogram; pour them a day later, with wax at 6.00 beside.

    2.1 kg are weighed and not 2 kg, pouring takes 45 min and not 30, and one jar is rejected.
    """
    pour = pours.plan(shop, "oar", {"jars": "10"}, shop.today()).id
    shop.clock.pass_by(days=1)  # type: ignore[attr-defined]  # the tests' own clock
    receive(shop, "test-soy", "2 kg", "12.00")
    pours.start(shop, pour)
    time = working.start(shop, pour, "Pour").id
    shop.clock.pass_by(minutes=45)  # type: ignore[attr-defined]
    working.stop(shop, pour, time)
    pours.tick(shop, pour, 1, pours.get(shop, pour).pots[0].lines[0].key, "2.1 kg")
    pours.finish(shop, pour, {"good": "9", "rejected.sinkhole": "1"})
    return pour_truth(shop, pour)


def test_the_difference_in_material_is_split_into_price_and_usage(shop: Workshop) -> None:
    """By hand: planned 2 kg at 5.00, 10.00; used 1 kg at 5.00 and 1.1 kg at 6.00, 11.60.

    2.1 kg at the planned price are 10.50: 1.10 for the price, 0.50 for 100 g more. The
    formulas: see rushlight.cost.variance.
    """
    wax = _dearer(shop).materials[0]
    assert figures(wax.name, wax.planned.units, wax.actual.units) == (
        "Test soy",
        2_000_000,
        2_100_000,
    )
    assert figures(wax.planned_unit, wax.planned_cost) == (5, 10)
    assert figures(wax.actual_cost, wax.price, wax.usage) == (
        Decimal("11.6"),
        Decimal("1.1"),
        Decimal("0.5"),
    )
    assert [(lot.amount.units, lot.cost) for lot in wax.lots] == [
        (1_000_000, Decimal(5)),
        (1_100_000, Decimal("6.6")),
    ]


def test_a_jar_planned_and_actual_follow_from_every_part(shop: Workshop) -> None:
    """By hand, planned: 10 + 15 + 1 of materials, 12 + 6 of labour, 20 overhead: 64 for ten.

    Actual: 11.60 + 15 + 1, 12 + 9, nine jars' overhead 18: 66.60 for nine, 7.40 each.
    """
    found = _dearer(shop)
    assert figures(found.material_cost.planned, found.material_cost.actual) == (26, Decimal("27.6"))
    assert figures(found.labour_cost.planned, found.labour_cost.actual) == (18, 21)
    assert figures(found.overhead.planned, found.overhead.actual) == (20, 18)
    assert figures(found.total.planned, found.total.actual) == (64, Decimal("66.6"))
    assert figures(found.a_jar.planned, found.a_jar.actual) == (Decimal("6.4"), Decimal("7.4"))
    assert found.a_jar.more == 1
    assert figures(found.price, found.usage, found.unsplit) == (Decimal("1.1"), Decimal("0.5"), ())
    assert figures(found.jars, found.good, found.rejected) == (10, 9, (("Sinkhole", 1),))
    assert found.total.actual == jars.get(shop, found.lot).line.worth


def test_labour_is_planned_beside_what_was_timed(shop: Workshop) -> None:
    """Setting up was timed by nobody: it counts as planned, and says so."""
    setup, pouring = _dearer(shop).labour
    assert figures(setup.step, setup.planned, setup.timed) == ("Set up", timedelta(hours=1), None)
    assert setup.planned_cost == setup.actual_cost == 12
    assert figures(pouring.planned, pouring.timed) == (timedelta(minutes=30), timedelta(minutes=45))
    assert figures(pouring.planned_cost, pouring.actual_cost) == (6, 9)


def test_what_changes_after_the_plan_does_not_change_the_plan(shop: Workshop) -> None:
    """Neither a price noted or dropped later, nor the pay that is asked for the next pour."""
    before = _dearer(shop)
    for price in materials.get(shop, "test-soy").prices:
        materials.drop_price(shop, "test-soy", price.id)
    dear = {"supplier": "Nowhere", "pack": "1 kg", "price": "9.00"}
    materials.save_price(shop, "test-soy", dear)
    settings.change(shop, {"labour_rate": "40"})
    after = pour_truth(shop, before.pour)
    assert after.materials == before.materials
    assert after.labour == before.labour
    assert after.total.actual == before.total.actual


def test_what_was_returned_was_not_used_and_what_was_thrown_away_is_a_loss(shop: Workshop) -> None:
    """By hand: of 2 kg taken from 3 kg at 5.00, 300 g come back; of the next, 200 g are thrown."""
    receive(shop, "test-soy", "5 kg", "25.00")
    back = running(shop)
    pours.finish(shop, back, {"good": "9", "left.test-soy.amount": "300 g"})
    found = pour_truth(shop, back)
    assert figures(found.materials[0].actual.units, found.materials[0].actual_cost) == (
        1_700_000,
        Decimal("8.5"),
    )
    assert figures(found.usage, found.thrown) == (Decimal("-1.5"), 0)
    thrown = running(shop)
    fate = {"left.test-soy.amount": "200 g", "left.test-soy.fate": "scrapped"}
    pours.finish(shop, thrown, {"good": "9", **fate})
    found = pour_truth(shop, thrown)
    assert figures(found.materials[0].actual_cost, found.thrown) == (9, 1)


def test_a_lot_of_unknown_cost_leaves_the_whole_unknown(shop: Workshop) -> None:
    """What is known is told all the same; nothing is shown as nought."""
    receive(shop, "test-soy", "5 kg", "")
    pour = running(shop)
    pours.finish(shop, pour, {})
    found = pour_truth(shop, pour)
    wax = found.materials[0]
    assert [lot.cost for lot in wax.lots] == [Decimal(5), None]
    assert figures(wax.actual_cost, wax.price, wax.usage) == (None, None, 0)
    assert figures(found.total.actual, found.a_jar.actual, found.a_jar.more) == (None, None, None)
    assert found.unsplit == ("Test soy",)
    assert found.labour_cost.actual == 18


def test_without_a_good_jar_all_of_it_is_lost(shop: Workshop) -> None:
    """It cost what it cost, and no jar bears it."""
    receive(shop, "test-soy", "5 kg", "25.00")
    pour = running(shop)
    pours.finish(shop, pour, {"good": "0", "rejected.soot": "10"})
    found = pour_truth(shop, pour)
    assert figures(found.lot, found.good, found.overhead.actual) == ("", 0, 0)
    # wax 10.00, tumblers 15.00, wicks 1.00, labour 18.00
    assert figures(found.total.actual, found.a_jar.actual) == (44, None)


def test_what_the_workshop_does_not_keep_is_named(empty: Workshop) -> None:
    """A built-in kind has no stock and no price: it is in neither cost."""
    from rushlight.workshop import candles

    document = {
        "name": "Kind",
        "vessel": {"use": "straight tumbler"},
        "fill": {"net": "200 g"},
        "wax": {"use": "soy container"},
        "wick": {"use": "cotton flat"},
    }
    slug = candles.save(empty, None, document).slug
    pour = pours.plan(empty, slug, {"jars": "2"}, empty.today()).id
    pours.start(empty, pour)
    pours.finish(empty, pour, {})
    found = pour_truth(empty, pour)
    assert found.materials == ()
    assert set(found.unkept) == {"straight tumbler", "soy container", "cotton flat"}


def test_a_pour_that_is_not_finished_has_no_truth_yet(shop: Workshop) -> None:
    """It is said plainly."""
    receive(shop, "test-soy", "5 kg", "25.00")
    with pytest.raises(Refused, match="finished"):
        pour_truth(shop, running(shop))
