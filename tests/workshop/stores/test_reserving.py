from __future__ import annotations

import pytest

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.workshop import Workshop, pours, undo
from rushlight.workshop.stores import reserving
from rushlight.workshop.stores.views import NeedLots
from tests.support.bench import equip, receive, running, stock


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a small workshop with jars and wicks, and no wax."""
    equip(empty)
    stock(empty)
    return empty


def _soy(shop: Workshop, pour: int) -> NeedLots:
    return next(need for need in reserving.choices(shop, pour) if need.material == "test-soy")


def _taken(shop: Workshop, pour: int) -> dict[str, int]:
    return {c.lot.code: c.taken.units for c in _soy(shop, pour).lots if c.taken.units}


def _planned(shop: Workshop, jars: int = 10) -> int:
    return pours.plan(shop, "oar", {"jars": str(jars)}, shop.today()).id


def test_the_lot_that_expires_first_is_proposed_first(shop: Workshop) -> None:
    """Then the next; one without a date comes last. 10 jars of 200 g take 2 kg."""
    none = receive(shop, "test-soy", "5 kg", "30")
    late = receive(shop, "test-soy", "1.5 kg", "9", expires="2026-09-01")
    soon = receive(shop, "test-soy", "1 kg", "5", expires="2026-06-01")
    pour = _planned(shop)
    need = _soy(shop, pour)
    assert [choice.lot.code for choice in need.lots] == [soon, late, none]
    assert [choice.taken.units for choice in need.lots] == [1_000_000, 1_000_000, 0]
    assert (need.needed.units, need.short.units) == (2_000_000, 0)
    assert all(choice.lot.held.units == 0 for choice in need.lots)


def test_what_is_proposed_is_held_once_the_pour_starts(shop: Workshop) -> None:
    """Another pour is then proposed what is left, and held lots say so."""
    first = receive(shop, "test-soy", "3 kg", "15", expires="2026-06-01")
    second = receive(shop, "test-soy", "3 kg", "15", expires="2026-07-01")
    pour, other = running(shop), _planned(shop)
    assert _taken(shop, pour) == {first: 2_000_000}
    assert _taken(shop, other) == {first: 1_000_000, second: 1_000_000}
    lots = {choice.lot.code: choice for choice in _soy(shop, other).lots}
    assert (lots[first].lot.held.units, lots[first].free.units) == (2_000_000, 1_000_000)
    pours.abandon(shop, pour)
    assert _taken(shop, other) == {first: 2_000_000}


def test_a_lot_past_its_date_is_shown_last_and_never_proposed(
    shop: Workshop, clock: object
) -> None:
    """On the day itself it still is; the day after it is marked, and she may choose it."""
    old = receive(shop, "test-soy", "2 kg", "10", expires="2026-05-13")
    retest = receive(shop, "test-soy", "2 kg", "10", expires="2026-05-13", date_kind="retest")
    fresh = receive(shop, "test-soy", "1 kg", "6", expires="2027-01-01")
    pour = _planned(shop)
    clock.pass_by(days=1)  # type: ignore[attr-defined]  # the tests' own clock
    assert _taken(shop, pour) == {old: 2_000_000}
    clock.pass_by(days=1)  # type: ignore[attr-defined]
    need = _soy(shop, pour)
    assert [(c.lot.code, c.past, c.taken.units) for c in need.lots] == [
        (fresh, False, 1_000_000),
        (old, True, 0),
        (retest, True, 0),
    ]
    assert need.short.units == 1_000_000
    typed = {f"lot.{need.need}.{fresh}": "1 kg", f"lot.{need.need}.{old}": "1 kg"}
    pours.start(shop, pour, typed)
    assert _taken(shop, pour) == {fresh: 1_000_000, old: 1_000_000}
    assert _soy(shop, pour).short.units == 0


def test_a_shortage_does_not_stop_the_start(shop: Workshop) -> None:
    """She may know better; what there is is held, and the view says what is missing."""
    lot = receive(shop, "test-soy", "1.2 kg", "6")
    pour = running(shop)
    assert _taken(shop, pour) == {lot: 1_200_000}
    assert _soy(shop, pour).short.units == 800_000


def test_other_lots_can_be_chosen_at_the_start_and_while_it_runs(shop: Workshop) -> None:
    """A need that is named takes just these; the others stay; undo brings back what was held.

    A bare number is of the workshop's unit, grams.
    """
    soon = receive(shop, "test-soy", "3 kg", "15", expires="2026-06-01")
    late = receive(shop, "test-soy", "3 kg", "15", expires="2026-07-01")
    pour = _planned(shop)
    need = _soy(shop, pour).need
    pours.start(shop, pour, {"person": " Ada ", f"lot.{need}.{late}": "2000"})
    assert _taken(shop, pour) == {late: 2_000_000}
    assert pours.get(shop, pour).person == "Ada"
    wicks = [n.lots[0].taken.units for n in reserving.choices(shop, pour) if n.role == "wick"]
    assert wicks == [10]
    reserving.choose(shop, pour, {f"lot.{need}.{soon}": "1.5 kg", f"lot.{need}.{late}": "500 g"})
    assert _taken(shop, pour) == {soon: 1_500_000, late: 500_000}
    done = undo.latest(shop, f"pour:{pour}")
    assert done is not None
    undo.undo(shop, done.id)
    assert _taken(shop, pour) == {late: 2_000_000}


def test_a_choice_that_cannot_be_is_said_in_its_place(shop: Workshop) -> None:
    """More than is free, another material's lot, a slip in a code, a need of no pour: all at once.

    Nothing starts.
    """
    lot = receive(shop, "test-soy", "3 kg", "15")
    running(shop)  # holds 2 kg
    pour = _planned(shop)
    need, wick = _soy(shop, pour).need, reserving.choices(shop, pour)[-1].lots[0].lot.code
    typed = {
        f"lot.{need}.{lot}": "1001 g",
        f"lot.{need}.{wick}": "1 kg",
        f"lot.{need}.M3-0": "1 kg",
        "lot.999.M3-5": "1 kg",
        "lot.": "1",
        "pot": "1",
    }
    with pytest.raises(BadInput) as caught:
        pours.start(shop, pour, typed)
    assert {problem.place for problem in caught.value.problems} == set(typed)
    assert "1000 g" in str(caught.value)
    assert pours.get(shop, pour).state == pours.PourState.PLANNED


def test_lots_are_chosen_for_a_running_pour_only(shop: Workshop) -> None:
    """A planned one holds nothing yet; one that is not there is not found."""
    receive(shop, "test-soy", "3 kg", "15")
    pour = _planned(shop)
    with pytest.raises(Refused, match="running"):
        reserving.choose(shop, pour, {})
    with pytest.raises(NotFound):
        reserving.choices(shop, 99)
    with pytest.raises(NotFound):
        reserving.choose(shop, 99, {})
