"""At the bench: weighings ticked, thermometer readings, timers."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.quantity import parse
from rushlight.quantity.si import Kilogram
from rushlight.workshop.pour_sheet import (
    kept_sheets,
    line_keys,
    reading_of,
    tick_of,
    timer_of,
)
from rushlight.workshop.pour_views import PourState, Reading, Tick, Timer
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import Typed, within

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

_COLDEST, _HOTTEST = 268.15, 423.15
"""[K] −5 and 150 °C, the bounds of `rushlight.heat.pot_readings`: beyond lies a slip."""
_HEAVIEST: Final = 500.0  # [kg] of one weighing
_LONGEST: Final = 90 * 86400.0  # [s] of a timer


def tick(  # noqa: PLR0913 - pour, pot and line name the place
    shop: Workshop, pour: int, pot: int, line: str, actual: str = "", *, key: str | None = None
) -> Tick:
    """Tick off a weighing with what the scale said (empty: as planned). Place: "actual".

    A bare number is taken in the workshop's unit of mass. Ticking again corrects it.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.queries.pours import weighing_row

    with deed_of(shop.store, "pour.tick", at=shop.now(), key=key) as work:
        if work.first is None:
            row = running(work.connection, pour)
            name, planned = _line(row, pot, line)
            mass, typed = _weighed(work.connection, actual, planned)
            entry = work.do(
                "weigh",
                pour_id=pour,
                pot=pot,
                line=line,
                amount=round(mass * 1_000_000),
                typed=typed,
            )
            work.subject = f"pour:{pour}:pot:{pot}:{line}"
            work.said = f"Weighed {name} for {row['name']}, pot {pot}."
            work.result = {"weighing": entry}
        found = weighing_row(work.connection, work.outcome()["weighing"])
    return tick_of(shop, _there(found))


def untick(shop: Workshop, pour: int, pot: int, line: str, *, key: str | None = None) -> None:
    """Take a tick back, by an entry of its own."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.queries.pours import ticks

    with deed_of(shop.store, "pour.untick", at=shop.now(), key=key) as work:
        if work.first is None:
            row = running(work.connection, pour)
            name, _ = _line(row, pot, line)
            entries = ticks(work.connection, pour)
            if not any(entry["pot"] == pot and entry["line"] == line for entry in entries):
                raise Refused(f"{name} is not ticked in pot {pot}.")
            work.do("weigh", pour_id=pour, pot=pot, line=line, amount=None, typed="")
            work.subject = f"pour:{pour}:pot:{pot}:{line}"
            work.said = f"Took back the weighing of {name} for {row['name']}, pot {pot}."


def read_temperature(
    shop: Workshop, pour: int, pot: int, typed: str, *, key: str | None = None
) -> Reading:
    """Note a thermometer reading, now. Place: "temperature".

    A bare number is taken in the workshop's unit of temperature.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries.pours import reading_row, readings

    with deed_of(shop.store, "pour.read", at=shop.now(), key=key) as work:
        if work.first is None:
            row = running(work.connection, pour)
            _pot(row, pot)
            kelvin = _temperature(work.connection, typed)
            at = stamp(work.at)
            if any(r["pot"] == pot and r["at"] >= at for r in readings(work.connection, pour)):
                raise Refused("There is a reading of this moment already. Read again in a while.")
            number = work.add(
                "reading",
                pour_id=pour,
                pot=pot,
                millikelvin=round(kelvin * 1000),
                typed=typed.strip(),
                at=at,
            )
            work.subject = f"reading:{number}"
            work.said = f"Read {typed.strip()} of {row['name']}, pot {pot}."
            work.result = {"reading": number}
        found = reading_row(work.connection, work.outcome()["reading"])
    return reading_of(shop, _there(found))


