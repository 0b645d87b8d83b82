from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.workshop import Workshop, candles, materials, pours, settings, undo
from rushlight.workshop.pours import PourState, PourView


def _started(shop: Workshop, slug: str = "painters-locker", jars: str = "12") -> PourView:
    view = pours.plan(shop, slug, {"jars": jars}, shop.today())
    return pours.start(shop, view.id)


def test_a_plan_keeps_the_facts_of_its_day(shop: Workshop) -> None:
    """A later change of the wax or of the candle does not change the sheet of the pour."""
    view = pours.plan(shop, "slipway", {"jars": "6", "residue": "5 g"}, "2026-06-01")
    materials.save(shop, "millpond-soy", {"facts": {"density_hot": "0.70 g/ml"}})
    document: dict[str, Any] = candles.get(shop, "slipway").document
    candles.save(shop, "slipway", {**document, "fill": {"headspace": "30 mm"}})
    again = pours.get(shop, view.id)
    assert again.sheets.batch == view.sheets.batch
    assert (again.jars, again.planned_for, again.state) == (
        6,
        date(2026, 6, 1),
        PourState.PLANNED,
    )
    assert again.batch["residue"] == "5 g"


def test_a_plan_with_a_wrong_day_and_batch_says_both(shop: Workshop) -> None:
    """Each in place, and nothing is planned."""
    before = len(pours.listing(shop))
    with pytest.raises(BadInput) as caught:
        pours.plan(shop, "slipway", {"jars": "-3"}, "tomorrow")
    assert {problem.place for problem in caught.value.problems} == {"day", "batch.jars"}
    assert len(pours.listing(shop)) == before


def test_a_plan_promises_its_supplies_until_it_is_given_up(shop: Workshop) -> None:
    """Planned needs stand in the list of materials, and go with the pour."""

    def planned() -> int:
        lines = {line.slug: line for line in materials.listing(shop, "vessel")}
        return lines["harbour-tumbler"].planned.pieces

    before = planned()
    view = pours.plan(shop, "slipway", {"jars": "40"}, "2026-06-01")
    assert planned() == before + 40
    pours.abandon(shop, view.id)
    assert planned() == before


def test_states_follow_each_other_only_in_order(shop: Workshop) -> None:
    """What is not running cannot be finished or weighed; what is finished cannot start."""
    view = pours.plan(shop, "slipway", {"jars": "6"}, shop.today())
    with pytest.raises(Refused, match="planned"):
        pours.finish(shop, view.id, {})
    with pytest.raises(Refused, match="running"):
        pours.tick(shop, view.id, 1, view.pots[0].lines[0].key)
    pours.start(shop, view.id)
    with pytest.raises(Refused):
        pours.start(shop, view.id)
    pours.finish(shop, view.id, {})
    with pytest.raises(Refused):
        pours.abandon(shop, view.id)
    with pytest.raises(NotFound):
        pours.get(shop, 10_000)


def test_a_tick_keeps_what_the_scale_said(shop: Workshop) -> None:
    """Typed text and mass; ticking again corrects it, an empty one is as planned."""
    view = _started(shop)
    wax, oil = view.pots[0].lines[:2]
    pours.tick(shop, view.id, 1, wax.key, "1.5 kg")
    tick = pours.tick(shop, view.id, 1, wax.key, "1502")
    assert (tick.actual, tick.typed) == (1.502, "1502")
    assert pours.tick(shop, view.id, 1, oil.key).actual == pytest.approx(oil.planned, abs=1e-6)
    lines = pours.get(shop, view.id).pots[0].lines
    assert lines[0].tick == tick
    assert lines[1].tick is not None


def test_a_tick_taken_back_is_gone_and_can_be_undone(shop: Workshop) -> None:
    """Untick is an entry; undoing it brings the weighing back as it was."""
    view = _started(shop)
    key = view.pots[0].lines[0].key
    tick = pours.tick(shop, view.id, 1, key, "1.4 kg")
    pours.untick(shop, view.id, 1, key)
    assert pours.get(shop, view.id).pots[0].lines[0].tick is None
    with pytest.raises(Refused, match="not ticked"):
        pours.untick(shop, view.id, 1, key)
    done = undo.latest(shop)
    assert done is not None
    undo.undo(shop, done.id)
    again = pours.get(shop, view.id).pots[0].lines[0].tick
    assert again is not None
    assert (again.actual, again.typed) == (tick.actual, tick.typed)


