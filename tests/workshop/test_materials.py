from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.workshop import Workshop, candles, materials, undo
from rushlight.workshop.materials import Amount, Measure

SOY = {"role": "wax", "name": "Test soy", "kind": "soy container"}


def test_a_material_keeps_its_facts_with_where_they_are_from(empty: Workshop) -> None:
    """Value as typed, origin and source; a plain text has neither."""
    sheet = {"value": "0.87 g/ml", "origin": "maker's sheet", "source": "sheet of May"}
    typed = {**SOY, "facts": {"density_hot": sheet, "pour": "150-160 F"}}
    facts = {fact.key: fact for fact in materials.save(empty, None, typed).facts}
    assert (facts["density_hot"].value, facts["density_hot"].origin) == (
        "0.87 g/ml",
        "maker's sheet",
    )
    assert facts["density_hot"].source == "sheet of May"
    assert (facts["pour"].value, facts["pour"].origin) == ("150-160 F", "")


def test_every_problem_of_a_material_is_said_at_once(empty: Workshop) -> None:
    """Facts are tried as a candle would read them: wrong unit, unknown name, unknown origin."""
    facts = {
        "density_hot": "8 oz",
        "colour": "cream",
        "pour": {"value": "160 F", "origin": "my aunt"},
    }
    with pytest.raises(BadInput) as caught:
        materials.save(empty, None, {"role": "wax", "name": " ", "facts": facts, "low_at": "-1 kg"})
    assert {problem.place for problem in caught.value.problems} == {
        "name",
        "low_at",
        "facts.density_hot",
        "facts.colour",
        "facts.pour",
    }
    assert materials.listing(empty) == ()


def test_facts_not_named_stay_and_empty_ones_go(empty: Workshop) -> None:
    """A form that shows some facts loses none of the others."""
    facts = {"density_hot": "0.87 g/ml", "pour": "150-160 F"}
    slug = materials.save(empty, None, {**SOY, "facts": facts}).slug
    view = materials.save(empty, slug, {"note": "dry", "facts": {"pour": ""}})
    assert ([fact.key for fact in view.facts], view.note, view.name) == (
        ["density_hot"],
        "dry",
        "Test soy",
    )


def test_two_of_a_role_cannot_be_called_alike(empty: Workshop) -> None:
    """A candle would not know which is meant; another role may use the name."""
    materials.save(empty, None, SOY)
    with pytest.raises(BadInput, match="already"):
        materials.save(empty, None, {**SOY, "name": "TEST  soy"})
    materials.save(empty, None, {"role": "fragrance", "name": "Test soy"})


def test_the_role_and_the_measure_never_change(empty: Workshop) -> None:
    """The ledger is in milligrams or in pieces, for good."""
    slug = materials.save(empty, None, SOY).slug
    with pytest.raises(BadInput) as caught:
        materials.save(empty, slug, {"role": "dye", "measure": "pieces"})
    assert {problem.place for problem in caught.value.problems} >= {"role", "measure"}


def test_stock_is_the_sum_of_what_came_and_went(empty: Workshop) -> None:
    """Received 1 kg and 1 lb, counted 1.4 kg, scrapped 400 g: 1 kg is left, in four entries.

    1 lb is 453.59237 g (exact, NIST Handbook 44 App. C), whole milligrams are kept.
    """
    slug = materials.save(empty, None, SOY).slug
    materials.receive(empty, slug, {"amount": "1 kg"})
    view = materials.receive(empty, slug, {"amount": "1 lb", "note": "a gift"})
    assert view.on_hand == Amount(1_453_592, Measure.MASS)
    materials.count(empty, slug, {"amount": "1400 g"})
    view = materials.scrap(empty, slug, {"amount": "400 g"})
    assert view.on_hand.units == 1_000_000
    assert [move.reason for move in view.movements] == [
        "scrapped",
        "counted",
        "received",
        "received",
    ]
    assert sum(move.amount.units for move in view.movements) == view.on_hand.units


def test_more_than_there_is_cannot_be_thrown_away(empty: Workshop) -> None:
    """The message asks for a count; nothing is written."""
    slug = materials.save(empty, None, SOY).slug
    with pytest.raises(Refused, match="Count it"):
        materials.scrap(empty, slug, {"amount": "1 g"})
    assert materials.get(empty, slug).movements == ()


@pytest.mark.parametrize("amount", ["", "five", "-2 kg", "8 fl oz", "0 g", "1e999 kg", "9999 t"])
def test_an_amount_that_cannot_be_is_explained(empty: Workshop, amount: str) -> None:
    """The problem is at the amount."""
    slug = materials.save(empty, None, SOY).slug
    with pytest.raises(BadInput) as caught:
        materials.receive(empty, slug, {"amount": amount})
    assert {problem.place for problem in caught.value.problems} == {"amount"}


