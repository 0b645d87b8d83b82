"""A day or a period as it is asked for in an address, and the ones that are asked for most."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from rushlight.errors import BadInput, Problems
from rushlight.workshop.typed import day as read_day

_QUARTER = 3


@dataclass(frozen=True, slots=True)
class Period:
    """Days from a first to a last, both counted, and what they are called."""

    name: str
    first: date
    last: date


def asked_day(text: str, today: date) -> date:
    """Return the day that was typed, today where it is empty; BadInput (place "day")."""
    if not text.strip():
        return today
    try:
        return read_day(text)
    except BadInput as bad:
        raise bad.at("day") from None


def asked_period(first: str, last: str, today: date) -> Period:
    """Return the period that was typed; the last twelve months where both are empty.

    An empty first day is that of the year of the last, an empty last day is today. BadInput
    (places "from" and "to") with both problems.
    """
    if not (first.strip() or last.strip()):
        return usual(today)[-1]
    problems = Problems()
    found: dict[str, date] = {}
    for place, text in (("from", first), ("to", last)):
        try:
            if text.strip():
                found[place] = read_day(text)
        except BadInput as bad:
            problems.extend(bad.at(place).problems)
    problems.check()
    end = found.get("to", max(today, found.get("from", today)))
    begin = found.get("from", end.replace(month=1, day=1))
    if begin > end:
        raise BadInput.one("The last day comes before the first.", "Swap the two.", "to")
    return Period("", begin, end)


def usual(today: date) -> tuple[Period, ...]:
    """Return the periods that are asked for most."""
    month = today.replace(day=1)
    before = month - timedelta(days=1)
    quarter = today.replace(month=today.month - (today.month - 1) % _QUARTER, day=1)
    ended = quarter - timedelta(days=1)
    begun = ended.replace(month=ended.month - 2, day=1)
    year = today.replace(month=1, day=1)
    last = year - timedelta(days=1)
    return (
        Period("this month", month, today),
        Period("last month", before.replace(day=1), before),
        Period("this quarter", quarter, today),
        Period("last quarter", begun, ended),
        Period("this year", year, today),
        Period("last year", last.replace(month=1, day=1), last),
        Period("the last twelve months", _year_before(today) + timedelta(days=1), today),
    )


def ends(today: date) -> tuple[tuple[str, date], ...]:
    """Return the days at whose end stores are valued most often."""
    named = {period.name: period.last for period in usual(today)}
    return (
        ("today", today),
        ("the end of last month", named["last month"]),
        ("the end of last quarter", named["last quarter"]),
        ("the end of last year", named["last year"]),
    )


def _year_before(day: date) -> date:
    """Return the same day a year before; of the 29th of February, the 28th."""
    try:
        return day.replace(year=day.year - 1)
    except ValueError:
        return day.replace(year=day.year - 1, day=28)
