"""A workshop that is open tells the time of its bench."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from rushlight.workshop import Workshop, wall_clock
from rushlight.workshop.stores import orders
from rushlight.workshop.stores.recalling import recall
from tests.support.jars import furnish, jarred

LATE_IN_JULY = datetime(2026, 7, 15, 23, 30, tzinfo=UTC)
LATE_IN_JANUARY = datetime(2026, 1, 15, 23, 30, tzinfo=UTC)
# British Summer Time runs from the last Sunday of March to that of October: Summer Time Order 2002
JULY, JANUARY = (datetime(2026, 7, 16, 0, 30), datetime(2026, 1, 15, 23, 30))  # noqa: DTZ001 - as read off the wall


@pytest.fixture
def in_london(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let the machine stand in London."""
    monkeypatch.setenv("TZ", "Europe/London")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.usefixtures("in_london")
def test_a_moment_is_told_by_the_summer_time_of_its_own_day(empty: Workshop) -> None:
    """Whatever the season is when it is looked at: a jar's day does not change in October."""
    shop = Workshop(empty.store, wall_clock)
    told = [shop.local(moment).replace(tzinfo=None) for moment in (LATE_IN_JULY, LATE_IN_JANUARY)]
    assert told == [JULY, JANUARY]


def test_a_clock_with_a_zone_tells_the_summer_time_of_each_day(empty: Workshop) -> None:
    """A clock that is handed in says in which zone the bench stands."""
    shop = Workshop(empty.store, lambda: LATE_IN_JANUARY.astimezone(ZoneInfo("Europe/London")))
    assert shop.local(LATE_IN_JULY).replace(tzinfo=None) == JULY


@pytest.mark.usefixtures("in_london")
def test_a_recall_in_winter_says_the_day_of_summer_on_which_an_order_was_sent(
    empty: Workshop,
) -> None:
    """Sold at half past midnight in July: that day, as the order says, and not the one before."""
    in_july = Workshop(empty.store, lambda: LATE_IN_JULY + timedelta(hours=1))
    furnish(in_july)
    code = jarred(in_july, "slipway", 3)
    night = Workshop(empty.store, LATE_IN_JULY.astimezone)
    orders.sell(night, {"lot": code, "jars": "1", "channel": "saturday-market", "price": "9"})
    (sale,) = recall(Workshop(empty.store, wall_clock), code).sales
    assert (sale.placed_on, sale.sent_on) == (date(2026, 7, 16), date(2026, 7, 16))
