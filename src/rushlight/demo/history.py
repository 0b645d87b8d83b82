"""Four years of lots, jars and orders for a large workshop, made up and exact.

Every draw bears its share of what its lot is still worth, as the ledger itself reckons, so
that a valuation of this history is a real one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final

from rushlight.cost.exact import share_of
from rushlight.demo.rows import Row, insert_all, last_number, rows
from rushlight.store.codes import jar_code, order_code, stock_code

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from rushlight.demo.large import Size

_JARS: Final = 24
_LEFT: Final = 2  # jars of a pour still in hand, of the newest pours
_LINES: Final = 5  # lines of an order
_BUYERS: Final = 300
_LOTS_OF_A_DELIVERY: Final = 8
_KEEPS: Final = timedelta(days=540)
_EARLY: Final = timedelta(days=20)
_SELLING: Final = timedelta(days=_JARS)  # a lot sells a line a day


@dataclass(slots=True)
class _Lot:
    """A lot while it is filled with draws: pour, day and amount of each."""

    id: int
    material: int
    draws: list[tuple[int, str, int]] = field(default_factory=list)
    rest: int = 0

    @property
    def amount(self) -> int:
        return sum(amount for _, _, amount in self.draws) + self.rest


def add_history(
    connection: Connection, size: Size, pours: list[Row], twins: dict[int, list[int]], today: date
) -> None:
    """Add lots and their movements, jars, orders and deeds. pours: each with its needs."""
    pours = sorted(pours, key=lambda row: (row["planned_for"], row["id"]))
    lots = _filled(connection, size, pours, twins)
    costs = _materials_moved(connection, lots)
    lines = _jars(connection, pours, costs, size, today)
    _orders(connection, lines)
    _deeds(connection, size)


def _filled(
    connection: Connection, size: Size, pours: list[Row], twins: dict[int, list[int]]
) -> list[_Lot]:
    """Spread what the pours need over lots: so many draws of a lot, so many lots of a pour."""
    from rushlight.store.tables import movement, stock_lot

    wanted = size.lots - last_number(connection, stock_lot)
    draws = size.movements - last_number(connection, movement) - wanted
    each = max(1, draws // max(1, wanted))
    number = last_number(connection, stock_lot)
    lots: list[_Lot] = []
    open_: dict[int, _Lot] = {}
    done = 0
    for i, row in enumerate(pours):
        target = draws * (i + 1) // len(pours)
        for k, (material, amount) in enumerate(_parts(row, twins, i, target - done)):
            lot = open_.get(material)
            if lot is None or len(lot.draws) >= each:
                if len(lots) < wanted:
                    number += 1
                    lot = open_[material] = _Lot(number, material)
                    lots.append(lot)
                elif lot is None:
                    lot = open_[material] = lots[(i + k) % len(lots)]
            lot.draws.append((row["id"], row["planned_for"], amount))
            done += 1
    for i, lot in enumerate(lots):
        recent = i >= len(lots) - len(open_)
        lot.rest = max(1, lot.amount // 2) if recent or i % 40 == 0 else 0
    return lots


def _parts(
    row: Row, twins: dict[int, list[int]], turn: int, wanted: int
) -> Iterator[tuple[int, int]]:
    """Yield what a pour draws, cut into so many parts, from the copies of what it needs."""
    needs = [n for n in row["needs"] if n["material_id"] is not None and n["amount"] > 0]
    if not needs:
        return
    for part in range(wanted):
        need = needs[part % len(needs)]
        times = (wanted - part % len(needs) - 1) // len(needs) + 1
        choice = twins[need["material_id"]]
        yield choice[turn % len(choice)], max(1, need["amount"] // times)


def _materials_moved(connection: Connection, lots: list[_Lot]) -> dict[int, int]:
    """Write deliveries, lots and movements; return what each pour drew [1/10 000]."""
    from rushlight.store.tables import delivery, movement, stock_lot, supplier

    suppliers = [row["id"] for row in rows(connection, supplier)]
    first = last_number(connection, delivery) + 1
    deliveries: list[Row] = []
    made: list[Row] = []
    moves: list[Row] = []
    costs: dict[int, int] = {}
    for i, lot in enumerate(lots):
        came = date.fromisoformat(lot.draws[0][1]) - _EARLY
        if i % _LOTS_OF_A_DELIVERY == 0:
            day = came.isoformat()
            deliveries.append(_delivery(first + len(deliveries), suppliers, day))
        cost = max(1, lot.amount // (90 + lot.material % 40))
        made.append(_lot_row(lot, deliveries[-1]["id"], came, cost))
        moves.append(_move(lot, lot.amount, cost, "received", came.isoformat(), None))
        left, worth = lot.amount, cost
        for pour, on, amount in lot.draws:
            value = share_of(worth, left, amount)
            left, worth = left - amount, worth - value
            moves.append(_move(lot, -amount, -value, "used", on, pour))
            costs[pour] = costs.get(pour, 0) + value
    moves.sort(key=lambda row: (row["day"], row["amount"] < 0))
    insert_all(connection, delivery, deliveries)
    insert_all(connection, stock_lot, made)
    insert_all(connection, movement, moves)
    return costs


def _delivery(number: int, suppliers: list[int], day: str) -> Row:
    return {
        "id": number,
        "supplier_id": suppliers[number % len(suppliers)],
        "day": day,
        "reference": f"DN {number}",
        "freight": 0,
        "duty": 0,
        "freight_by": "mass",
        "duty_by": "value",
        "at": f"{day}T08:00:00.000Z",
    }


def _lot_row(lot: _Lot, delivery: int, came: date, cost: int) -> Row:
    return {
        "id": lot.id,
        "code": stock_code(lot.id),
        "material_id": lot.material,
        "delivery_id": delivery,
        "supplier_lot": f"B{lot.id * 7 % 100_000:05d}",
        "amount": lot.amount,
        "cost": cost,
        "costed": 1,
        "expires_on": (came + _KEEPS).isoformat() if lot.material % 3 else None,
        "date_kind": "expiry" if lot.material % 3 else "",
        "received_on": came.isoformat(),
        "at": f"{came.isoformat()}T08:00:00.000Z",
    }


def _move(  # noqa: PLR0913, PLR0917 - a row
    lot: _Lot, amount: int, value: int, reason: str, day: str, pour: int | None
) -> Row:
    return {
        "material_id": lot.material,
        "stock_lot_id": lot.id,
        "amount": amount,
        "value": value,
        "reason": reason,
        "note": "",
        "at": f"{day}T{'08' if amount > 0 else '10'}:00:00.000Z",
        "day": day,
        "pour_id": pour,
    }


def _jars(
    connection: Connection, pours: list[Row], costs: dict[int, int], size: Size, today: date
) -> list[tuple[int, int, str, int, int]]:
    """Write the jars of every pour; return the lines that sell them: lot, candle, day, jars, value.

    One jar of each was tested; of the newest a few are left, and those in cure are whole.
    """
    from rushlight.store.tables import jar_entry, jar_lot, order_line

    wanted = size.order_lines - last_number(connection, order_line)
    number = last_number(connection, jar_lot)
    lots: list[Row] = []
    entries: list[Row] = []
    lines: list[tuple[int, int, str, int, int]] = []
    cured = (today - _SELLING).isoformat()
    sellable = sum(row["ready_on"] <= cured for row in pours)
    nth: dict[str, int] = {row["poured_on"]: 50 for row in rows(connection, jar_lot)}
    for i, row in enumerate(pours):
        number += 1
        day, cost = row["planned_for"], costs.get(row["id"], 0) + _JARS * 20_000
        nth[day] = nth.get(day, 0) + 1
        lots.append(_jar_lot(number, row, jar_code(date.fromisoformat(day), nth[day]), cost))
        left, worth = _JARS, cost
        entries.append(_entry(number, _JARS, cost, "poured", day))
        if row["ready_on"] > cured:
            continue
        tested = share_of(worth, left, 1)
        left, worth = left - 1, worth - tested
        entries.append(_entry(number, -1, -tested, "testing", row["ready_on"]))
        share = wanted * (i + 1) // sellable - len(lines)
        able = left - (_LEFT if i >= sellable * 9 // 10 else 0)
        sold_in = min(share, able)
        for k in range(sold_in):
            part = able * (k + 1) // sold_in - able * k // sold_in
            value = share_of(worth, left, part)
            left, worth = left - part, worth - value
            sold = date.fromisoformat(row["ready_on"]) + timedelta(days=k)
            lines.append((number, row["candle_id"], sold.isoformat(), part, value))
    insert_all(connection, jar_lot, lots)
    insert_all(connection, jar_entry, entries)
    return lines


def _jar_lot(number: int, row: Row, code: str, cost: int) -> Row:
    return {
        "id": number,
        "code": code,
        "pour_id": row["id"],
        "candle_id": row["candle_id"],
        "poured_on": row["planned_for"],
        "ready_on": row["ready_on"],
        "jars": _JARS,
        "cost": cost,
        "costed": 1,
        "costing": "{}",
        "at": row["finished_at"],
    }


def _entry(  # noqa: PLR0913, PLR0917 - a row
    lot: int, jars: int, value: int, reason: str, day: str, line: int | None = None
) -> Row:
    return {
        "jar_lot_id": lot,
        "jars": jars,
        "value": value,
        "reason": reason,
        "note": "",
        "at": f"{day}T15:00:00.000Z",
        "day": day,
        "order_line_id": line,
    }


def _orders(connection: Connection, lines: list[tuple[int, int, str, int, int]]) -> None:
    """Write orders of five lines, all sent, with the jars that went."""
    from rushlight.store.tables import buyer, channel, jar_entry, order_line, sales_order

    channels = [row["id"] for row in rows(connection, channel)]
    first_buyer = last_number(connection, buyer) + 1
    buyers = [_buyer(first_buyer + k) for k in range(_BUYERS)]
    lines = sorted(lines, key=lambda line: line[2])
    order, line_number = last_number(connection, sales_order), last_number(connection, order_line)
    orders, made, entries = [], [], []
    for i, (lot, candle, day, jars, value) in enumerate(lines):
        line_number += 1
        if i % _LINES == 0:
            order += 1
            orders.append(
                {
                    "id": order,
                    "code": order_code(order),
                    "channel_id": channels[order % len(channels)],
                    "buyer_id": buyers[order % _BUYERS]["id"],
                    "placed_on": day,
                    "due_on": day,
                    "sent_at": f"{day}T16:00:00.000Z",
                    "at": f"{day}T15:00:00.000Z",
                }
            )
        made.append(
            {
                "id": line_number,
                "sales_order_id": order,
                "candle_id": candle,
                "jars": jars,
                "price": 140_000 + candle % 12 * 5_000,
                "at": f"{day}T15:00:00.000Z",
            }
        )
        entries.append(_entry(lot, -jars, -value, "sold", day, line_number))
    insert_all(connection, buyer, buyers)
    insert_all(connection, sales_order, orders)
    insert_all(connection, order_line, made)
    insert_all(connection, jar_entry, entries)


def _buyer(number: int) -> Row:
    name = f"Buyer {number}"
    contact = f"buyer{number}@example.com"
    return {"id": number, "name": name, "plain": name.casefold(), "contact": contact, "at": ""}


def _deeds(connection: Connection, size: Size) -> None:
    """Write the record of so many deeds, as ticks and readings leave them."""
    from rushlight.store.tables import deed

    first = last_number(connection, deed) + 1
    made = [
        {
            "id": number,
            "at": f"{2022 + number % 4}-01-01T10:00:00.000Z",
            "verb": "pour.tick",
            "subject": f"pour:{number % size.pours}:pot:1:wax",
            "said": "Weighed wax.",
            "inverse": '[["weigh",{"pour_id":1,"pot":1,"line":"wax","amount":null,"typed":""}]]',
            "result": "{}",
        }
        for number in range(first, size.deeds + 1)
    ]
    insert_all(connection, deed, made)
