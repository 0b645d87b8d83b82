"""Labour timed at the bench: who worked on which step of a pour, from when to when.

The steps are those of the settings. Several people may work at once, on one step or on
several; one person works on one step at a time. A step nobody timed counts by its planned time.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Final, Literal

from rushlight.errors import NotFound, Refused
from rushlight.workshop.pour_states import about, existing, in_state
from rushlight.workshop.pour_views import PourState
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.views import Worked
from rushlight.workshop.typed import Typed

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work

_MOST_NAMES: Final = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchStep:
    """A step of a pour. planned: for all its jars. timed: so far, None where nobody timed it."""

    name: str
    per: Literal["batch", "jar"]
    planned: timedelta
    timed: timedelta | None
    running: tuple[Worked, ...]


def steps(shop: Workshop, pour: int) -> tuple[BenchStep, ...]:
    """Return the steps of a pour with their times so far; NotFound."""
    from rushlight.store.queries.others import settings
    from rushlight.workshop.pour_sheet import kept_sheets
    from rushlight.workshop.settings import settings_of

    times = listing(shop, pour)
    with shop.store.reading() as connection:
        jars = kept_sheets(existing(connection, pour))[1].jars_poured
        known = settings_of(settings(connection)).labour
    now = shop.now()
    found = []
    for step in known:
        own = [one for one in times if one.step == step.name]
        ran = (max(one.stopped_at or now, one.started_at) - one.started_at for one in own)
        spent = sum(ran, timedelta())
        found.append(
            BenchStep(
                name=step.name,
                per=step.per,
                planned=timedelta(seconds=step.time * (1 if step.per == "batch" else jars)),
                timed=spent if own else None,
                running=tuple(one for one in own if one.stopped_at is None),
            )
        )
    return tuple(found)


def listing(shop: Workshop, pour: int) -> tuple[Worked, ...]:
    """Return the times worked on a pour, as they were begun; NotFound."""
    from rushlight.store.queries.pouring import worked_rows

    with shop.store.reading() as connection:
        existing(connection, pour)
        rows = worked_rows(connection, pour)
    return tuple(_worked(shop, row) for row in rows)


def people(shop: Workshop) -> tuple[str, ...]:
    """Return the names of those who poured or worked on a pour, who did so last first."""
    from rushlight.store.queries.pouring import people as names

    with shop.store.reading() as connection:
        return tuple(names(connection, _MOST_NAMES))


def start(
    shop: Workshop, pour: int, step: str, person: str = "", *, key: str | None = None
) -> Worked:
    """Start to time a step, now. person: who works; empty: who started the pour.

    Refused while the same person is timed on this pour. Places: step, person.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries.pouring import worked_rows

    with deed_of(shop.store, "work.start", at=shop.now(), key=key) as work:
        if work.first is None:
            row = in_state(work.connection, pour, PourState.RUNNING)
            name, who = _form(work.connection, row, {"step": step, "person": person})
            for other in worked_rows(work.connection, pour):
                if other["stopped_at"] is None and other["person"] == who:
                    whose = who or "This work"
                    raise Refused(f"{whose} is timed on “{other['step']}” already. Stop it first.")
            number = work.add(
                "worked", pour_id=pour, step=name, person=who, started_at=stamp(work.at)
            )
            about(work, row, f"Began “{name}” for {row['name']}.")
            work.result = {"worked": number}
        return _worked(shop, _row(work.connection, pour, work.outcome()["worked"]))


def stop(shop: Workshop, pour: int, number: int, *, key: str | None = None) -> Worked:
    """Stop timing, now; what was stopped already stays as it is. NotFound."""
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "work.stop", at=shop.now(), key=key) as work:
        if work.first is None:
            found = _row(work.connection, pour, number)
            if found["stopped_at"] is None:
                row = in_state(work.connection, pour, PourState.RUNNING)
                _stop(work, found)
                about(work, row, f"Ended “{found['step']}” for {row['name']}.")
            work.result = {"worked": number}
        return _worked(shop, _row(work.connection, pour, work.outcome()["worked"]))


def withdraw(shop: Workshop, pour: int, number: int, *, key: str | None = None) -> None:
    """Take a time back, while the pour runs; it stays in the file, out of use. NotFound."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp

    with deed_of(shop.store, "work.withdraw", at=shop.now(), key=key) as work:
        if work.first is None:
            found = _row(work.connection, pour, number)
            row = in_state(work.connection, pour, PourState.RUNNING)
            work.change("worked", number, retired_at=stamp(work.at))
            about(work, row, f"Took back a time of “{found['step']}” for {row['name']}.")


def stop_all(work: Work, pour: int) -> None:
    """Stop every time that still runs, for the pour is over."""
    from rushlight.store.queries.pouring import worked_rows

    for row in worked_rows(work.connection, pour):
        if row["stopped_at"] is None:
            _stop(work, row)


def _stop(work: Work, row: RowMapping) -> None:
    from rushlight.store.marks import stamp

    # a clock may have been put back, or that of a second bench be slow
    work.change("worked", row["id"], stopped_at=max(stamp(work.at), row["started_at"]))


def _form(connection: Connection, row: RowMapping, typed: dict[str, str]) -> tuple[str, str]:
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    form = Typed(typed, ("step", "person"))
    name = form.needed("step", "The step is missing.", "Choose which step it is.")
    known = [step.name for step in settings_of(settings(connection)).labour]
    if name and name not in known:
        form.problems.add(
            "step", "This is no step of the work.", f"Choose from {', '.join(known)}."
        )
    who = " ".join(form.text("person").split()) or str(row["person"])
    form.problems.check()
    return name, who


def _row(connection: Connection, pour: int, number: int) -> RowMapping:
    from rushlight.store.queries.pouring import worked_row

    found = worked_row(connection, number)
    if found is None or found["pour_id"] != pour or found["retired_at"] is not None:
        raise NotFound(f"There is no time {number} of this pour.")
    return found


def _worked(shop: Workshop, row: RowMapping) -> Worked:
    from rushlight.store.marks import moment

    stopped = row["stopped_at"]
    return Worked(
        id=row["id"],
        step=row["step"],
        person=row["person"],
        started_at=shop.local(moment(row["started_at"])),
        stopped_at=shop.local(moment(stopped)) if stopped else None,
    )
