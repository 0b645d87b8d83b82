from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st
from icalendar import Calendar
from sqlalchemy import select, update

from rushlight.store.tables import buyer, candle, channel, jar_lot, material, stock_lot
from rushlight.workshop import Workshop, pours
from rushlight.workshop.exchange import calendar
from rushlight.workshop.stores import jars as verbs
from rushlight.workshop.stores import orders
from tests.support import jars

TODAY = date(2026, 5, 12)
HOSTILE = (
    'Rain; wind, sea\\n\\ and "salt"\r\nEND:VEVENT\r\nBEGIN:VALARM\tx\u2028y\x00z ' + "🕯é" * 60
)


@pytest.fixture
def furnished(empty: Workshop) -> Workshop:
    """Return a workshop with two candles, a channel and two materials."""
    jars.furnish(empty)
    return empty


def _events(shop: Workshop) -> list[Any]:
    """Return the events as a calendar program reads them."""
    return _walked(calendar.events(shop))


def _walked(made: bytes) -> list[Any]:
    found: Any = Calendar.from_ical(made)
    return list(found.walk("VEVENT"))


def _told(event: Any) -> tuple[str, date, str, str]:
    (category,) = event["CATEGORIES"].cats
    return str(category), event["DTSTART"].dt, str(event["SUMMARY"]), str(event["DESCRIPTION"])


def _due(shop: Workshop, day: date) -> str:
    typed = {"channel": "saturday-market", "buyer": "Ada; Bell, and son", "due": day.isoformat()}
    line = {"lines.0.candle": "slipway", "lines.0.jars": "6", "lines.0.price": "9.00"}
    return orders.save(shop, None, {**typed, **line}).line.code


def test_every_kind_of_day_is_in_it(furnished: Workshop) -> None:
    """Cures, orders, pours and expiries, each on its day and in plain words."""
    lot = jars.jarred(furnished, "slipway", 12, poured=TODAY, cure=14)
    order = _due(furnished, date(2026, 6, 1))
    pour = pours.plan(furnished, "painters-locker", {"jars": "18"}, date(2026, 5, 20)).id
    stock = jars.stocked(
        *(furnished, "sea-lavender", 250_000),
        supplier_lot="B,7",
        expires=date(2026, 9, 30),
    )
    assert [_told(event) for event in _events(furnished)] == [
        ("Pour", date(2026, 5, 20), "Pour 18 jars of Painter's Locker", f"Pour {pour}"),
        ("Cure", date(2026, 5, 26), "Out of cure: 12 jars of Slipway", f"Lot {lot}"),
        (
            *("Order", date(2026, 6, 1)),
            f"Due: order {order}, 6 jars for Ada; Bell, and son",
            "Sold by Saturday market",
        ),
        (
            *("Expiry", date(2026, 9, 30), "Expires: Sea lavender"),
            f"Lot {stock}, 250 g left\nSupplier's lot B,7",
        ),
    ]


@pytest.mark.once
def test_events_are_as_the_standard_asks(furnished: Workshop) -> None:
    """All day, until the next; stamped in UTC; not blocking; no alarm; UUIDs (RFC 7986, 5.3)."""
    jars.jarred(furnished, "slipway", 12, cure=14)
    jars.jarred(furnished, "slipway", 1, cure=3)
    found: Any = Calendar.from_ical(calendar.events(furnished))
    assert found["VERSION"] == "2.0"
    assert found["PRODID"]
    assert found.walk("VALARM") == []
    events = found.walk("VEVENT")
    for event in events:
        assert type(event["DTSTART"].dt) is date
        assert event["DTEND"].dt - event["DTSTART"].dt == timedelta(days=1)
        assert event["DTSTAMP"].dt == datetime(2026, 5, 12, 9, 30, tzinfo=UTC)
        assert event["TRANSP"] == "TRANSPARENT"
        assert re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", event["UID"])
    assert len({event["UID"] for event in events}) == len(events) == 2
    assert str(events[0]["SUMMARY"]) == "Out of cure: 1 jar of Slipway"


@pytest.mark.once
def test_an_event_keeps_its_identifier(furnished: Workshop, clock: Any) -> None:
    """An order that is put off moves in the calendar, and does not appear twice."""
    code = _due(furnished, date(2026, 6, 1))
    (before,) = _events(furnished)
    clock.pass_by(days=1)
    typed = {"channel": "saturday-market", "due": "2026-06-08"}
    line = {"lines.0.candle": "slipway", "lines.0.jars": "6", "lines.0.price": "9.00"}
    orders.save(furnished, code, {**typed, **line})
    (after,) = _events(furnished)
    assert after["UID"] == before["UID"]
    assert after["DTSTART"].dt == date(2026, 6, 8)
    assert after["DTSTAMP"].dt > before["DTSTAMP"].dt


