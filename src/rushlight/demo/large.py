"""A large workshop for benchmarks: the demonstration, many times over, by bulk inserts."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rushlight.demo.build import build
from rushlight.workshop import Clock, Workshop

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

CANDLES, MATERIALS, POURS = 200, 500, 2_000
_BLOCK = 2_000  # rows of one insert


def large(
    path: str | Path,
    *,
    clock: Clock,
    candles: int = CANDLES,
    materials: int = MATERIALS,
    pours: int = POURS,
) -> Workshop:
    """Make the demonstration and fill it up to so many candles, materials and pours.

    Copies of what the demonstration holds, renamed and spread over two years, with
    their facts, prices, movements, needs, weighings and readings.
    """
    shop = build(path, clock=clock)
    with shop.store.unit_of_work() as connection:
        _materials(connection, materials)
        _candles(connection, candles)
        _pours(connection, pours, shop.today())
    with shop.store.engine.connect() as connection:
        connection.exec_driver_sql("ANALYZE")
    return shop


def _rows(connection: Connection, table: Table) -> list[dict[str, Any]]:
    from sqlalchemy import select

    found = connection.execute(select(table).order_by(table.c.id)).mappings()
    return [dict(row) for row in found]


def _insert(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    from sqlalchemy import insert

    for first in range(0, len(rows), _BLOCK):
        connection.execute(insert(table), rows[first : first + _BLOCK])


def _copies(rows: list[dict[str, Any]], more: int) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield so many times a new id and a row to copy."""
    first = max(row["id"] for row in rows) + 1
    for i in range(more):
        yield first + i, rows[i % len(rows)]


def _materials(connection: Connection, wanted: int) -> None:
    from sqlalchemy import func, select

    from rushlight.store.marks import plain
    from rushlight.store.tables import fact, material, movement, price

    originals = _rows(connection, material)
    facts, prices = _by(_rows(connection, fact)), _by(_rows(connection, price))
    held = dict(
        connection.execute(
            select(movement.c.material_id, func.sum(movement.c.amount)).group_by(
                movement.c.material_id
            )
        ).all()
    )
    made, more_facts, more_prices, moves = [], [], [], []
    for number, row in _copies(originals, wanted - len(originals)):
        name = f"{row['name']} {number}"
        slug = f"{row['slug']}-{number}"
        made.append({**row, "id": number, "slug": slug, "name": name, "plain": plain(name)})
        more_facts += [_of(found, material_id=number) for found in facts.get(row["id"], [])]
        more_prices += [_of(found, material_id=number) for found in prices.get(row["id"], [])]
        moves.append(
            {
                "material_id": number,
                "amount": held.get(row["id"], 1),
                "reason": "received",
                "note": "Opening stock",
                "at": row["added_at"],
            }
        )
    _insert(connection, material, made)
    _insert(connection, fact, more_facts)
    _insert(connection, price, more_prices)
    _insert(connection, movement, moves)


def _candles(connection: Connection, wanted: int) -> None:
    from rushlight.store.marks import digest, written
    from rushlight.store.tables import candle, revision

    documents = {row["candle_id"]: row for row in _rows(connection, revision)}
    originals = _rows(connection, candle)
    made, revisions = [], []
    for number, row in _copies(originals, wanted - len(originals)):
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
    _insert(connection, candle, made)
    _insert(connection, revision, revisions)


def _pours(connection: Connection, wanted: int, today: date) -> None:
    """Copy the finished pours over two years past, and a few planned ones ahead."""
    from rushlight.store.tables import movement, need, pour, reading, revision, weighing

    finished = [row for row in _rows(connection, pour) if row["state"] == "finished"]
    latest = {row["candle_id"]: row["id"] for row in _rows(connection, revision)}
    owners = list(latest)
    parts = {table: _by(_rows(connection, table), "pour_id") for table in (need, weighing, reading)}
    parts[movement] = _by([row for row in _rows(connection, movement) if row["pour_id"]], "pour_id")
    have, made = len(_rows(connection, pour)), []
    more: dict[Table, list[dict[str, Any]]] = {table: [] for table in parts}
    for number, row in _copies([*finished, *_rows(connection, pour)[-1:]], wanted - have):
        back = timedelta(days=3 + number % 720)
        owner = owners[number % len(owners)]
        when = {
            key: _earlier(row[key], back) for key in ("planned_at", "started_at", "finished_at")
        }
        day = (today - back).isoformat()
        made.append(
            {
                **row,
                **when,
                "id": number,
                "candle_id": owner,
                "revision_id": latest[owner],
                "state": "finished",
                "planned_for": day,
                "ready_on": (today - back + timedelta(days=10)).isoformat(),
            }
        )
        for table, found in parts.items():
            if table is not movement:
                more[table] += [_of(r, pour_id=number) for r in found.get(row["id"], [])]
        more[movement] += _used(parts[movement].get(row["id"], []), number)
    _insert(connection, pour, made)
    for table, rows in more.items():
        _insert(connection, table, rows)


def _used(rows: list[dict[str, Any]], pour: int) -> Iterator[dict[str, Any]]:
    """Yield what a pour used, each just received before, so that nothing goes below zero."""
    for row in rows:
        yield {**_of(row, pour_id=None), "amount": abs(row["amount"]), "reason": "received"}
        yield {**_of(row, pour_id=pour), "amount": -abs(row["amount"])}


def _by(rows: list[dict[str, Any]], key: str = "material_id") -> dict[int, list[dict[str, Any]]]:
    found: dict[int, list[dict[str, Any]]] = {}
    for row in rows:
        found.setdefault(row[key], []).append(row)
    return found


def _of(row: Mapping[str, Any], **changed: Any) -> dict[str, Any]:
    return {key: value for key, value in {**row, **changed}.items() if key != "id"}


def _earlier(text: str | None, back: timedelta) -> str | None:
    from rushlight.store.marks import moment, stamp

    return None if text is None else stamp(moment(text) - back)
