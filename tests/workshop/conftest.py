"""Workshops to work in: an empty one, and the demonstration, built once and copied."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from rushlight import demo
from rushlight.workshop import Workshop
from rushlight.workshop.opening import open_workshop
from tests.support.homes import Home


class Clock:
    """A clock moved by hand."""

    def __init__(self) -> None:
        """Stand at half past ten on a morning in May."""
        self.now = datetime(2026, 5, 12, 10, 30, tzinfo=timezone(timedelta(hours=1)))

    def __call__(self) -> datetime:
        """Return the time it shows."""
        return self.now

    def pass_by(self, **how: float) -> None:
        """Let time pass."""
        self.now += timedelta(**how)


@pytest.fixture
def clock() -> Clock:
    """Return a clock that stands still until moved."""
    return Clock()


@pytest.fixture
def empty(home: Home, clock: Clock) -> Iterator[Workshop]:
    """Return a new workshop with nothing in it."""
    shop = Workshop(home.store("empty", clock), clock)
    yield shop
    shop.close()


@pytest.fixture
def shop(home: Home, clock: Clock) -> Iterator[Workshop]:
    """Return a demonstration of one's own: built once, and copied."""
    opened = open_workshop(home.filled("boathouse", _demo), clock=clock)
    yield opened
    opened.close()


def _demo(place: str | Path) -> None:
    demo.fill(place, now=Clock().now)
