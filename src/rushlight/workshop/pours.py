"""Pours: planned, run at the bench, finished."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from rushlight.errors import BadInput, Problem
from rushlight.workshop.bench import (
    read_temperature,
    start_timer,
    stop_timer,
    tick,
    untick,
    withdraw_reading,
)
from rushlight.workshop.pour_clock import forecast, forecast_of, melting
from rushlight.workshop.pour_lines import listing
from rushlight.workshop.pour_sheet import get
from rushlight.workshop.pour_states import about, in_state
from rushlight.workshop.pour_views import (
    PotClock,
    PotView,
    PourLine,
    PourState,
    PourView,
    Reading,
    Tick,
    Timer,
    WeighLine,
)
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import Typed
from rushlight.workshop.typed import day as read_day

if TYPE_CHECKING:
    from rushlight.store.deeds import Work

__all__ = [
    "PotClock",
    "PotView",
    "PourLine",
    "PourState",
    "PourView",
    "Reading",
    "Tick",
    "Timer",
    "WeighLine",
    "abandon",
    "finish",
    "forecast",
    "forecast_of",
    "get",
    "in_state",
    "listing",
    "melting",
    "plan",
    "read_temperature",
    "start",
    "start_timer",
    "stop_timer",
    "tick",
    "untick",
    "withdraw_reading",
]


def plan(  # noqa: PLR0913 - a pour is a candle, a batch, a day and rarely a revision
    shop: Workshop,
    slug: str,
    typed_batch: Mapping[str, str],
    day: date | str,
    *,
    revision: int | None = None,
    key: str | None = None,
) -> PourView:
    """Plan a pour: the document is resolved with the facts as they are now, and kept so.

    typed_batch: as for `candles.sheet`. day: a date, or typed as 2026-05-17.
    """
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "pour.plan", at=shop.now(), key=key) as work:
        if work.first is None:
            _plan(work, slug, typed_batch, day, revision)
        found = work.outcome()
    return get(shop, found["pour"])


def _plan(
    work: Work, slug: str, typed: Mapping[str, str], day: date | str, revision: int | None
) -> None:
    from rushlight.store.marks import stamp, written
    from rushlight.store.queries.others import settings
    from rushlight.workshop.candles import existing, revision_within
    from rushlight.workshop.live import batch_texts, computed
    from rushlight.workshop.settings import settings_of
    from rushlight.workshop.shelf import StoredShelf
    from rushlight.workshop.supplies import needs_of, stored_materials

    row = existing(work.connection, slug)
    _, found = revision_within(work.connection, row, revision)
    document = json.loads(found["document"])
    defaults = settings_of(settings(work.connection)).batch_defaults()
    batch = batch_texts(document, typed, defaults)
    shelf = StoredShelf(work.connection, document)
    problems: list[Problem] = []
    planned_for, whole = None, None
    try:
        planned_for = day if isinstance(day, date) else read_day(day)
    except BadInput as bad:
        problems += bad.at("day").problems
    try:
        _, whole = computed(document, batch, shelf)
    except BadInput as bad:
        problems += bad.problems
    if planned_for is None or whole is None:
        raise BadInput(*problems)
    pour = work.add(
        "pour",
        candle_id=row["id"],
        revision_id=found["id"],
        state=PourState.PLANNED.value,
        planned_for=planned_for.isoformat(),
        planned_at=stamp(work.at),
        document=written({"document": document, "facts": shelf.looked}),
        batch=written(batch),
        jars=whole.batch.jars,
    )
    needs = needs_of(document, whole)
    kept = stored_materials(work.connection, needs)
    for need in needs:
        material = kept.get((need.role, need.use))
        mine = material is not None and material["measure"] == need.amount.measure
        if material is not None and not mine:
            continue  # kept by the piece but also weighed, or the other way round
        work.add(
            "need",
            pour_id=pour,
            role=need.role,
            name=need.use,
            material_id=None if material is None else material["id"],
            measure=need.amount.measure.value,
            amount=need.amount.units,
        )
    work.subject = f"pour:{pour}"
    work.said = f"Planned {whole.batch.jars} of {row['name']} for {planned_for.isoformat()}."
    work.result = {"pour": pour}


def start(
    shop: Workshop, pour: int, typed: Mapping[str, str] | None = None, *, key: str | None = None
) -> PourView:
    """Start a planned pour; its revision is frozen from now on, and its lots are held.

    typed: person, who pours; lot.<need id>.<lot code>, an amount, where other lots are to be
    taken than those proposed (`stores.reserving.choices`). A shortage does not stop the start.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.workshop.stores.reserving import hold, lot_fields

    with deed_of(shop.store, "pour.start", at=shop.now(), key=key) as work:
        if work.first is None:
            row = in_state(work.connection, pour, PourState.PLANNED)
            told = typed or {}
            form = Typed(told, {"person", *lot_fields(told)})
            person = " ".join(form.text("person").split())
            hold(work, pour, form, shop.today())
            form.problems.check()
            state, at = PourState.RUNNING.value, stamp(work.at)
            work.change("pour", pour, state=state, started_at=at, person=person)
            work.do("freeze", id=row["revision_id"])
            about(work, row, f"Started pouring {row['name']}.")
    return get(shop, pour)


def finish(
    shop: Workshop, pour: int, typed: Mapping[str, str], *, key: str | None = None
) -> PourView:
    """Finish a running pour; see `stores.finishing.finish` for what is typed."""
    from rushlight.workshop.stores import finishing

    return finishing.finish(shop, pour, typed, key=key)


def abandon(shop: Workshop, pour: int, *, key: str | None = None) -> PourView:
    """Give up a planned or running pour; nothing leaves the stores."""
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "pour.abandon", at=shop.now(), key=key) as work:
        if work.first is None:
            row = in_state(work.connection, pour, PourState.PLANNED, PourState.RUNNING)
            work.change("pour", pour, state=PourState.ABANDONED.value)
            about(work, row, f"Gave up pouring {row['name']}.")
    return get(shop, pour)
