"""A large workshop for benchmarks: the demonstration, many times over, by bulk inserts."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rushlight.demo.build import build
from rushlight.demo.rows import Row, by, copies, earlier, insert_all, of, rows
from rushlight.workshop import Clock, Workshop

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

DAYS_BACK = 1_440
"""How many days the pours are spread over: four years."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How large a workshop is; what is beyond the demonstration's own is made up.

    movements: of materials, those that bring the lots in included.
    """

    candles: int = 200
    materials: int = 500
    pours: int = 5_000
    lots: int = 20_000
    movements: int = 100_000
    order_lines: int = 50_000
    deeds: int = 100_000

    def times(self, factor: int) -> Size:
        """Return a workshop with the same shelves and designs, and so many times the history."""
        return Size(
            candles=self.candles,
            materials=self.materials,
            pours=self.pours * factor,
            lots=self.lots * factor,
            movements=self.movements * factor,
            order_lines=self.order_lines * factor,
            deeds=self.deeds * factor,
        )


FULL = Size()
"""The size that the targets of the stores are set at."""


def large(path: str | Path, *, clock: Clock, size: Size = FULL) -> Workshop:
    """Make the demonstration and fill it up to a size.

    Copies of what the demonstration holds, renamed and spread over four years: their facts,
    prices, needs, weighings and readings, and a history of lots, jars and orders beside them.
    """
    from rushlight.demo.history import add_history

    shop = build(path, clock=clock)
    with shop.store.unit_of_work() as connection:
        twins = _materials(connection, size.materials)
        _candles(connection, size.candles)
        made = _pours(connection, size.pours, shop.today())
        add_history(connection, size, made, twins, shop.today())
    with shop.store.engine.begin() as connection:
        connection.exec_driver_sql("ANALYZE")
    return shop


def _materials(connection: Connection, wanted: int) -> dict[int, list[int]]:
    """Copy the materials; return, by each of the demonstration's, itself and its copies."""
    from rushlight.store.marks import plain
    from rushlight.store.tables import fact, material, price

    originals = rows(connection, material)
    facts, prices = by(rows(connection, fact)), by(rows(connection, price))
    twins: dict[int, list[int]] = {row["id"]: [row["id"]] for row in originals}
    made, more_facts, more_prices = [], [], []
    for number, row in copies(originals, wanted - len(originals)):
        name = f"{row['name']} {number}"
        slug = f"{row['slug']}-{number}"
        made.append({**row, "id": number, "slug": slug, "name": name, "plain": plain(name)})
        more_facts += [of(found, material_id=number) for found in facts.get(row["id"], [])]
        more_prices += [of(found, material_id=number) for found in prices.get(row["id"], [])]
        twins[row["id"]].append(number)
    insert_all(connection, material, made)
    insert_all(connection, fact, more_facts)
    insert_all(connection, price, more_prices)
    return twins


def _candles(connection: Connection, wanted: int) -> None:
    from rushlight.store.marks import digest, written
    from rushlight.store.tables import candle, revision

    documents = {row["candle_id"]: row for row in rows(connection, revision)}
    originals = rows(connection, candle)
    made, revisions = [], []
    for number, row in copies(originals, wanted - len(originals)):
        name = f"{row['name']} {number}"
        document = {**json.loads(documents[row["id"]]["document"]), "name": name}
        made.append({**row, "id": number, "slug": f"{row['slug']}-{number}", "name": name})
        for version in (1, 2, 3):
            noted = {**document, "note": f"Trial {version}"}
            revisions.append(
                {
                    "candle_id": number,
                    "number": version,
                    "document": written(noted),
                    "digest": digest(noted),
                    "saved_at": documents[row["id"]]["saved_at"],
                }
            )
    insert_all(connection, candle, made)
    insert_all(connection, revision, revisions)


def _pours(connection: Connection, wanted: int, today: date) -> list[Row]:
    """Copy the finished pours over the years past; return the new ones with their needs."""
    from rushlight.store.tables import need, pour, reading, revision, weighing

    finished = [row for row in rows(connection, pour) if row["state"] == "finished"]
    latest = {row["candle_id"]: row["id"] for row in rows(connection, revision)}
    owners = list(latest)
    parts = {table: by(rows(connection, table), "pour_id") for table in (need, weighing, reading)}
    last = rows(connection, pour)
    made: list[Row] = []
    more: dict[Table, list[Row]] = {table: [] for table in parts}
    for number, row in copies([*finished, last[-1]], wanted - len(last)):
        copied = finished[number % len(finished)] if row["state"] != "finished" else row
        back = timedelta(days=3 + number * 7919 % DAYS_BACK)
        owner = owners[number % len(owners)]
        made.append({**_moved(copied, back, today), "id": number, "candle_id": owner})
        made[-1]["revision_id"] = latest[owner]
        for table, found in parts.items():
            more[table] += [of(r, pour_id=number) for r in found.get(copied["id"], [])]
    insert_all(connection, pour, made)
    for table, new in more.items():
        insert_all(connection, table, new)
    needs = by(more[need], "pour_id")
    return [{**row, "needs": needs.get(row["id"], [])} for row in made]


def _moved(row: Row, back: timedelta, today: date) -> dict[str, Any]:
    """Return a pour as it was, so many days before today."""
    day = today - back
    moments = ("planned_at", "started_at", "finished_at")
    return {
        **row,
        **{key: earlier(row[key], back) for key in moments},
        "state": "finished",
        "planned_for": day.isoformat(),
        "ready_on": (day + timedelta(days=10)).isoformat(),
    }
