"""Hundreds of writes through the verbs, each the same whoever does it and however often.

Ten kinds go round: receive, revise, plan, start, weigh, read, finish, sell, scrap, undo. Each
carries its key and is done at its own minute, so that a workshop in which the first so many
were done is the same to the last byte of every row, whatever happened in between.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, select

from rushlight.demo.build import Hand
from rushlight.store.place import Store
from rushlight.store.tables import deed, metadata
from rushlight.workshop import Workshop, candles, pours, prices, undo
from rushlight.workshop.stores import jars, lots, orders, receiving
from tests.support.bench import OAR, equip

START = datetime(2026, 5, 12, 6, 0, tzinfo=UTC)
_KEY = "step "


def prepare(store: Store) -> None:
    """Fit out an empty workshop for the steps."""
    shop = Workshop(store, Hand(START))
    equip(shop)
    prices.save_channel(
        shop, None, {"name": "Fair", "kind": "market stall", "aim": "price", "target": "15"}
    )


def do(store: Store, number: int) -> None:
    """Do one write; done before, it is not done again."""
    shop = Workshop(store, Hand(START + timedelta(minutes=1 + number)))
    _STEPS[number % len(_STEPS)](shop, number, f"{_KEY}{number}")


def done(connection: Connection) -> int:
    """Return how many were done: the first so many, without a gap."""
    keys = connection.execute(select(deed.c.key).where(deed.c.key.startswith(_KEY))).scalars()
    numbers = sorted(int(key.removeprefix(_KEY)) for key in keys)
    assert numbers == list(range(len(numbers))), "a write was lost, and a later one was not"
    return len(numbers)


def digest(connection: Connection) -> str:
    """Return a fingerprint of every row of every table."""
    found = hashlib.sha256()
    for table in metadata.sorted_tables:
        for row in sorted(map(repr, connection.execute(select(table)))):
            found.update(f"{table.name}{row}\n".encode())
    return found.hexdigest()


def _receive(shop: Workshop, number: int, key: str) -> None:
    lines = (("test-soy", "5 kg", "40"), ("test-tumbler", "24", "36"), ("test-wick", "24", "2.40"))
    typed = {"supplier": "Nobody", "freight": "7.30"}
    for line, (material, pack, price) in enumerate(lines):
        told = {"material": material, "packs": "1", "pack": pack, "price": price}
        told["supplier_lot"] = f"N{number}"
        typed |= {f"lines.{line}.{field}": text for field, text in told.items()}
    receiving.receive(shop, typed, key=key)


def _revise(shop: Workshop, number: int, key: str) -> None:
    candles.save(shop, "oar", {**OAR, "note": f"As thought of at {number}"}, key=key)


def _plan(shop: Workshop, _number: int, key: str) -> None:
    pours.plan(shop, "oar", {"jars": "6"}, shop.today(), key=key)


def _pour(shop: Workshop) -> int:
    return pours.listing(shop)[0].id


def _start(shop: Workshop, _number: int, key: str) -> None:
    pours.start(shop, _pour(shop), {"person": "Ada"}, key=key)


def _weigh(shop: Workshop, _number: int, key: str) -> None:
    pour = _pour(shop)
    line = pours.get(shop, pour).pots[0].lines[0].key
    pours.tick(shop, pour, 1, line, "1203 g", key=key)


def _read(shop: Workshop, _number: int, key: str) -> None:
    pours.read_temperature(shop, _pour(shop), 1, "80 C", key=key)


def _finish(shop: Workshop, _number: int, key: str) -> None:
    pours.finish(shop, _pour(shop), {"good": "5", "rejected.sinkhole": "1"}, key=key)


def _sell(shop: Workshop, _number: int, key: str) -> None:
    lot = jars.of_pour(shop, _pour(shop))
    assert lot is not None
    typed = {"lot": lot.code, "jars": "3", "channel": "fair", "price": "15", "curing": "yes"}
    orders.sell(shop, typed, key=key)


def _scrap(shop: Workshop, _number: int, key: str) -> None:
    code = lots.listing(shop, "test-soy")[0].code
    lots.scrap(shop, code, {"amount": "7 g", "note": "Spilt"}, key=key)


def _undo(shop: Workshop, number: int, key: str) -> None:
    with shop.store.reading() as connection:
        query = select(deed.c.id).where(deed.c.key == f"{_KEY}{number - 1}")
        scrapped = connection.execute(query).scalar_one()
    undo.undo(shop, scrapped, key=key)


_STEPS: tuple[Callable[[Workshop, int, str], None], ...] = (
    *(_receive, _revise, _plan, _start, _weigh),
    *(_read, _finish, _sell, _scrap, _undo),
)