@pytest.mark.once
def test_two_workshops_can_be_shown_in_one_calendar(furnished: Workshop, shop: Workshop) -> None:
    """The same code in another workshop is another event."""
    jars.jarred(furnished, "slipway", 12, cure=14)
    jars.jarred(shop, "low-water", 12, poured=TODAY + timedelta(days=9), cure=14)
    ours = {event["UID"] for event in _events(furnished)}
    assert ours & {event["UID"] for event in _events(shop)} == set()


@pytest.mark.once
def test_what_asks_for_nothing_more_is_left_out(furnished: Workshop) -> None:
    """Jars sold, cures long over, orders sent, dates far ahead."""
    gone = jars.jarred(furnished, "slipway", 2, cure=5)
    verbs.take(furnished, gone, {"jars": "2", "fate": "given", "note": ""})
    jars.jarred(furnished, "slipway", 3, poured=TODAY - timedelta(days=40), cure=8)
    kept = jars.jarred(furnished, "slipway", 4, poured=TODAY - timedelta(days=40), cure=9)
    jars.stocked(furnished, "sea-lavender", 5, expires=TODAY + timedelta(days=367))
    orders.cancel(furnished, _due(furnished, date(2026, 6, 1)))
    assert [str(event["DESCRIPTION"]) for event in _events(furnished)] == [f"Lot {kept}"]


@pytest.mark.once
@how(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.one_of(st.just(HOSTILE), st.text(st.characters(exclude_categories=["Cs"]))))
def test_any_name_stays_a_name(furnished: Workshop, text: str) -> None:
    """Nothing in one ends an event, begins an alarm, or breaks a line; it is read back as typed."""
    with furnished.store.reading() as connection:
        there = connection.execute(select(jar_lot.c.id)).first() is not None
    if not there:
        jars.jarred(furnished, "slipway", 12, cure=14)
        jars.stocked(furnished, "sea-lavender", 5, expires=date(2026, 9, 30))
        _due(furnished, date(2026, 6, 1))
    with furnished.store.unit_of_work() as connection:
        for table in (candle, channel, material):
            connection.execute(update(table).values(name=text))
        connection.execute(update(buyer).values(name=text))
    made = calendar.events(furnished)
    _check_lines(made)
    assert Calendar.from_ical(made).walk("VALARM") == []
    events = _events(furnished)
    shown = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    said = {str(event["CATEGORIES"].cats[0]): str(event["SUMMARY"]) for event in events}
    assert said["Cure"] == f"Out of cure: 12 jars of {shown}".rstrip()
    assert said["Expiry"] == f"Expires: {shown}".rstrip()
    assert len(events) == 3


def _check_lines(made: bytes) -> None:
    """Check that lines end in CR LF and have at most 75 bytes (RFC 5545, 3.1)."""
    made.decode()
    assert made.endswith(b"\r\n")
    lines = made.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert not any(b"\r" in line or b"\n" in line for line in lines)


@pytest.mark.once
def test_long_lines_are_folded_between_letters(furnished: Workshop) -> None:
    """No letter of several bytes is cut in two."""
    with furnished.store.unit_of_work() as connection:
        connection.execute(update(candle).values(name="é🕯" * 80))
    jars.jarred(furnished, "slipway", 12, cure=14)
    made = calendar.events(furnished)
    _check_lines(made)
    for line in made.split(b"\r\n"):
        line.decode()
    (event,) = _events(furnished)
    assert str(event["SUMMARY"]).endswith("é🕯" * 80)


def test_a_new_workshop_has_an_empty_calendar(empty: Workshop) -> None:
    """Which a calendar program can follow from the first day."""
    found: Any = Calendar.from_ical(calendar.events(empty))
    assert found.walk("VEVENT") == []
    assert str(found["X-WR-CALNAME"]) == "My workshop: cures and due dates"


@pytest.mark.once
def test_a_retest_is_not_called_an_expiry(furnished: Workshop) -> None:
    """The day on a certificate may only ask for another look."""
    jars.stocked(furnished, "sea-lavender", 5, expires=date(2026, 9, 30))
    with furnished.store.unit_of_work() as connection:
        connection.exec_driver_sql("DROP TRIGGER stock_lot_kept")
        connection.execute(update(stock_lot).values(date_kind="retest"))
    assert _told(_events(furnished)[0])[::2] == ("Retest", "Retest: Sea lavender")
