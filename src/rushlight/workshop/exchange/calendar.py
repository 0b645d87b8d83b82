"""The workshop's days as a calendar file: RFC 5545, read by every calendar program.

All-day events: jars out of cure, orders due, pours planned, lots that expire within a year.
None blocks the day and none rings: a cure that ends is no appointment. What is a month past is
left out, so that a calendar that follows the workshop does not grow without end; an open order
stays, however late it is.

The identifier of an event is a UUID (RFC 7986, 5.3: it names no person, machine or domain),
made of the workshop's first moment and a code that never changes, so that an event which moved
moves in the calendar too, and two workshops can be shown in one.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from icalendar import Event
    from sqlalchemy import Connection, RowMapping

    from rushlight.quantity.preference import Preference

_BACK: Final = timedelta(days=31)
_AHEAD: Final = timedelta(days=366)
_ONE: Final = timedelta(days=1)
_OURS: Final = uuid.UUID("ec7687ae-8bc5-4070-9b8f-0881fc62319e")  # drawn once, for this use
_PRODUCT: Final = "-//Rushlight//Workshop calendar//EN"


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One all-day event. told: what its identifier is made of."""

    told: str
    on: date
    said: str
    more: str
    category: str


def events(shop: Workshop) -> bytes:
    """Return the calendar: lines of at most 75 bytes that end in CR LF, UTF-8."""
    from icalendar import Calendar

    from rushlight.store.queries.days import first_moment
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    with shop.store.reading() as connection:
        made = settings_of(settings(connection))
        seed = first_moment(connection)
        days = sorted(_days(shop, connection, made.preference), key=lambda day: day.on)
    name = _line(f"{made.name}: cures and due dates")
    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)  # RFC 7986, 5.1
    calendar.add("x-wr-calname", name)  # what most programs read instead
    now = shop.now().astimezone(UTC).replace(microsecond=0)
    for day in days:
        calendar.add_component(_event(day, seed, now))
    return bytes(calendar.to_ical())


def _event(day: Day, seed: str, now: datetime) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", str(uuid.uuid5(_OURS, f"{seed} {day.told}")))
    event.add("dtstamp", now)
    event.add("dtstart", day.on)
    event.add("dtend", day.on + _ONE)
    event.add("summary", _line(day.said))
    if day.more:
        event.add("description", _lines(day.more))
    event.add("categories", [day.category])
    event.add("transp", "TRANSPARENT")
    return event


def _days(shop: Workshop, connection: Connection, shown: Preference) -> Iterator[Day]:
    from rushlight.store.queries import days as query

    today = shop.today()
    yield from _cures(query.cures(connection, today - _BACK))
    yield from _orders(query.orders_due(connection))
    yield from _pours(query.pours_planned(connection))
    yield from _expiries(query.lots_expiring(connection, today - _BACK, today + _AHEAD), shown)


def _cures(rows: Iterable[RowMapping]) -> Iterator[Day]:
    for row in rows:
        yield Day(
            told=f"cure {row['code']}",
            on=date.fromisoformat(row["ready_on"]),
            said=f"Out of cure: {_jars(row['jars'])} of {row['name']}",
            more=f"Lot {row['code']}",
            category="Cure",
        )


def _orders(rows: Iterable[RowMapping]) -> Iterator[Day]:
    for row in rows:
        whom = f" for {row['buyer']}" if row["buyer"] else ""
        yield Day(
            told=f"order {row['code']}",
            on=date.fromisoformat(row["due_on"]),
            said=f"Due: order {row['code']}, {_jars(row['jars'])}{whom}",
            more=f"Sold by {row['channel']}",
            category="Order",
        )


def _pours(rows: Iterable[RowMapping]) -> Iterator[Day]:
    for row in rows:
        yield Day(
            told=f"pour {row['id']}",
            on=date.fromisoformat(row["planned_for"]),
            said=f"Pour {_jars(row['jars'])} of {row['name']}",
            more=f"Pour {row['id']}",
            category="Pour",
        )


def _expiries(rows: Iterable[RowMapping], shown: Preference) -> Iterator[Day]:
    for row in rows:
        retest = row["date_kind"] == "retest"
        theirs = f"\nSupplier's lot {row['supplier_lot']}" if row["supplier_lot"] else ""
        yield Day(
            told=f"expiry {row['code']}",
            on=date.fromisoformat(row["expires_on"]),
            said=f"{'Retest' if retest else 'Expires'}: {row['name']}",
            more=f"Lot {row['code']}, {_left(row, shown)} left{theirs}",
            category="Retest" if retest else "Expiry",
        )


def _left(row: RowMapping, shown: Preference) -> str:
    from rushlight.quantity import show
    from rushlight.quantity.si import Kilogram

    if row["measure"] == "pieces":
        return f"{row['amount']} pieces"
    return show.mass(Kilogram(row["amount"] / 1e6), shown)


def _jars(number: int) -> str:
    return "1 jar" if number == 1 else f"{number} jars"


def _line(text: str) -> str:
    """Return a text as one line without signs that a calendar may not hold (RFC 5545, 3.3.11)."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _lines(text: str) -> str:
    return "\n".join(_line(line) for line in text.split("\n"))
