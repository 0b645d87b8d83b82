from __future__ import annotations

from typing import Any

import pytest

from rushlight.errors import BadInput, NotFound
from rushlight.workshop import Workshop, candles, materials, pours, settings, undo

PLAIN: dict[str, Any] = {
    "name": "Oar",
    "vessel": {"use": "straight tumbler"},
    "fill": {"headspace": "12 mm"},
    "wax": {"use": "soy container"},
    "fragrance": {"load": "8 %", "basis": "of wax", "oils": [{"use": "fragrance oil"}]},
    "wick": {"use": "cotton flat"},
}


def test_a_new_candle_begins_at_revision_one(empty: Workshop) -> None:
    """What she typed comes back as typed, without the fields left empty."""
    view = candles.save(empty, None, {**PLAIN, "note": "  ", "dyes": [{"use": ""}]})
    assert (view.slug, view.revision, view.latest, view.frozen) == ("oar", 1, 1, False)
    assert view.document == PLAIN


def test_the_same_document_makes_no_revision_and_another_does(empty: Workshop) -> None:
    """Whatever the order of its fields; the earlier revision stays as it was."""
    candles.save(empty, None, PLAIN)
    assert candles.save(empty, "oar", dict(reversed(PLAIN.items()))).revision == 1
    assert candles.save(empty, "oar", {**PLAIN, "name": "Long Oar"}).revision == 2
    assert candles.get(empty, "oar", 1).name == "Oar"
    assert candles.get(empty, "oar").name == "Long Oar"
    assert [line.changed for line in candles.history(empty, "oar")] == [("name",), ()]


def test_an_earlier_revision_is_put_back_as_a_new_one(empty: Workshop) -> None:
    """Nothing is rewritten: three revisions, the third like the first."""
    candles.save(empty, None, PLAIN)
    candles.save(empty, "oar", {**PLAIN, "fill": {"headspace": "20 mm"}})
    view = candles.put_back(empty, "oar", 1)
    assert (view.revision, view.document) == (3, PLAIN)
    done = undo.latest(empty, "candle:oar")
    assert done is not None
    undo.undo(empty, done.id)
    assert candles.get(empty, "oar").document["fill"] == {"headspace": "20 mm"}
    assert len(candles.history(empty, "oar")) == 4


def test_what_does_not_read_is_not_kept(empty: Workshop) -> None:
    """Name, fill, wax and batch are wrong: all said at once, each in place."""
    wrong = {
        **PLAIN,
        "name": "",
        "fill": {"headspace": "4 m"},
        "wax": {"use": "no such wax"},
        "batch": {"jars": "none"},
    }
    with pytest.raises(BadInput) as caught:
        candles.save(empty, None, wrong)
    places = {problem.place for problem in caught.value.problems}
    assert {"name", "fill.headspace", "wax.use", "batch.jars"} <= places
    assert candles.listing(empty) == ()


def test_two_candles_of_one_name_get_addresses_of_their_own(empty: Workshop) -> None:
    """Also a name with no Latin letter gets one."""
    first = candles.save(empty, None, PLAIN).slug
    second = candles.save(empty, None, PLAIN).slug
    third = candles.save(empty, None, {**PLAIN, "name": "灯"}).slug
    assert (first, second, third) == ("oar", "oar-2", "unnamed")


def test_a_form_sent_twice_makes_one_candle(empty: Workshop) -> None:
    """The second time returns the first result."""
    first = candles.save(empty, None, PLAIN, key="k")
    assert candles.save(empty, None, PLAIN, key="k") == first
    assert len(candles.listing(empty)) == 1


def test_what_is_not_there_is_not_found(empty: Workshop) -> None:
    """Candle and revision alike."""
    candles.save(empty, None, PLAIN)
    with pytest.raises(NotFound):
        candles.get(empty, "ear")
    with pytest.raises(NotFound, match="revision 7"):
        candles.get(empty, "oar", 7)


def test_a_shelved_candle_leaves_the_list_and_comes_back(empty: Workshop) -> None:
    """By an undo; its revisions are all there."""
    candles.save(empty, None, PLAIN)
    candles.shelve(empty, "oar")
    assert candles.listing(empty) == ()
    done = undo.latest(empty, "candle:oar")
    assert done is not None
    undo.undo(empty, done.id)
    assert candles.get(empty, "oar").document == PLAIN


def test_a_blank_needs_only_a_name(empty: Workshop) -> None:
    """It is a whole candle in the units of the workshop."""
    settings.change(empty, {"length": "in"})
    document = candles.blank(empty)
    assert document["wick"]["trim"] == "1/4 in"
    assert candles.save(empty, None, {**document, "name": "First"}).revision == 1


def test_the_sheet_takes_the_batch_from_form_then_candle_then_settings(empty: Workshop) -> None:
    """Jars as asked now, spill as the candle says, residue as the settings say."""
    settings.change(empty, {"residue": "33 g", "spill": "2 %"})
    document = {**PLAIN, "batch": {"jars": "6", "spill": "3 %"}}
    batch = candles.sheet(empty, document, {"jars": "9", "spares": ""}).batch.batch
    assert (batch.jars, batch.spill, batch.residue) == (9, 0.03, 0.033)


def test_supplies_stand_beside_what_is_in_hand(shop: Workshop) -> None:
    """Her materials are matched by role and name; planned pours are counted as promised."""
    document = candles.get(shop, "strawberry-bank").document
    supplies = {supply.name: supply for supply in candles.sheet(shop, document).supplies}
    oil = supplies["Wild strawberry"]
    held = materials.on_hand(shop, ["wild-strawberry"])["wild-strawberry"]
    assert oil.slug == "wild-strawberry"
    assert oil.on_hand == held
    assert oil.promised == oil.needed  # the same batch is planned already
    assert oil.short.units == oil.needed.units + oil.promised.units - held.units > 0
    assert supplies["Cabin glass"].needed.pieces == 18


def test_a_built_in_kind_has_no_stock_to_stand_beside(empty: Workshop) -> None:
    """It is needed, and nobody keeps it."""
    wax = next(s for s in candles.sheet(empty, PLAIN).supplies if s.role == "wax")
    assert (wax.slug, wax.on_hand, wax.short.units) == (None, None, 0)


def test_a_change_of_a_fact_shows_on_the_next_sheet(shop: Workshop) -> None:
    """Nothing stale is kept: lighter hot wax, less of it in the same space."""
    document = candles.get(shop, "slipway").document
    before = candles.sheet(shop, document).jar.fill_mass
    materials.save(shop, "millpond-soy", {"facts": {"density_hot": "0.80 g/ml"}})
    after = candles.sheet(shop, document).jar.fill_mass
    assert after == pytest.approx(before * 0.80 / 0.872, rel=0.01)


def test_a_revision_that_was_poured_never_changes(shop: Workshop) -> None:
    """Starting a pour freezes it; saving makes another, and the file refuses to edit it."""
    view = pours.plan(shop, "painters-locker", {"jars": "4"}, "2026-05-12")
    assert not candles.get(shop, "painters-locker").frozen
    pours.start(shop, view.id)
    poured = candles.get(shop, "painters-locker")
    assert poured.frozen
    saved = candles.save(shop, poured.slug, {**poured.document, "note": "again"})
    assert (saved.revision, saved.frozen) == (poured.revision + 1, False)
    assert candles.get(shop, poured.slug, poured.revision).document == poured.document
