"""What stands once the program is up is left alone by later collections of garbage."""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator
from threading import Event

import pytest

from rushlight.web.settle import settle, settle_when_warm
from rushlight.workshop.stove import Stove


@pytest.fixture(autouse=True)
def thawed() -> Iterator[None]:
    """Leave the collector as it was."""
    yield
    gc.unfreeze()


def test_what_stands_is_left_alone() -> None:
    """Thousands of objects of the modules and of the test run are frozen."""
    gc.unfreeze()
    settle()
    assert gc.get_freeze_count() > 10_000


def test_it_settles_again_when_the_kernels_are_warm() -> None:
    """Now, and once more: what the warming brought is left alone as well."""
    gc.unfreeze()
    cold = Event()

    def warm() -> None:
        cold.wait(10)

    stove = Stove(warm=warm)
    settle_when_warm(stove)
    first = gc.get_freeze_count()
    assert first > 10_000
    brought = [[number] for number in range(50_000)]
    stove.warm_soon(after=0.0)
    cold.set()
    limit = time.monotonic() + 10
    while gc.get_freeze_count() < first + len(brought) // 2:
        assert time.monotonic() < limit, "it did not settle again"
        time.sleep(0.01)
    stove.close()
