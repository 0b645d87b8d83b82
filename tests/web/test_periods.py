from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.web.periods import asked_day, asked_period, ends, usual

TODAY = date(2026, 5, 12)
days = st.dates(min_value=date(1992, 1, 1), max_value=date(2199, 12, 31))


def test_the_periods_asked_for_most_follow_the_calendar() -> None:
    """By hand, on the 12th of May 2026."""
    found = {one.name: (one.first.isoformat(), one.last.isoformat()) for one in usual(TODAY)}
    assert found == {
        "this month": ("2026-05-01", "2026-05-12"),
        "last month": ("2026-04-01", "2026-04-30"),
        "this quarter": ("2026-04-01", "2026-05-12"),
        "last quarter": ("2026-01-01", "2026-03-31"),
        "this year": ("2026-01-01", "2026-05-12"),
        "last year": ("2025-01-01", "2025-12-31"),
        "the last twelve months": ("2025-05-13", "2026-05-12"),
    }
    assert [str(day) for _, day in ends(TODAY)] == [
        "2026-05-12",
        "2026-04-30",
        "2026-03-31",
        "2025-12-31",
    ]


@given(days)
def test_each_begins_on_a_first_and_what_is_over_ends_before_it_begins_anew(today: date) -> None:
    """On any day of any year, leap days too."""
    found = {one.name: one for one in usual(today)}
    for unit in ("month", "quarter", "year"):
        now, before = found[f"this {unit}"], found[f"last {unit}"]
        assert now.first == before.last + timedelta(days=1)
        assert before.first.day == now.first.day == 1
        assert now.first <= today == now.last
    whole = found["the last twelve months"]
    assert 365 <= (whole.last - whole.first).days + 1 <= 366


def test_what_was_typed_is_read_and_what_is_empty_follows() -> None:
    """A first day alone runs to today, a last day alone from the first of its year."""
    assert asked_period("2026-02-01", "", TODAY).last == TODAY
    assert asked_period("", "2025-06-30", TODAY).first == date(2025, 1, 1)
    assert asked_period("", " ", TODAY).name == "the last twelve months"
    assert asked_day("", TODAY) == TODAY
    assert asked_day("2026-03-31", TODAY) == date(2026, 3, 31)


def test_what_is_wrong_is_said_in_its_place() -> None:
    """Both days at once."""
    with pytest.raises(BadInput) as caught:
        asked_period("May", "2026-02-30", TODAY)
    assert [problem.place for problem in caught.value.problems] == ["from", "to"]
    with pytest.raises(BadInput, match="before") as caught:
        asked_period("2026-02-02", "2026-02-01", TODAY)
    assert caught.value.problems[0].place == "to"
    with pytest.raises(BadInput) as caught:
        asked_day("yesterday", TODAY)
    assert caught.value.problems[0].place == "day"
