from __future__ import annotations

from datetime import timedelta
from typing import Any

from rushlight.workshop import Workshop, materials, pours, today


def test_an_empty_workshop_has_an_empty_day(empty: Workshop) -> None:
    """Nothing is planned, runs, cures or is short."""
    found = today.today(empty)
    assert not found.demo
    assert (*found.running, *found.planned, *found.curing, *found.ready, *found.short) == ()


def test_the_day_says_what_runs_and_what_is_planned(shop: Workshop) -> None:
    """Soonest first, with the running timer of the running pour."""
    found = today.today(shop)
    assert found.demo
    assert [line.candle for line in found.running] == ["Boathouse Tea"]
    days = [line.planned_for for line in found.planned]
    assert days == sorted(days)
    assert [(pour, timer.name) for pour, timer in found.timers] == [(found.running[0].id, "Stir")]


def test_a_cure_ends_on_its_day(shop: Workshop, clock: Any) -> None:
    """Curing the day before, ready on the day and for a week, then no longer said."""
    view = pours.plan(shop, "slipway", {"jars": "2"}, shop.today())
    pours.start(shop, view.id)
    ready = pours.finish(shop, view.id, {}).ready_on
    assert ready is not None

    def where() -> list[str]:
        found = today.today(shop)
        return [
            name
            for name, lines in (("curing", found.curing), ("ready", found.ready))
            if view.id in [line.id for line in lines]
        ]

    said = []
    clock.pass_by(days=(ready - shop.today()).days - 1)
    for _ in range(3):
        said.append(where())
        clock.pass_by(days=1)
    clock.pass_by(days=6)
    assert [*said, where()] == [["curing"], ["ready"], ["ready"], []]
    assert shop.today() == ready + timedelta(days=8)


def test_what_planned_pours_lack_is_short(shop: Workshop) -> None:
    """The strawberry oil does not reach; once received it is no longer said."""

    def short() -> set[str]:
        return {line.slug for line in today.today(shop).short}

    assert "wild-strawberry" in short()
    materials.receive(shop, "wild-strawberry", {"amount": "1 kg"})
    assert "wild-strawberry" not in short()
