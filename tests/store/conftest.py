"""A new store, and a clock that stands still until moved."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rushlight.store.place import Store
from tests.support.homes import Home

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


@pytest.fixture
def clock() -> Callable[[], datetime]:
    """Return a clock that stands at noon."""
    return lambda: NOON


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return the name of the workshop file; who asks for it is about files only."""
    return tmp_path / "bench.rushlight"


@pytest.fixture
def store(home: Home, clock: Callable[[], datetime]) -> Iterator[Store]:
    """Return a new, empty store."""
    made = home.store("bench", clock)
    yield made
    made.close()
