from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.store.queries import pouring
from rushlight.workshop import Workshop, pours, undo
from rushlight.workshop.stores import jars, working
from tests.support.bench import equip, receive, running, stock


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a small workshop with all that ten jars take."""
    equip(empty)
    stock(empty)
    receive(empty, "test-soy", "5 kg", "25")
    return empty


def test_steps_show_planned_and_timed_time(shop: Workshop, clock: Any) -> None:
    """60 min a batch; 3 min a jar, 10 jars: 30 min. What runs counts up to now."""
    pour = running(shop)
    first = working.start(shop, pour, "Pour", "Ada")
    clock.pass_by(minutes=12)
    setting_up, pouring = working.steps(shop, pour)
    assert (setting_up.planned, setting_up.timed, setting_up.running) == (
        timedelta(minutes=60),
        None,
        (),
    )
    assert (pouring.planned, pouring.timed, pouring.running) == (
        timedelta(minutes=30),
        timedelta(minutes=12),
        (first,),
    )


def test_two_people_work_at_once_and_both_count(shop: Workshop, clock: Any) -> None:
    """On one step as on several; the same person is timed once at a time."""
    pour = running(shop)
    ada = working.start(shop, pour, "Pour", "Ada")
    clock.pass_by(minutes=5)
    ben = working.start(shop, pour, "Pour", " Ben ")
    with pytest.raises(Refused, match="Ada is timed on “Pour”"):
        working.start(shop, pour, "Set up", "Ada")
    clock.pass_by(minutes=5)
    stopped = working.stop(shop, pour, ada.id)
    assert working.stop(shop, pour, ada.id) == stopped
    working.start(shop, pour, "Set up", "Ada")
    working.stop(shop, pour, ben.id)
    assert [(w.step, w.person) for w in working.listing(shop, pour)] == [
        ("Pour", "Ada"),
        ("Pour", "Ben"),
        ("Set up", "Ada"),
    ]
    assert working.steps(shop, pour)[1].timed == timedelta(minutes=15)


def test_timed_steps_are_paid_by_the_clock_and_others_as_planned(
    shop: Workshop, clock: Any
) -> None:
    """At 12.00 an hour: pouring timed 45 min, 9.00; setting up planned 60 min, 12.00.

    A time still running is stopped when the pour is over.
    """
    pour = running(shop)
    working.start(shop, pour, "Pour", "Ada")
    clock.pass_by(minutes=45)
    view = pours.finish(shop, pour, {})
    parts = {part.name: int(part.cost) for part in jars.get(shop, view.jar_lot).parts}
    assert (parts["Set up"], parts["Pour"]) == (12, 9)
    assert [w.stopped_at for w in working.listing(shop, pour)] == [clock.now]


def test_a_time_can_be_taken_back_and_that_can_be_undone(shop: Workshop, clock: Any) -> None:
    """It counts no longer, and then again."""
    pour = running(shop)
    time = working.start(shop, pour, "Pour")
    clock.pass_by(minutes=1)
    working.withdraw(shop, pour, time.id)
    assert working.listing(shop, pour) == ()
    with pytest.raises(NotFound):
        working.stop(shop, pour, time.id)
    done = undo.latest(shop, f"pour:{pour}")
    assert done is not None
    undo.undo(shop, done.id)
    assert working.listing(shop, pour) == (time,)


def test_the_person_who_pours_is_taken_where_none_is_named(shop: Workshop) -> None:
    """As typed at the start of the pour."""
    pour = running(shop, typed={"person": "Ada"})
    assert working.start(shop, pour, "Pour").person == "Ada"


def test_only_a_known_step_of_a_running_pour_is_timed(shop: Workshop) -> None:
    """And once it is over, its times stand as they are."""
    planned = pours.plan(shop, "oar", {"jars": "1"}, shop.today()).id
    with pytest.raises(Refused, match="running"):
        working.start(shop, planned, "Pour")
    pour = running(shop)
    with pytest.raises(BadInput) as caught:
        working.start(shop, pour, "Dance", "\x00")
    assert {problem.place for problem in caught.value.problems} == {"step", "person"}
    time = working.start(shop, pour, "Pour", key="k")
    assert working.start(shop, pour, "Pour", key="k") == time
    pours.finish(shop, pour, {})
    with pytest.raises(Refused, match="finished"):
        working.withdraw(shop, pour, time.id)
    with pytest.raises(NotFound):
        working.stop(shop, planned, time.id)
    with pytest.raises(NotFound):
        working.listing(shop, 99)


def test_a_time_under_a_finished_pour_is_not_undone(shop: Workshop) -> None:
    """The cost of the jars rests on it."""
    pour = running(shop)
    working.start(shop, pour, "Pour")
    begun = undo.latest(shop, f"pour:{pour}")
    assert begun is not None
    pours.finish(shop, pour, {})
    with pytest.raises(Refused, match="rests on this"):
        undo.undo(shop, begun.id)


def test_who_works_here_is_told_by_who_did_so_last(
    shop: Workshop, clock: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Poured or timed, on one of the latest pours; of longer ago nobody is proposed."""
    first = running(shop, 1, {"person": "Ada"})
    working.start(shop, first, "Pour", "Ben")
    clock.pass_by(minutes=5)
    assert working.people(shop) == ("Ada", "Ben")
    running(shop, 1)
    clock.pass_by(minutes=5)
    working.start(shop, first, "Set up", "Cleo")
    assert working.people(shop) == ("Cleo", "Ada", "Ben")
    monkeypatch.setattr(pouring, "_LATEST", 1)
    assert working.people(shop) == ()
    running(shop, 1, {"person": "Dan"})
    assert working.people(shop) == ("Dan",)


@pytest.mark.parametrize("stopped", ["by hand", "by finishing"])
def test_a_clock_that_was_put_back_makes_no_time_less_than_none(
    shop: Workshop, clock: Any, stopped: str
) -> None:
    """Or one of a second bench that is slow: nobody is paid for less than no time at all."""
    pour = running(shop)
    timed = working.start(shop, pour, "Pour", "Ada")
    clock.pass_by(hours=-30)
    (step,) = working.steps(shop, pour)[1:]
    assert step.timed == timedelta(0)
    if stopped == "by hand":
        assert working.stop(shop, pour, timed.id).stopped_at == timed.started_at
    code = pours.finish(shop, pour, {}).jar_lot
    parts = {part.name: part.cost for part in jars.get(shop, code).parts}
    assert (parts["Set up"], parts["Pour"]) == (Decimal(12), Decimal(0))