def test_a_receipt_can_be_undone_and_done_again(empty: Workshop) -> None:
    """By entries of their own: the first one stays in the list."""
    slug = materials.save(empty, None, SOY).slug
    materials.receive(empty, slug, {"amount": "5 kg"})
    done = undo.latest(empty)
    assert done is not None
    undone = undo.undo(empty, done.id)
    assert materials.get(empty, slug).on_hand.units == 0
    undo.undo(empty, undone.id)
    assert materials.get(empty, slug).on_hand.units == 5_000_000
    assert len(materials.get(empty, slug).movements) == 3


def test_the_cheapest_price_in_force_is_shown(empty: Workshop) -> None:
    """The newest of each supplier and pack counts; one that begins tomorrow does not yet.

    Worked by hand: 52.00 for 10 kg is 5.20/kg; 24.50 for 5 kg is 4.90/kg and replaced by
    27.00, 5.40/kg; 1.00 for 10 kg begins tomorrow: 5.20 is the best today.
    """
    slug = materials.save(empty, None, SOY).slug
    for supplier, pack, price, since in (
        ("One", "10 kg", "52.00", "2026-01-01"),
        ("Two", "5 kg", "24.50", "2026-01-01"),
        ("Two", "5 kg", "27.00", "2026-05-01"),
        ("Two", "10 kg", "1.00", "2026-05-13"),
    ):
        typed = {"supplier": supplier, "pack": pack, "price": price, "since": since}
        view = materials.save_price(empty, slug, typed)
    assert materials.listing(empty)[0].unit_price == Decimal("5.2")
    assert view.prices[0].since == date(2026, 1, 1)
    assert materials.suppliers(empty) == ("One", "Two")
    view = materials.drop_price(empty, slug, view.prices[0].id)
    assert materials.listing(empty)[0].unit_price == Decimal("5.4")
    with pytest.raises(NotFound):
        materials.drop_price(empty, slug, 999)


def test_a_price_with_everything_wrong_says_so_at_once(empty: Workshop) -> None:
    """Four fields, four problems."""
    slug = materials.save(empty, None, SOY).slug
    typed = {"supplier": "", "pack": "0 g", "price": "$4", "from_packs": "0", "since": "May"}
    with pytest.raises(BadInput) as caught:
        materials.save_price(empty, slug, typed)
    places = {problem.place for problem in caught.value.problems}
    assert places == {"supplier", "pack", "price", "from_packs", "since"}


def test_the_shelf_puts_her_own_before_the_built_in(shop: Workshop) -> None:
    """Names and facts: her soy is first, the kinds follow, and her facts name their kind."""
    shelf = materials.shelf(shop)
    names = list(shelf.names("wax"))
    assert names.index("Millpond soy") < names.index("soy container")
    facts = shelf.facts("wax", "millpond soy")
    assert facts is not None
    assert facts["kind"] == "soy container"
    assert facts["density_hot"]["origin"] == "maker's sheet"
    assert shelf.facts("wax", "nothing of the sort") is None


def test_a_material_that_planned_pours_need_is_not_retired(shop: Workshop) -> None:
    """One that nobody needs goes, and comes back by an undo."""
    with pytest.raises(Refused, match="Planned pours"):
        materials.retire(shop, "millpond-soy")
    materials.retire(shop, "lake-mint")
    with pytest.raises(NotFound):
        materials.get(shop, "lake-mint")
    with pytest.raises(BadInput, match="Lake mint"):
        candles.sheet(shop, candles.get(shop, "first-swim").document)
    done = undo.latest(shop, "material:lake-mint")
    assert done is not None
    undo.undo(shop, done.id)
    assert materials.get(shop, "lake-mint").name == "Lake mint"


def test_names_outside_ascii_are_found_whatever_their_case(empty: Workshop) -> None:
    """ÉTÉ and été are one name, as written or in capitals."""
    materials.save(empty, None, {**SOY, "name": "Cire d’Été"})
    shelf = materials.shelf(empty)
    assert shelf.facts("wax", "Cire d’Été") is not None
    assert shelf.facts("wax", "cire d’été") is not None


def test_a_list_has_one_order_wherever_it_is_kept(empty: Workshop) -> None:
    """By code points of the plain name: a server set up for English would sort otherwise."""
    for name in ("Zinc", "a-b", "ab", "Äther", "a c", "apple", "Ab 2"):
        materials.save(empty, None, {"role": "wax", "name": name, "kind": "soy container"})
    names = [line.name for line in materials.listing(empty)]
    assert names == ["a c", "a-b", "ab", "Ab 2", "apple", "Zinc", "Äther"]