def withdraw_reading(shop: Workshop, pour: int, reading: int, *, key: str | None = None) -> None:
    """Take a reading back; it stays in the file, out of use."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries.pours import reading_row

    with deed_of(shop.store, "pour.withdraw", at=shop.now(), key=key) as work:
        if work.first is None:
            row = running(work.connection, pour)
            found = reading_row(work.connection, reading)
            if found is None or found["pour_id"] != pour or found["retired_at"] is not None:
                raise NotFound(f"There is no reading {reading} of this pour.")
            work.change("reading", reading, retired_at=stamp(work.at))
            work.subject = f"reading:{reading}"
            work.said = f"Took back the reading of {found['typed']} of {row['name']}."


def start_timer(  # noqa: PLR0913 - pour and pot name the place
    shop: Workshop, pour: int, pot: int, name: str, typed: str, *, key: str | None = None
) -> Timer:
    """Start a timer of a typed duration ("2 min"); its deadline is kept. Places: name, time."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries.pours import timer_row

    with deed_of(shop.store, "timer.start", at=shop.now(), key=key) as work:
        if work.first is None:
            row = running(work.connection, pour)
            _pot(row, pot)
            form = Typed({"name": name, "time": typed}, ("name", "time"))
            said = form.needed("name", "The timer has no name.", "Type what it is for.")
            form.needed("time", "How long is missing.", "Type it, like 2 min.")
            lasts = form.read("time", within(parse.duration, 1, _LONGEST, "from 1 s to 90 days"))
            form.problems.check()
            number = work.add(
                "timer",
                pour_id=pour,
                pot=pot,
                name=said,
                started_at=stamp(work.at),
                deadline=stamp(work.at + timedelta(seconds=float(lasts or 0))),
            )
            work.subject = f"timer:{number}"
            work.said = f"Started the timer “{said}” of {row['name']}, pot {pot}."
            work.result = {"timer": number}
        found = timer_row(work.connection, work.outcome()["timer"])
    return timer_of(shop, _there(found))


def stop_timer(shop: Workshop, pour: int, timer: int, *, key: str | None = None) -> Timer:
    """Stop a timer; one already stopped stays as it is."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries.pours import timer_row

    with deed_of(shop.store, "timer.stop", at=shop.now(), key=key) as work:
        found = timer_row(work.connection, timer)
        if found is None or found["pour_id"] != pour:
            raise NotFound(f"There is no timer {timer} of this pour.")
        if work.first is None and found["stopped_at"] is None:
            work.change("timer", timer, stopped_at=stamp(work.at))
            work.subject = f"timer:{timer}"
            work.said = f"Stopped the timer “{found['name']}”."
        found = timer_row(work.connection, timer)
    return timer_of(shop, _there(found))


def running(connection: Connection, pour: int) -> RowMapping:
    """Return the row of a running pour; NotFound, Refused."""
    from rushlight.workshop.pours import in_state

    return in_state(connection, pour, PourState.RUNNING)


def _there(row: RowMapping | None) -> RowMapping:
    if row is None:
        raise NotFound("This entry is not there any more.")
    return row


def _pot(row: RowMapping, pot: int) -> None:
    _, batch = kept_sheets(row)
    if not 1 <= pot <= batch.pots:
        raise NotFound(f"This pour has no pot {pot}.")


def _line(row: RowMapping, pot: int, line: str) -> tuple[str, Kilogram]:
    """Return the name and planned mass of a line of a pot."""
    _, batch = kept_sheets(row)
    planned = dict(zip(line_keys(batch), batch.lines, strict=True))
    if not 1 <= pot <= batch.pots or line not in planned:
        raise NotFound(f"There is no “{line[:60]}” to weigh in pot {pot} of this pour.")
    return planned[line].name, planned[line].pot


def _weighed(connection: Connection, actual: str, planned: Kilogram) -> tuple[Kilogram, str]:
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    typed = actual.strip()
    if not typed:
        return planned, ""
    unit = settings_of(settings(connection)).preference.mass
    reader = within(lambda text: parse.mass(text, default=unit), 0, _HEAVIEST, "from 0 g to 500 kg")
    try:
        return reader(typed), typed
    except BadInput as bad:
        raise bad.at("actual") from bad


def _temperature(connection: Connection, typed: str) -> float:
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    unit = settings_of(settings(connection)).preference.temperature
    reader = within(
        lambda text: parse.temperature(text, default=unit),
        _COLDEST,
        _HOTTEST,
        "what the thermometer shows, from −5 to 150 °C (23 to 302 °F)",
    )
    try:
        return reader(typed)
    except BadInput as bad:
        raise bad.at("temperature") from bad
