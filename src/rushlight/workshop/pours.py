"""Pours: planned, run at the bench, finished."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any, Final

from rushlight.errors import BadInput, NotFound, Problem, Refused
from rushlight.quantity import parse
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
from rushlight.workshop.pour_sheet import get, view_within
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
from rushlight.workshop.typed import LONGEST_NOTE, Typed, within
from rushlight.workshop.typed import day as read_day

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

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

_COUNT_WRONG: Final = "counted"
"""Reason of the entry that makes up for stock that was used but never entered."""


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


def start(shop: Workshop, pour: int, *, key: str | None = None) -> PourView:
    """Start a planned pour; its revision is frozen from now on."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp

    with deed_of(shop.store, "pour.start", at=shop.now(), key=key) as work:
        if work.first is None:
            row = in_state(work.connection, pour, PourState.PLANNED)
            work.change("pour", pour, state=PourState.RUNNING.value, started_at=stamp(work.at))
            work.do("freeze", id=row["revision_id"])
            _about(work, row, f"Started pouring {row['name']}.")
    return get(shop, pour)


def finish(
    shop: Workshop, pour: int, typed: Mapping[str, str], *, key: str | None = None
) -> PourView:
    """Finish a running pour. typed: good, rejected (counts), note.

    What was used leaves the stores: the actual mass where ticked, the planned one
    otherwise. Where less was in hand than was used, the count was wrong: an entry of
    its own puts that right first, so that nothing goes below zero.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.workshop.consumption import used

    with deed_of(shop.store, "pour.finish", at=shop.now(), key=key) as work:
        if work.first is None:
            row = in_state(work.connection, pour, PourState.RUNNING)
            values = _finished(typed, row["jars"])
            view = view_within(shop, work.connection, pour)
            for material, amount in used(work.connection, view).items():
                _take(work, material, amount, pour)
            ready = work.at.date() + _cure(view)
            work.change(
                "pour",
                pour,
                state=PourState.FINISHED.value,
                finished_at=stamp(work.at),
                ready_on=ready.isoformat(),
                **values,
            )
            _about(work, row, f"Finished {values['good']} of {row['name']}.")
    return get(shop, pour)


def _cure(view: PourView) -> timedelta:
    """Return the cure in whole days, a part of a day counted as one."""
    return timedelta(days=-(-float(view.sheets.jar.windows.cure.aim) // 86400))


def _finished(typed: Mapping[str, str], jars: int) -> dict[str, Any]:
    form = Typed(typed, ("good", "rejected", "note"))
    some = within(parse.count, 0, 100_000, "from 0 to 100,000")
    good = form.read("good", some, default=str(jars))
    rejected = form.read("rejected", some, default="0")
    note = form.text("note", longest=LONGEST_NOTE)
    form.problems.check()
    return {"good": good, "rejected": rejected, "note": note}


def _take(work: Work, material: int, amount: int, pour: int) -> None:
    from rushlight.store.commands import on_hand

    missing = amount - on_hand(work.connection, material)
    if missing > 0:
        note = "More was used than was in hand."
        work.do(
            "move",
            material_id=material,
            amount=missing,
            reason=_COUNT_WRONG,
            note=note,
            pour_id=pour,
        )
    if amount:
        work.do("move", material_id=material, amount=-amount, reason="used", pour_id=pour)


def abandon(shop: Workshop, pour: int, *, key: str | None = None) -> PourView:
    """Give up a planned or running pour; nothing leaves the stores."""
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "pour.abandon", at=shop.now(), key=key) as work:
        if work.first is None:
            row = in_state(work.connection, pour, PourState.PLANNED, PourState.RUNNING)
            work.change("pour", pour, state=PourState.ABANDONED.value)
            _about(work, row, f"Gave up pouring {row['name']}.")
    return get(shop, pour)


def in_state(connection: Connection, pour: int, *states: PourState) -> RowMapping:
    """Return the row of a pour in one of some states; NotFound, Refused."""
    from rushlight.store.queries.pours import pour_row

    row = pour_row(connection, pour)
    if row is None:
        raise NotFound(f"There is no pour {pour} in this workshop.")
    if row["state"] not in states:
        wanted = " or ".join(states)
        raise Refused(f"This pour is {row['state']}; it would have to be {wanted}.")
    return row


def _about(work: Work, row: RowMapping, said: str) -> None:
    work.subject = f"pour:{row['id']}"
    work.said = said
