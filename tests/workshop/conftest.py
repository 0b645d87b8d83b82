"""Workshops to work in: an empty one, and the demonstration, built once and copied."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from rushlight import demo
from rushlight.workshop import Workshop
from rushlight.workshop.opening import create_workshop, open_workshop


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
def empty(tmp_path: Path, clock: Clock) -> Iterator[Workshop]:
    """Return a new workshop with nothing in it."""
    shop = create_workshop(tmp_path / "empty.rushlight", clock=clock, durable=False)
    yield shop
    shop.close()


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the file of a demonstration; nobody writes to it."""
    path = tmp_path_factory.mktemp("demo") / "boathouse.rushlight"
    demo.build(path, clock=Clock()).close()
    return path


@pytest.fixture
def shop(built: Path, tmp_path: Path, clock: Clock) -> Iterator[Workshop]:
    """Return a demonstration of one's own."""
    path = tmp_path / "boathouse.rushlight"
    shutil.copyfile(built, path)
    opened = open_workshop(path, clock=clock)
    yield opened
    opened.close()
