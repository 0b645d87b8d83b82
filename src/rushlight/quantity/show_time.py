"""Durations and times of day as text."""

from __future__ import annotations

import datetime as dt
from typing import Protocol

from rushlight.quantity.figure import MINUS
from rushlight.quantity.si import Second

_MINUTE, _HOUR, _DAY = 60, 3600, 86400


class SpanLike(Protocol):
    """Anything with a shortest and a longest time [s], such as `candle.parts.Span`."""

    @property
    def low(self) -> Second:
        """The shortest time [s]."""

    @property
    def high(self) -> Second:
        """The longest time [s]."""


def duration(seconds: Second) -> str:
    """Return a duration [s]: "45 s", "2 min", "1 min 30 s", "1 h 30 min", "7 days"."""
    if seconds < 0:
        return MINUS + duration(Second(-seconds))
    whole = round(seconds)
    if whole < _HOUR:
        return _two(whole, _MINUTE, "min", "s")
    minutes = round(seconds / _MINUTE)
    if minutes < 2 * _DAY // _MINUTE:
        return _two(minutes, _HOUR // _MINUTE, "h", "min")
    return _two(round(seconds / _HOUR), _DAY // _HOUR, "days", "h")


def _two(count: int, size: int, large: str, small: str) -> str:
    """Return a count of the small unit as large and small, leaving out what is nothing."""
    over, under = divmod(count, size)
    parts = [f"{over} {large}"] if over else []
    if under or not over:
        parts.append(f"{under} {small}")
    return " ".join(parts)


def duration_span(span: SpanLike) -> str:
    """Return a range of times [s]: "1–2 min", "90 s to 2 min", "7 days"."""
    low, high = duration(span.low), duration(span.high)
    if low == high:
        return low
    first, last = low.split(" "), high.split(" ")
    if len(first) == len(last) == 2 and first[1] == last[1] and MINUS not in low:  # noqa: PLR2004 - number and unit
        return f"{first[0]}–{high}"
    return f"{low} to {high}"


def clock(time: dt.time | dt.datetime) -> str:
    """Return a time of day: "14:32"."""
    return f"{time:%H:%M}"