def test_a_tick_sent_twice_is_one_entry(shop: Workshop) -> None:
    """The second time returns the first tick, whatever it says."""
    view = _started(shop)
    key = view.pots[0].lines[0].key
    first = pours.tick(shop, view.id, 1, key, "1 kg", key="k")
    assert pours.tick(shop, view.id, 1, key, "2 kg", key="k") == first


@pytest.mark.parametrize("actual", ["much", "-1 g", "8 fl oz", "900 kg", "\x00"])
def test_a_weighing_that_cannot_be_is_explained(shop: Workshop, actual: str) -> None:
    """The problem is at the figure, and nothing is ticked."""
    view = _started(shop)
    with pytest.raises(BadInput) as caught:
        pours.tick(shop, view.id, 1, view.pots[0].lines[0].key, actual)
    assert [problem.place for problem in caught.value.problems] == ["actual"]


def test_a_place_that_is_not_on_the_sheet_is_not_found(shop: Workshop) -> None:
    """Neither a line nor a pot."""
    view = _started(shop)
    for pot, line in ((1, "gold"), (99, view.pots[0].lines[0].key)):
        with pytest.raises(NotFound):
            pours.tick(shop, view.id, pot, line)
    with pytest.raises(NotFound):
        pours.read_temperature(shop, view.id, 99, "80 C")


def test_two_readings_say_when_the_window_opens(shop: Workshop, clock: Any) -> None:
    """On the clock, in the zone of the bench, after the readings and with its doubt."""
    view = _started(shop)
    assert pours.forecast(shop, view.id, 1) is None
    first = pours.read_temperature(shop, view.id, 1, "84 C")
    clock.pass_by(minutes=5)
    pours.read_temperature(shop, view.id, 1, "81")
    found = pours.forecast(shop, view.id, 1)
    assert found is not None
    assert found.origin == first.at
    assert found.opens is not None
    assert found.closes is not None
    assert found.spread_opens is not None
    assert first.at < found.opens < found.closes
    assert found.spread_opens > timedelta(0)
    assert found.opens.utcoffset() == timedelta(hours=1)
    window = view.sheets.jar.windows.pour
    assert window.low < window.aim < window.high < 273.15 + 81


def test_a_reading_in_the_wrong_unit_is_refused_and_one_can_be_taken_back(
    shop: Workshop, clock: Any
) -> None:
    """185 with °C preferred is no wax; a reading taken back no longer counts."""
    view = _started(shop)
    with pytest.raises(BadInput) as caught:
        pours.read_temperature(shop, view.id, 1, "185")
    assert caught.value.problems[0].place == "temperature"
    reading = pours.read_temperature(shop, view.id, 1, "185 F")
    assert reading.temperature == pytest.approx(273.15 + 85, abs=0.001)
    with pytest.raises(Refused, match="this moment"):
        pours.read_temperature(shop, view.id, 1, "84 C")
    clock.pass_by(minutes=1)
    pours.withdraw_reading(shop, view.id, reading.id)
    assert pours.get(shop, view.id).pots[0].readings == ()
    with pytest.raises(NotFound):
        pours.withdraw_reading(shop, view.id, reading.id)


def test_a_timer_is_a_deadline(shop: Workshop, clock: Any) -> None:
    """It is the same after any time away; stopped it stays, and undo lets it run again."""
    view = _started(shop)
    timer = pours.start_timer(shop, view.id, 1, "Stir", "2 min")
    assert timer.deadline - timer.started_at == timedelta(minutes=2)
    clock.pass_by(minutes=1)
    stopped = pours.stop_timer(shop, view.id, timer.id)
    assert stopped.stopped_at == clock.now
    assert pours.stop_timer(shop, view.id, timer.id) == stopped
    done = undo.latest(shop, f"timer:{timer.id}")
    assert done is not None
    undo.undo(shop, done.id)
    assert pours.get(shop, view.id).pots[0].timers == (timer,)
    with pytest.raises(BadInput) as caught:
        pours.start_timer(shop, view.id, 1, "", "soon")
    assert {problem.place for problem in caught.value.problems} == {"name", "time"}


