"""A store in a new file, and a clock that stands still until moved."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rushlight.store.place import Store, create_store

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


@pytest.fixture
def clock() -> Callable[[], datetime]:
    """Return a clock that stands at noon."""
    return lambda: NOON


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return a name for a workshop file."""
    return tmp_path / "bench.rushlight"


@pytest.fixture
def store(path: Path, clock: Callable[[], datetime]) -> Iterator[Store]:
    """Return a new, empty store."""
    made = create_store(path, clock=clock, durable=False)
    yield made
    made.close()
