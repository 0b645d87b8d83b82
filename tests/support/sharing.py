"""What several benches do to one workshop at once, each write resting on what is there."""

from __future__ import annotations

from sqlalchemy import delete, insert, select

from rushlight.store.place import Store
from rushlight.store.queries.others import settings
from rushlight.store.tables import deed, setting
from rushlight.workshop import Workshop, candles, materials
from tests.support import steps
from tests.support.bench import OAR

COUNT = "count of a test"
GRAMS = 7


def share(store: Store, name: str, times: int) -> None:
    """Count one on, receive some wax and revise the candle, so many times over."""
    shop = Workshop(store, lambda: steps.START)
    for number in range(times):
        key = f"{name} {number}"
        _count_on(store)
        materials.receive(shop, "test-soy", {"amount": f"{GRAMS} g"}, key=f"{key} received")
        candles.save(shop, "oar", {**OAR, "note": key}, key=f"{key} revised")


def _count_on(store: Store) -> None:
    """Read a number and write it back one higher, as two statements."""
    with store.unit_of_work() as connection:
        now = int(settings(connection).get(COUNT, "0"))
        connection.execute(delete(setting).where(setting.c.name == COUNT))
        connection.execute(insert(setting).values(name=COUNT, value=str(now + 1)))


def check(store: Store, names: list[str], times: int) -> None:
    """Check that every one of the writes is there, once, and rests on all before it."""
    shop = Workshop(store, lambda: steps.START)
    number = len(names) * times
    with store.reading() as connection:
        assert settings(connection)[COUNT] == str(number)
        keys = connection.execute(select(deed.c.key).where(deed.c.key.is_not(None))).scalars()
        assert sorted(keys) == sorted(
            f"{name} {turn} {what}"
            for name in names
            for turn in range(times)
            for what in ("received", "revised")
        )
    assert materials.get(shop, "test-soy").on_hand.units == number * GRAMS * 1000
    revisions = candles.history(shop, "oar")
    assert sorted(view.number for view in revisions) == list(range(1, number + 2))