def test_finishing_takes_what_was_weighed(shop: Workshop) -> None:
    """Ticked lines by the scale, the others as planned, pieces by count; cure from the wax.

    The demonstration's soy cures 10 days.
    """
    before = materials.on_hand(shop)
    view = _started(shop)
    wax = view.pots[0].lines[0]
    pours.tick(shop, view.id, 1, wax.key, f"{wax.planned * 1000 + 7:.0f} g")
    done = pours.finish(shop, view.id, {"good": "11", "rejected": "1", "note": "a chip"})
    after = materials.on_hand(shop)

    def used(slug: str) -> int:
        return before[slug].units - after[slug].units

    planned = round(1e6 * sum(line.planned for pot in view.pots for line in pot.lines[:1]))
    assert used("millpond-soy") == planned + 7_000
    assert used("harbour-tumbler") == used("paper-cored-14") == 12
    assert (done.good, done.rejected, done.note) == (11, 1, "a chip")
    assert done.ready_on == shop.today() + timedelta(days=10)


def test_finishing_can_be_undone_to_the_last_milligram(shop: Workshop) -> None:
    """Stock and state are as before, by entries that stay in the record."""
    view = _started(shop)
    before = materials.on_hand(shop)
    pours.finish(shop, view.id, {})
    done = undo.latest(shop, f"pour:{view.id}")
    assert done is not None
    undo.undo(shop, done.id)
    again = pours.get(shop, view.id)
    assert materials.on_hand(shop) == before
    assert (again.state, again.finished_at, again.good) == (PourState.RUNNING, None, None)


def test_using_more_than_is_in_hand_needs_a_reason(shop: Workshop) -> None:
    """With it, the wrong count is booked first: the list never goes below zero."""
    materials.count(shop, "jute-twist", {"amount": "5"})
    view = _started(shop)
    with pytest.raises(BadInput) as caught:
        pours.finish(shop, view.id, {})
    assert [problem.place for problem in caught.value.problems] == ["count_wrong"]
    pours.finish(shop, view.id, {"count_wrong": "A bundle was never entered"})
    material = materials.get(shop, "jute-twist")
    assert material.on_hand.units == 0
    assert [(m.reason, m.amount.units, m.pour) for m in material.movements[:2]] == [
        ("used", -12, view.id),
        ("counted", 7, view.id),
    ]
    assert material.movements[1].note == "A bundle was never entered"


def test_an_earlier_revision_can_be_poured(shop: Workshop) -> None:
    """The pour is of that one, and it is the one that is frozen."""
    document = candles.get(shop, "strawberry-bank").document
    candles.save(shop, "strawberry-bank", {**document, "note": "new"})
    view = pours.plan(shop, "strawberry-bank", {"jars": "2"}, shop.today(), revision=1)
    pours.start(shop, view.id)
    assert [line.frozen_at is not None for line in candles.history(shop, "strawberry-bank")] == [
        False,
        True,
    ]


def test_the_melter_takes_longer_for_a_larger_pot(shop: Workshop) -> None:
    """From the room to melt-and-hold, with its spread; the oil is left out."""
    small = pours.melting(shop, _started(shop, jars="4"))
    large = pours.melting(shop, _started(shop, jars="8"))
    assert small is not None
    assert large is not None
    assert large.time > small.time > small.spread > 0


def test_a_melter_that_is_too_weak_has_no_melting_time(shop: Workshop) -> None:
    """Said plainly rather than as a very long time."""
    settings.change(shop, {"melter_power": "10 W"})
    assert pours.melting(shop, _started(shop, jars="8")) is None
