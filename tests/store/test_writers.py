"""Several benches writing at once: no update is lost."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from sqlalchemy import create_engine, text

from rushlight.store.deeds import deed_of
from rushlight.store.place import Store, create_store
from rushlight.store.queries.others import settings

WRITERS, TIMES = 4, 25


def _together(work: Callable[[], None]) -> list[BaseException]:
    """Run the work in four threads that start at once; return what went wrong."""
    wrong: list[BaseException] = []
    barrier = threading.Barrier(WRITERS)

    def run() -> None:
        try:
            barrier.wait()
            for _ in range(TIMES):
                work()
        except Exception as error:  # noqa: BLE001 - reported by the test
            wrong.append(error)

    threads = [threading.Thread(target=run) for _ in range(WRITERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return wrong


def test_four_writers_lose_no_update(store: Store) -> None:
    """Each reads a count and writes it back one higher: all hundred are there."""

    def add_one() -> None:
        with store.unit_of_work() as connection:
            now = int(settings(connection).get("count", "0"))
            connection.execute(text("DELETE FROM setting"))
            connection.execute(
                text("INSERT INTO setting VALUES ('count', :n)"), {"n": str(now + 1)}
            )

    assert _together(add_one) == []
    with store.reading() as connection:
        assert settings(connection)["count"] == str(WRITERS * TIMES)


def test_a_plain_read_then_write_loses_updates(tmp_path: Path) -> None:
    """Why the unit of work begins IMMEDIATE: by SQLAlchemy's defaults an update vanishes.

    sqlite3 begins its transaction only before the first write, so both read before
    either writes. The two take turns here, step by step; no error is raised.
    """
    engine = create_engine(f"sqlite:///{tmp_path / 'plain.db'}")
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE box (count INTEGER)"))
        connection.execute(text("INSERT INTO box VALUES (0)"))
    one, other = engine.connect(), engine.connect()
    read = [bench.execute(text("SELECT count FROM box")).scalar_one() for bench in (one, other)]
    for bench, was in zip((one, other), read, strict=True):
        bench.execute(text("UPDATE box SET count = :n"), {"n": was + 1})
        bench.commit()
        bench.close()
    with engine.connect() as connection:
        assert connection.execute(text("SELECT count FROM box")).scalar_one() == 1  # not 2
    engine.dispose()


def test_four_writers_of_stock_keep_every_milligram(
    path: Path, clock: Callable[[], datetime]
) -> None:
    """Deeds from four threads are each kept once, and the sum is exact."""
    store = create_store(path, clock=clock)
    with deed_of(store, "make", at=clock()) as work:
        number = work.add(
            "material", slug="wax", role="wax", name="Wax", plain="wax", measure="mass", added_at=""
        )
        lot = work.add(
            "stock_lot",
            code="M1-1",
            material_id=number,
            amount=0,
            cost=0,
            costed=1,
            received_on="2026-05-12",
            at="",
        )

    def receive() -> None:
        with deed_of(store, "receive", at=clock()) as work:
            work.do("move", stock_lot_id=lot, amount=7, reason="received")

    assert _together(receive) == []
    store.close()
    raw = sqlite3.connect(path)
    assert raw.execute("SELECT sum(amount), count(*) FROM movement").fetchone() == (700, 100)
    assert raw.execute("SELECT count(*) FROM deed").fetchone() == (101,)
    raw.close()


def test_one_key_used_by_four_writers_is_done_once(store: Store) -> None:
    """A form sent several times at once has its effect once."""

    def press() -> None:
        with deed_of(store, "settings", at=datetime.now().astimezone(), key="one form") as work:
            if work.first is None:
                work.do("put", values={"pressed": "yes"})
                work.result = {"done": threading.get_ident()}

    assert _together(press) == []
    with store.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM deed").scalar() == 1
