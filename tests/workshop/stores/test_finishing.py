from __future__ import annotations

import json
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import select

from rushlight.errors import BadInput, Refused
from rushlight.store.tables import jar_lot
from rushlight.workshop import Workshop, materials, pours, settings, undo
from rushlight.workshop.pours import PourState
from rushlight.workshop.stores import jars, lots, stocktakes
from rushlight.workshop.stores.finishing import REASONS
from tests.support.bench import equip, left, receive, running, stock


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a small workshop with jars and wicks, and no wax."""
    equip(empty)
    stock(empty)
    return empty


def _undo(shop: Workshop, pour: int) -> int:
    done = undo.latest(shop, f"pour:{pour}")
    assert done is not None
    return undo.undo(shop, done.id).id


def _tick_wax(shop: Workshop, pour: int, actual: str) -> None:
    pours.tick(shop, pour, 1, pours.get(shop, pour).pots[0].lines[0].key, actual)


def _moves(shop: Workshop, code: str) -> list[tuple[str, int, int]]:
    """Return the movements of a lot, the first first: reason, units, hundredths of money."""
    moves = reversed(lots.get(shop, code).moves)
    return [(m.reason, m.amount.units, int(m.value * 100)) for m in moves]


def _costing(shop: Workshop, code: str) -> dict[str, Any]:
    with shop.store.reading() as connection:
        query = select(jar_lot.c.costing).where(jar_lot.c.code == code)
        found: dict[str, Any] = json.loads(connection.execute(query).scalar_one())
    return found


def test_the_cost_of_a_jar_is_that_of_its_lots_its_labour_and_its_overhead(shop: Workshop) -> None:
    """Worked by hand, for ten jars.

    Wax 1 kg of the first lot, 5.00, and 1 kg of the second, 6.00; tumblers 15.00, wicks 1.00;
    setting up 12.00, pouring 30 min, 6.00; overhead 20.00. In all 65.00, 6.50 a jar.
    """
    receive(shop, "test-soy", "1 kg", "5.00", expires="2026-06-01")
    receive(shop, "test-soy", "2 kg", "12.00", expires="2026-07-01")
    view = pours.finish(shop, running(shop), {})
    found = jars.get(shop, view.jar_lot)
    assert [(part.name, int(part.cost)) for part in found.parts] == [
        ("Test soy", 11),
        ("Test tumbler", 15),
        ("Test wick", 1),
        ("Set up", 12),
        ("Pour", 6),
        ("Overhead", 20),
    ]
    assert (found.line.made, found.line.left, found.line.cost) == (10, 10, Decimal("6.5"))
    cure = view.sheets.jar.windows.cure.aim / 86400
    assert found.line.ready_on == view.ready_on == shop.today() + timedelta(days=cure)


def test_the_costing_is_kept_and_its_parts_add_up(shop: Workshop) -> None:
    """To the last 1/10 000 where nothing divides evenly, and later prices change nothing."""
    settings.change(shop, {"labour_rate": "11.44", "overhead": "99.99", "jars_per_month": "53"})
    receive(shop, "test-soy", "1.7 kg", "9.99")
    receive(shop, "test-soy", "1.1 kg", "7.77")
    pour = running(shop, jars=7)
    _tick_wax(shop, pour, "1733 g")
    view = pours.finish(shop, pour, {"good": "6", "rejected.sinkhole": "1"})
    before = jars.get(shop, view.jar_lot)
    assert before.line.worth == sum(part.cost for part in before.parts)
    settings.change(shop, {"labour_rate": "40", "overhead": "1000"})
    assert jars.get(shop, view.jar_lot) == before
    found = _costing(shop, view.jar_lot)
    parts = [*(m["value"] for m in found["materials"]), *(s["cost"] for s in found["labour"])]
    assert sum(parts) + found["overhead"] == before.line.worth * 10_000
    assert (found["good"], found["rejected"], found["rate"]) == (6, 1, 114_400)
    assert [step["timed"] for step in found["labour"]] == [False, False]
    # overhead is borne by the good jars: 99.99 × 6 / 53 = 11.3196 (…226)
    assert found["overhead"] == 113_196


def test_what_was_weighed_is_drawn_from_the_lots_that_were_held(shop: Workshop) -> None:
    """Then from others that are free, first expiring first; a lot past its date comes last."""
    past = receive(shop, "test-soy", "1 kg", "4", expires="2026-05-12")
    soon = receive(shop, "test-soy", "3 kg", "15", expires="2026-06-01")
    late = receive(shop, "test-soy", "3 kg", "18", expires="2026-07-01")
    shop.clock.pass_by(days=1)  # type: ignore[attr-defined]  # the tests' own clock
    plan = pours.plan(shop, "oar", {"jars": "10"}, shop.today()).id
    need = 1  # the first need of the first pour: its wax
    pours.start(shop, plan, {f"lot.{need}.{late}": "2 kg"})
    _tick_wax(shop, plan, "6.5 kg")
    view = pours.finish(shop, plan, {})
    drawn = {m["lot"]: m["units"] for m in _costing(shop, view.jar_lot)["materials"][:3]}
    assert drawn == {late: 3_000_000, soon: 3_000_000, past: 500_000}


def test_a_leftover_goes_back_into_its_lot_with_its_cost(shop: Workshop) -> None:
    """Of 2 kg at 5.00 a kilogram 300 g come back: 1.50; the jars bear 8.50 of wax.

    It was drawn last from the second lot, and that is where it goes.
    """
    first = receive(shop, "test-soy", "1.8 kg", "9", expires="2026-06-01")
    second = receive(shop, "test-soy", "1 kg", "5", expires="2026-07-01")
    view = pours.finish(shop, running(shop), {"good": "9", "left.test-soy.amount": "300 g"})
    assert _moves(shop, second) == [
        ("received", 1_000_000, 500),
        ("used", -200_000, -100),
        ("returned", 200_000, 100),
    ]
    assert _moves(shop, first)[1:] == [
        ("used", -1_800_000, -900),
        ("returned", 100_000, 50),
    ]
    found = _costing(shop, view.jar_lot)["materials"][0]
    assert (found["lot"], found["units"], found["value"]) == (first, 1_700_000, 85_000)


def test_a_leftover_thrown_away_is_scrap_and_no_cost_of_the_jars(shop: Workshop) -> None:
    """It comes back with its cost, and leaves with it again as scrapped, by this pour."""
    lot = receive(shop, "test-soy", "5 kg", "25")
    pour = running(shop)
    typed = {"good": "9", "left.test-soy.amount": "300", "left.test-soy.fate": "scrapped"}
    view = pours.finish(shop, pour, typed)
    assert _moves(shop, lot)[1:] == [
        ("used", -2_000_000, -1000),
        ("returned", 300_000, 150),
        ("scrapped", -300_000, -150),
    ]
    assert {move.pour for move in lots.get(shop, lot).moves} == {None, pour}
    assert jars.get(shop, view.jar_lot).parts[0].cost == Decimal("8.5")


def test_rejected_jars_have_reasons_and_still_cost(shop: Workshop) -> None:
    """A plain count is for another reason. 8 good of 10 bear all: 65.00 less 2 × 2.00 overhead.

    Wax 2 kg at 5.00: 10.00; so 64.00 - 4.00 = 60.00, 7.50 a jar.
    """
    receive(shop, "test-soy", "5 kg", "25")
    typed = {"rejected.sinkhole": "1", "rejected": "1", "person": "Ben", "note": "cold bench"}
    view = pours.finish(shop, running(shop, typed={"person": "Ada"}), typed)
    assert (view.good, view.rejected, view.person, view.note) == (8, 2, "Ben", "cold bench")
    assert view.rejects == (("sinkhole", 1), ("other", 1))
    found = jars.get(shop, view.jar_lot)
    assert (found.rejected, found.person) == (view.rejects, "Ben")
    assert found.line.cost == Decimal("7.5")
    assert set(dict(view.rejects)) <= set(REASONS)


def test_a_pour_without_a_good_jar_makes_no_lot(shop: Workshop) -> None:
    """What was used stays used by the pour: its cost is all scrap."""
    lot = receive(shop, "test-soy", "5 kg", "25")
    view = pours.finish(shop, running(shop), {"good": "0", "rejected.frosting": "10"})
    assert (view.state, view.jar_lot) == (PourState.FINISHED, "")
    assert jars.of_pour(shop, view.id) is None
    assert left(shop, lot) == (3_000_000, 150_000)


def test_more_than_was_in_hand_needs_a_reason(shop: Workshop) -> None:
    """Every material is named with what is missing; nothing is written."""
    receive(shop, "test-soy", "1.5 kg", "7.50")
    materials.count(shop, "test-wick", {"amount": "3"})
    pour = running(shop)
    with pytest.raises(BadInput) as caught:
        pours.finish(shop, pour, {"good": "ten"})
    said = [(p.place, p.what) for p in caught.value.problems]
    assert [place for place, _ in said] == ["good", "count_wrong", "count_wrong"]
    assert "Test soy: 500 g more" in said[1][1]
    assert "Test wick: 7 more" in said[2][1]
    assert pours.get(shop, pour).state == PourState.RUNNING


def test_a_wrong_count_is_put_right_by_a_stocktake_with_its_reason(shop: Workshop) -> None:
    """What was missing is found first, worth what it lay beside; nothing goes below zero."""
    lot = receive(shop, "test-soy", "1.5 kg", "7.50")
    pour = running(shop)
    view = pours.finish(shop, pour, {"count_wrong": "A full pail was never entered"})
    assert _moves(shop, lot)[1:] == [
        ("counted", 500_000, 250),
        ("used", -2_000_000, -1000),
    ]
    assert lots.get(shop, lot).moves[1].note == "A full pail was never entered"
    (line,) = stocktakes.listing(shop)
    found = stocktakes.get(shop, line.id)
    assert (line.state, found.reason) == ("booked", "A full pail was never entered")
    assert [(x.code, x.counted and x.counted.units) for x in found.lines] == [(lot, 2_000_000)]
    assert jars.get(shop, view.jar_lot).parts[0].cost == 10


def test_what_was_never_received_gets_a_lot_and_can_be_undone(shop: Workshop) -> None:
    """No lot at all: one is opened at the price in force, or at a cost not known."""
    pour = running(shop)
    view = pours.finish(shop, pour, {"count_wrong": "Bought today"})
    (opened,) = lots.listing(shop, "test-soy", empty=True)
    assert (opened.left.units, opened.cost) == (0, None)
    found = jars.get(shop, view.jar_lot).line
    assert (found.cost, found.worth) == (None, None)
    again = _undo(shop, pour)
    assert materials.get(shop, "test-soy").on_hand.units == 0
    undo.undo(shop, again)
    assert pours.get(shop, pour).state == PourState.FINISHED
    assert materials.get(shop, "test-soy").on_hand.units == 0


def test_a_lot_of_unknown_cost_makes_the_cost_of_the_jars_unknown(shop: Workshop) -> None:
    """Never shown as nothing; the parts that are known are kept."""
    receive(shop, "test-soy", "5 kg", "")
    view = pours.finish(shop, running(shop), {})
    found = jars.get(shop, view.jar_lot)
    assert (found.line.cost, found.line.worth) == (None, None)
    assert [m["known"] for m in _costing(shop, view.jar_lot)["materials"]] == [False, True, True]


def test_undoing_brings_the_pour_and_the_stores_back(shop: Workshop) -> None:
    """To the last unit and 1/10 000; the lot of jars is empty and out of the list.

    Finished again it takes the next number of the day, and costs the same.
    """
    first = receive(shop, "test-soy", "1.3 kg", "7.77", expires="2026-06-01")
    second = receive(shop, "test-soy", "2 kg", "12.34")
    pour = running(shop)
    before = [left(shop, code) for code in (first, second)]
    typed = {"good": "7", "rejected.wet-spot": "3", "left.test-soy.amount": "77 g"}
    view = pours.finish(shop, pour, typed)
    after = [left(shop, code) for code in (first, second)]
    cost = jars.get(shop, view.jar_lot).line.cost
    number = _undo(shop, pour)
    again = pours.get(shop, pour)
    assert (again.state, again.good, again.rejects, again.jar_lot) == (
        PourState.RUNNING,
        None,
        (),
        "",
    )
    assert [left(shop, code) for code in (first, second)] == before
    assert jars.listing(shop, empty=True) == ()
    assert jars.get(shop, view.jar_lot).line.left == 0
    undo.undo(shop, number)
    assert pours.get(shop, pour).jar_lot == view.jar_lot
    assert [left(shop, code) for code in (first, second)] == after
    _undo(shop, pour)
    other = pours.finish(shop, pour, typed)
    assert (view.jar_lot[:9], other.jar_lot[:9]) == ("260512-01", "260512-02")
    assert jars.get(shop, other.jar_lot).line.cost == cost


def test_a_pour_whose_jars_have_gone_is_not_undone(shop: Workshop) -> None:
    """Until they are back."""
    receive(shop, "test-soy", "5 kg", "25")
    pour = running(shop)
    view = pours.finish(shop, pour, {})
    finished = undo.latest(shop, f"pour:{pour}")
    assert finished is not None
    jars.take(shop, view.jar_lot, {"jars": "1", "fate": "given"})
    given = undo.latest(shop)
    assert given is not None
    with pytest.raises(Refused, match="only 9 jars"):
        undo.undo(shop, finished.id)
    undo.undo(shop, given.id)
    undo.undo(shop, finished.id)
    assert pours.get(shop, pour).state == PourState.RUNNING


def test_an_undone_pour_is_undone_although_its_leftover_was_used_since(shop: Workshop) -> None:
    """What comes back into a lot comes before what leaves it again."""
    lot = receive(shop, "test-soy", "2 kg", "10")
    pour = running(shop)
    pours.finish(shop, pour, {"good": "9", "left.test-soy.amount": "300 g"})
    finished = undo.latest(shop, f"pour:{pour}")
    assert finished is not None
    materials.scrap(shop, "test-soy", {"amount": "300 g"})
    undo.undo(shop, finished.id)
    assert left(shop, lot) == (1_700_000, 85_000)


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ({"good": "-1"}, "good"),
        ({"rejected": "some"}, "rejected"),
        ({"rejected.sinkhole": "1.5"}, "rejected.sinkhole"),
        ({"rejected.gremlins": "1"}, "rejected.gremlins"),
        ({"left.test-soy.amount": "2001 g"}, "left.test-soy.amount"),
        ({"left.test-soy.amount": "5 ml"}, "left.test-soy.amount"),
        ({"left.test-soy.fate": "eaten"}, "left.test-soy.fate"),
        ({"left.gold.amount": "1 g"}, "left.gold.amount"),
        ({"person": "\x00"}, "person"),
        ({"note": "x" * 5001}, "note"),
    ],
)
def test_a_finish_that_cannot_be_is_said_in_its_place(
    shop: Workshop, typed: dict[str, str], place: str
) -> None:
    """And nothing is written."""
    receive(shop, "test-soy", "5 kg", "25")
    pour = running(shop)
    with pytest.raises(BadInput) as caught:
        pours.finish(shop, pour, typed)
    assert [problem.place for problem in caught.value.problems] == [place]
    assert pours.get(shop, pour).state == PourState.RUNNING


def test_jars_are_numbered_by_the_day_they_were_poured(shop: Workshop, clock: Any) -> None:
    """Each pour of a day has its own number, from one."""
    receive(shop, "test-soy", "5 kg", "25")
    codes = [pours.finish(shop, running(shop, jars=1), {}).jar_lot for _ in range(2)]
    clock.pass_by(days=1)
    codes.append(pours.finish(shop, running(shop, jars=1), {}).jar_lot)
    assert [code[:9] for code in codes] == ["260512-01", "260512-02", "260513-01"]
    assert jars.listing(shop)[0].poured_on == date(2026, 5, 12)


def test_a_material_renamed_while_it_is_poured_is_still_the_one_used(shop: Workshop) -> None:
    """The pour keeps what it rested on."""
    lot = receive(shop, "test-soy", "5 kg", "25")
    pour = running(shop)
    materials.save(shop, "test-soy", {"name": "Old soy"})
    pours.finish(shop, pour, {})
    assert left(shop, lot) == (3_000_000, 150_000)


def test_a_finish_sent_twice_is_one(shop: Workshop) -> None:
    """The second form changes nothing."""
    receive(shop, "test-soy", "5 kg", "25")
    pour = running(shop)
    first = pours.finish(shop, pour, {}, key="k")
    assert pours.finish(shop, pour, {"good": "1"}, key="k") == first
