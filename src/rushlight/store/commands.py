"""The few ways rows are ever written, each with the commands that make up for it.

A command is data: a name and its arguments, which JSON can hold. Carrying one out
returns what came of it and its inverse, so that history and undo come free.

| command | writes | inverse |
|---|---|---|
| `put` | settings | `put` of what was there |
| `add` | a row | `change` that retires it (none for rows that cannot be retired) |
| `change` | columns of a row | `change` to what was there |
| `facts` | facts of a material | `facts` as they were |
| `move` | a movement of a lot | `move` of the opposite |
| `unmoved` | nothing; it checks that a lot is as it came | itself |
| `jars` | an entry of a lot of jars | `jars` of the opposite |
| `revise` | the next revision | `revise` with the document before |
| `weigh` | a weighing entry | `weigh` with what was there before |
| `lot` | weighed jars of a lot | `mark` that it does not stand |
| `mark` | whether a lot stands | `mark` of the opposite |
| `freeze` | the mark that a revision was poured | none: it stays frozen |
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Connection, Table, delete, insert, select, update

from rushlight.errors import NotFound, Refused
from rushlight.store import moves
from rushlight.store.command import Args, Command, Outcome, inserted
from rushlight.store.marks import digest, stamp, written
from rushlight.store.tables import (
    attachment,
    buyer,
    candle,
    certificate,
    channel,
    count_line,
    datasheet,
    delivery,
    fact,
    jar_lot,
    lot,
    lot_mark,
    material,
    need,
    order_line,
    pour,
    price,
    reading,
    reject,
    reservation,
    revision,
    sales_order,
    setting,
    stock_lot,
    stocktake,
    supplier,
    timer,
    weighing,
    worked,
)

_ADDABLE: Final[Mapping[str, Table]] = {
    t.name: t
    for t in (
        *(supplier, material, price, candle, channel, pour, need, reading, timer),
        *(datasheet, certificate, attachment),
        *(delivery, stock_lot, reservation, worked, reject, jar_lot),
        *(buyer, sales_order, order_line, stocktake, count_line),
    )
}
_CHANGEABLE: Final[Mapping[str, frozenset[str]]] = {
    "material": frozenset({"name", "plain", "note", "kind", "low_typed", "low_at", "retired_at"}),
    "price": frozenset({"retired_at"}),
    "candle": frozenset({"name", "retired_at"}),
    "channel": frozenset({"name", "kind", "typed", "retired_at"}),
    "pour": frozenset(
        {"state", "started_at", "finished_at", "ready_on", "good", "rejected", "note", "person"}
    ),
    "reading": frozenset({"retired_at"}),
    "timer": frozenset({"stopped_at", "retired_at"}),
    "datasheet": frozenset({"retired_at"}),
    "certificate": frozenset({"retired_at"}),
    "attachment": frozenset({"retired_at"}),
    "delivery": frozenset({"retired_at"}),
    "reservation": frozenset({"retired_at"}),
    "worked": frozenset({"stopped_at", "retired_at"}),
    "reject": frozenset({"retired_at"}),
    "jar_lot": frozenset({"retired_at"}),
    "buyer": frozenset({"name", "plain", "contact", "note", "retired_at"}),
    "sales_order": frozenset(
        {"channel_id", "buyer_id", "placed_on", "due_on", "note", "sent_at", "unpacked"}
        | {"retired_at"}
    ),
    "order_line": frozenset({"jars", "price", "retired_at"}),
    "stocktake": frozenset({"state", "reason", "booked_at"}),
    "count_line": frozenset({"expected", "counted", "typed"}),
}
# what undoing an addition leaves behind, where that is not a `retired_at`
_GIVEN_UP: Final = {"pour": "abandoned", "stocktake": "abandoned"}


def carry_out(connection: Connection, command: Command, at: datetime) -> Outcome:
    """Carry out one command inside a unit of work."""
    return _HANDLERS[command.name](connection, command.args, at)


def _put(connection: Connection, args: Args, _at: datetime) -> Outcome:
    values: Mapping[str, str | None] = args["values"]
    names = list(values)
    found = connection.execute(
        select(setting.c.name, setting.c.value).where(setting.c.name.in_(names))
    )
    before = dict(found.all())
    connection.execute(delete(setting).where(setting.c.name.in_(names)))
    rows = [{"name": n, "value": v} for n, v in values.items() if v is not None]
    if rows:
        connection.execute(insert(setting), rows)
    return Outcome(0, (Command("put", {"values": {n: before.get(n) for n in names}}),))


def _add(connection: Connection, args: Args, at: datetime) -> Outcome:
    table = _ADDABLE[args["table"]]
    row_id = inserted(connection, table, args["values"])
    if table.name in _GIVEN_UP:
        back = {"state": _GIVEN_UP[table.name]}
    elif "retired_at" in table.c:
        back = {"retired_at": stamp(at)}
    else:
        return Outcome(row_id, ())
    undo = Command("change", {"table": table.name, "id": row_id, "values": back})
    return Outcome(row_id, (undo,))


def _change(connection: Connection, args: Args, _at: datetime) -> Outcome:
    name, row_id, values = args["table"], int(args["id"]), dict(args["values"])
    table = _ADDABLE[name]
    if not values.keys() <= _CHANGEABLE[name]:
        raise Refused(f"These of a {name} never change: {', '.join(sorted(values))}.")
    columns = [table.c[column] for column in values]
    row = connection.execute(select(*columns).where(table.c.id == row_id)).mappings().first()
    if row is None:
        raise NotFound(f"There is no {name} {row_id}.")
    connection.execute(update(table).where(table.c.id == row_id).values(**values))
    undo = Command("change", {"table": name, "id": row_id, "values": dict(row)})
    return Outcome(row_id, (undo,))


def _facts(connection: Connection, args: Args, _at: datetime) -> Outcome:
    """Write the named facts of a material; a null removes one, those not named stay."""
    owner, facts = int(args["material_id"]), dict(args["facts"])
    named = (fact.c.material_id == owner) & fact.c.name.in_(list(facts))
    columns = (fact.c.name, fact.c.value, fact.c.origin, fact.c.source)
    before: dict[str, Any] = dict.fromkeys(facts)
    for row in connection.execute(select(*columns).where(named)).mappings():
        before[row["name"]] = {k: row[k] for k in ("value", "origin", "source")}
    connection.execute(delete(fact).where(named))
    rows = [{"material_id": owner, "name": n, **v} for n, v in facts.items() if v is not None]
    if rows:
        connection.execute(insert(fact), rows)
    return Outcome(owner, (Command("facts", {"material_id": owner, "facts": before}),))


def _revise(connection: Connection, args: Args, at: datetime) -> Outcome:
    """Write the next revision of a candle; numbers have no gaps and are never used twice."""
    owner, document = int(args["candle_id"]), args["document"]
    last = connection.execute(
        select(revision.c.number, revision.c.document)
        .where(revision.c.candle_id == owner)
        .order_by(revision.c.number.desc())
        .limit(1)
    ).first()
    connection.execute(update(candle).where(candle.c.id == owner).values(name=document["name"]))
    number = 1 if last is None else int(last.number) + 1
    row_id = inserted(
        connection,
        revision,
        {
            "candle_id": owner,
            "number": number,
            "document": written(document),
            "digest": digest(document),
            "saved_at": stamp(at),
        },
    )
    if last is None:
        return Outcome(row_id, ())
    import json

    undo = Command("revise", {"candle_id": owner, "document": json.loads(last.document)})
    return Outcome(row_id, (undo,))


def _weigh(connection: Connection, args: Args, at: datetime) -> Outcome:
    """Write a weighing entry; an entry without an amount takes the tick back."""
    place = {"pour_id": int(args["pour_id"]), "pot": int(args["pot"]), "line": args["line"]}
    state = connection.execute(
        select(pour.c.state).where(pour.c.id == place["pour_id"])
    ).scalar_one()
    if state != "running":
        raise Refused(f"This pour is {state}: weighings are ticked while it runs.")
    before = connection.execute(
        select(weighing.c.amount, weighing.c.typed)
        .filter_by(**place)
        .order_by(weighing.c.id.desc())
        .limit(1)
    ).first()
    entry = {"amount": args["amount"], "typed": args["typed"]}
    row_id = inserted(connection, weighing, {**place, **entry, "at": stamp(at)})
    was = {"amount": before.amount, "typed": before.typed} if before else None
    undo = Command("weigh", {**place, **(was or {"amount": None, "typed": ""})})
    return Outcome(row_id, (undo,))


def _lot(connection: Connection, args: Args, at: datetime) -> Outcome:
    """Write the weighed jars of a lot."""
    row_id = inserted(connection, lot, {**args["values"], "at": stamp(at)})
    return Outcome(row_id, (Command("mark", {"lot_id": row_id, "stands": 0}),))


def _mark(connection: Connection, args: Args, at: datetime) -> Outcome:
    """Write whether a lot stands; the newest mark counts."""
    lot_id, stands = int(args["lot_id"]), int(args["stands"])
    row_id = inserted(connection, lot_mark, {"lot_id": lot_id, "stands": stands, "at": stamp(at)})
    return Outcome(row_id, (Command("mark", {"lot_id": lot_id, "stands": 1 - stands}),))


def _freeze(connection: Connection, args: Args, at: datetime) -> Outcome:
    row_id = int(args["id"])
    connection.execute(
        update(revision)
        .where(revision.c.id == row_id, revision.c.frozen_at.is_(None))
        .values(frozen_at=stamp(at))
    )
    return Outcome(row_id, ())


_HANDLERS: Final[Mapping[str, Callable[[Connection, Args, datetime], Outcome]]] = {
    "put": _put,
    "add": _add,
    "change": _change,
    "facts": _facts,
    "move": moves.move,
    "unmoved": moves.unmoved,
    "jars": moves.jars,
    "revise": _revise,
    "weigh": _weigh,
    "lot": _lot,
    "mark": _mark,
    "freeze": _freeze,
}
