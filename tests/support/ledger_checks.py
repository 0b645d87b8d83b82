"""What must hold of the ledger whatever was done to it, worked out again from its rows alone."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, Table, select

from rushlight.store.tables import (
    jar_balance,
    jar_entry,
    jar_lot,
    movement,
    order_line,
    pour,
    sales_order,
    stock_balance,
    stock_lot,
)
from rushlight.workshop import Workshop

Rows = list[Mapping[str, Any]]
Pair = tuple[int, int]
"""Units and their cost."""

_IN = {"received", "valued", "counted", "used", "returned", "scrapped", "packed"}
PIECES = 3
"""Pieces of packaging, at the most, that a jar of the tests is packed in."""
_OUT = {"sold", "given", "testing", "broken", "taken back", "counted"}


def check(shop: Workshop) -> None:
    """Check everything there is to check."""
    with shop.store.reading() as connection:
        moves, entries = _rows(connection, movement), _rows(connection, jar_entry)
        lots = {row["id"]: row for row in _rows(connection, stock_lot)}
        jars = {row["id"]: row for row in _rows(connection, jar_lot)}
        pours = {row["id"]: row for row in _rows(connection, pour)}
        lines = {row["id"]: row for row in _rows(connection, order_line)}
        orders = {row["id"]: row for row in _rows(connection, sales_order)}
        stock = _balances(connection, stock_balance, "stock_lot_id", "amount")
        jars_left = _balances(connection, jar_balance, "jar_lot_id", "jars")
    _check_sums(moves, "stock_lot_id", "amount", stock)
    _check_sums(entries, "jar_lot_id", "jars", jars_left)
    _check_costs(moves, "stock_lot_id", "amount", {"used", "scrapped", "counted", "packed"})
    _check_costs(entries, "jar_lot_id", "jars", {"sold", "given", "testing", "broken", "counted"})
    _check_stock(moves, stock)
    _check_packed(moves, lines, orders)
    by_pour = {row["pour_id"]: row for row in jars.values() if row["retired_at"] is None}
    for number, row in pours.items():
        own = [m for m in moves if m["pour_id"] == number]
        _check_pour(row, own, by_pour.get(number), lots)
    for number, row in jars.items():
        own = [e for e in entries if e["jar_lot_id"] == number]
        _check_jars(row, own, jars_left[number], lines)
    _check_whole(moves, entries, by_pour.values(), (stock, jars_left))


def _rows(connection: Connection, table: Table) -> Rows:
    return [dict(row) for row in connection.execute(select(table).order_by(table.c.id)).mappings()]


def _balances(connection: Connection, table: Table, lot: str, units: str) -> dict[int, Pair]:
    rows = connection.execute(select(table.c[lot], table.c[units], table.c.value))
    return {int(number): (int(amount), int(value)) for number, amount, value in rows}


def _why(row: Mapping[str, Any]) -> str:
    """Return why something moved; of an undoing, why that had moved."""
    return str(row["undoes"] or row["reason"])


def _total(rows: Iterable[Mapping[str, Any]], units: str, *whys: str) -> Pair:
    own = [row for row in rows if not whys or _why(row) in whys]
    return sum(row[units] for row in own), sum(row["value"] for row in own)


def _check_sums(rows: Rows, lot: str, units: str, kept: Mapping[int, Pair]) -> None:
    """Check that the balances the database keeps are the sums of the rows, none below zero."""
    sums: dict[int, Pair] = defaultdict(lambda: (0, 0))
    for row in rows:
        amount, value = sums[row[lot]]
        sums[row[lot]] = (amount + row[units], value + row["value"])
    assert dict(sums) == kept
    for amount, value in kept.values():
        assert amount >= 0
        assert value >= 0
        assert amount > 0 or value == 0, "nothing is left, and it is worth something"


def _check_costs(rows: Rows, lot: str, units: str, leaving: set[str]) -> None:
    """Check that what left a lot bore its part of what it was worth, to the nearest 1/10 000.

    Worked out with fractions from the rows in their order; Python rounds a half to the even one.
    What undoes something, or is thrown away of what came back from a pour, bears what that did.
    """
    before: dict[int, Pair] = defaultdict(lambda: (0, 0))
    for row in rows:
        amount, value = before[row[lot]]
        given = row["reason"] == "scrapped" and row["pour_id"] is not None
        if row["reason"] in leaving and row[units] < 0 and not given:
            assert -row["value"] == round(Fraction(value * -row[units], amount))
        if row["reason"] == "counted" and row[units] > 0 and amount > 0:
            assert row["value"] == round(Fraction(value * row[units], amount))
        before[row[lot]] = (amount + row[units], value + row["value"])


def _check_stock(moves: Rows, stock: Mapping[int, Pair]) -> None:
    """Check that all reasons are known, and that what came in went out or is left."""
    assert {_why(row) for row in moves} <= _IN
    came = _total(moves, "amount", "received", "valued")
    counted = _total(moves, "amount", "counted")
    gone = _total(moves, "amount", "used", "returned", "scrapped", "packed")
    for of in (0, 1):
        assert came[of] + counted[of] == sum(pair[of] for pair in stock.values()) - gone[of]


def _check_packed(
    moves: Rows, lines: Mapping[int, Mapping[str, Any]], orders: Mapping[int, Mapping[str, Any]]
) -> None:
    """Check that packaging left with lines of orders that were sent, and with nothing else."""
    by_line: dict[int, Rows] = defaultdict(list)
    for move in moves:
        assert (_why(move) == "packed") == (move["order_line_id"] is not None)
        if move["order_line_id"] is not None:
            assert move["pour_id"] is None
            by_line[move["order_line_id"]].append(move)
    for number, own in by_line.items():
        pieces, value = _total(own, "amount")
        line = lines[number]
        order = orders[line["sales_order_id"]]
        stands = order["sent_at"] and not order["retired_at"] and not line["retired_at"]
        assert pieces <= 0
        assert value <= 0
        assert stands or (pieces, value) == (0, 0), "something was packed that was never sent"
        assert -pieces <= line["jars"] * PIECES


def _check_pour(
    row: Mapping[str, Any],
    moves: Rows,
    made: Mapping[str, Any] | None,
    lots: Mapping[int, Mapping[str, Any]],
) -> None:
    if row["state"] != "finished":
        assert made is None
        for reason in ("used", "returned", "scrapped", "counted"):
            assert _total(moves, "amount", reason) == (0, 0), "an unfinished pour moved something"
        return
    assert (made is not None) == (row["good"] > 0)
    if made is None:
        return
    assert made["jars"] == row["good"]
    costing = json.loads(made["costing"])
    assert made["cost"] == costing["overhead"] + sum(
        part["value"] for part in costing["materials"]
    ) + sum(step["cost"] for step in costing["labour"])
    # used less returned, labour and overhead are the cost of the jars
    took = _total(moves, "amount", "used", "returned")
    assert -took[1] == sum(part["value"] for part in costing["materials"])
    # and the lots the jars name are those the pour moved, no more and no fewer
    by_lot: dict[str, Pair] = {}
    for number in {move["stock_lot_id"] for move in moves}:
        own = [move for move in moves if move["stock_lot_id"] == number]
        units, value = _total(own, "amount", "used", "returned")
        assert units or not value, "nothing was used of a lot, and it cost something"
        if units:
            by_lot[lots[number]["code"]] = (-units, -value)
    assert {p["lot"]: (p["units"], p["value"]) for p in costing["materials"]} == by_lot
    assert made["costed"] == int(all(part["known"] for part in costing["materials"]))


def _check_jars(
    row: Mapping[str, Any], entries: Rows, left: Pair, lines: Mapping[int, Mapping[str, Any]]
) -> None:
    assert {_why(entry) for entry in entries} <= _OUT | {"poured"}
    poured = _total(entries, "jars", "poured")
    assert poured == ((0, 0) if row["retired_at"] else (row["jars"], row["cost"]))
    gone = _total(entries, "jars", *_OUT)
    assert left == (poured[0] + gone[0], poured[1] + gone[1])
    assert left == (0, 0) or row["retired_at"] is None, "jars are in hand that were never poured"
    for entry in entries:
        sold = _why(entry) in {"sold", "taken back"}
        assert sold == (entry["order_line_id"] is not None)
        if sold:
            assert lines[entry["order_line_id"]]["candle_id"] == row["candle_id"]
    for number in {entry["order_line_id"] for entry in entries} - {None}:
        own = [entry for entry in entries if entry["order_line_id"] == number]
        has, bears = (-sum_ for sum_ in _total(own, "jars"))
        assert 0 <= has <= lines[number]["jars"]
        assert bears >= 0
        assert has or not bears, "all jars of an order came back, and it still bears a cost"
        assert has == 0 or row["retired_at"] is None, "a buyer has jars that were never poured"


def _check_whole(
    moves: Rows,
    entries: Rows,
    made: Iterable[Mapping[str, Any]],
    left: tuple[Mapping[int, Pair], Mapping[int, Pair]],
) -> None:
    """Check that cost in is cost out, what is in stores, and scrap: to the last 1/10 000."""
    standing = {row["pour_id"] for row in made}
    costings = [json.loads(row["costing"]) for row in made]
    work = sum(c["overhead"] + sum(step["cost"] for step in c["labour"]) for c in costings)
    cost_in = _total(moves, "amount", "received", "valued")[1] + work
    counted = _total(moves, "amount", "counted")[1] + _total(entries, "jars", "counted")[1]
    scrap = -_total(moves, "amount", "scrapped")[1] - sum(
        _total([move], "amount", "used", "returned")[1]
        for move in moves
        if move["pour_id"] not in standing
    )
    sold = -_total(entries, "jars", "sold", "taken back")[1]
    packed = -_total(moves, "amount", "packed")[1]
    unsold = -_total(entries, "jars", "given", "testing", "broken")[1]
    stores = sum(value for pairs in left for _, value in pairs.values())
    assert cost_in + counted == sold + packed + unsold + stores + scrap
