from __future__ import annotations

import threading
import time
from datetime import timedelta
from typing import Any

import pytest

from rushlight.workshop import Workshop, materials
from rushlight.workshop.exchange import backups
from rushlight.workshop.exchange.keeper import backed_up

DAY = timedelta(days=1)


def _add(shop: Workshop, name: str) -> None:
    materials.save(shop, None, {"role": "wax", "name": name})


@pytest.mark.once
def test_while_it_is_open_it_is_backed_up(mine: Workshop, clock: Any) -> None:
    """At once, and when the day has changed, by a thread that ends with the program."""
    with backed_up(mine, every=0.02):
        _wait(lambda: len(backups.listing(mine)) == 1)
        clock.pass_by(days=1)
        _wait(lambda: len(backups.listing(mine)) == 2)
    assert "backups" not in {thread.name for thread in threading.enumerate()}


@pytest.mark.once
def test_serving_goes_on_whatever_goes_wrong(
    mine: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Even a fault of our own ends in a note, and the next look tries again."""
    tries = []

    def fail(_shop: Workshop) -> None:
        tries.append(1)
        raise ZeroDivisionError

    monkeypatch.setattr(backups, "now", fail)
    with backed_up(mine, every=0.02):
        _wait(lambda: len(tries) > 2)
        _add(mine, "Meanwhile")
    told = backups.trouble(mine)
    assert told is not None
    assert "ZeroDivisionError" in told.said


def _wait(until: Any) -> None:
    limit = time.monotonic() + 20
    while not until():
        assert time.monotonic() < limit
        time.sleep(0.01)
