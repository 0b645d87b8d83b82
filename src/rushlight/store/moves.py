"""What moves in the stores: materials by lot, and jars by lot, each with the cost it bears.

What leaves a lot bears its part of what the lot is still worth; whoever takes the last of it
takes all that is left. So the cost that came in is, to the last 1/10 000, what went out and
what is still there. Nothing goes below zero: said here in words, and refused by the database.

What makes up for a move says the reason of what it undoes, so that what stands of a reason is the
sum of its moves and of those that undo it, however often something was undone and done again.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import Connection, case, func, select

from rushlight.cost.exact import half_even, share_of
from rushlight.errors import NotFound, Refused
from rushlight.store.command import Args, Command, Outcome, inserted
from rushlight.store.marks import stamp
from rushlight.store.queries.why import why
from rushlight.store.tables import (
    candle,
    jar_balance,
    jar_entry,
    jar_lot,
    material,
    movement,
    pour,
    reservation,
    stock_balance,
    stock_lot,
)

_CAME: Final = ("received", "counted")
"""Why something of a lot is there."""
_KEPT: Final = ("note", "undoes", "pour_id", "stocktake_id", "order_line_id")


@dataclass(frozen=True, slots=True)
class Balance:
    """What is left of a lot, milligrams, pieces or jars, and what it is worth [1/10 000]."""

    units: int
    value: int


def stock_left(connection: Connection, lot: int) -> Balance:
    """Return what is left of a lot of a material."""
    row = connection.execute(
        select(stock_balance.c.amount, stock_balance.c.value).where(
            stock_balance.c.stock_lot_id == lot
        )
    ).first()
    return Balance(0, 0) if row is None else Balance(int(row.amount), int(row.value))


def jars_left(connection: Connection, lot: int) -> Balance:
    """Return what is left of a lot of jars."""
    row = connection.execute(
        select(jar_balance.c.jars, jar_balance.c.value).where(jar_balance.c.jar_lot_id == lot)
    ).first()
    return Balance(0, 0) if row is None else Balance(int(row.jars), int(row.value))


def move(connection: Connection, args: Args, at: datetime) -> Outcome:
    """Write a movement of a lot.

    args: stock_lot_id, amount, reason; note, pour_id, stocktake_id, order_line_id, day where
    there are any; value: the cost that moves along, worked out from the lot where it is not given.
    """
    lot = _lot(connection, args)
    amount = int(args["amount"])
    left = stock_left(connection, lot)
    if left.units + amount < 0:
        name = connection.execute(
            select(material.c.name)
            .join(stock_lot, stock_lot.c.material_id == material.c.id)
            .where(stock_lot.c.id == lot)
        ).scalar_one()
        raise Refused(
            f"There is not that much {name} in hand. Count it, and enter what you counted."
        )
    value = _value(args, amount, left)
    _check_worth(left, Balance(amount, value))
    owner = connection.execute(
        select(stock_lot.c.material_id).where(stock_lot.c.id == lot)
    ).scalar_one()
    row = {"stock_lot_id": lot, "amount": amount, "value": value, **_told(args, at)}
    row_id = inserted(connection, movement, {"material_id": owner, **row})
    undo = {**args, "stock_lot_id": lot, "amount": -amount, "value": -value, **_undone(args)}
    undo.pop("day", None)
    return Outcome(row_id, (Command("move", undo),))


def unmoved(connection: Connection, args: Args, _at: datetime) -> Outcome:
    """Check that nothing has happened to a lot but its coming; write nothing.

    It is its own inverse: done beside the movement that opens a lot, it is asked again when
    that is to be undone, and says in plain words why it cannot be. args: stock_lot_id.
    """
    lot = int(args["stock_lot_id"])
    row = connection.execute(
        select(stock_lot.c.code, stock_lot.c.amount, stock_lot.c.cost, material.c.name)
        .join(material, material.c.id == stock_lot.c.material_id)
        .where(stock_lot.c.id == lot)
    ).one()
    if stock_left(connection, lot) != Balance(row.amount, row.cost) or _drawn_from(connection, lot):
        raise Refused(
            f"Something has happened to {row.name}, lot {row.code}, since it came: it was used, "
            "packed, counted, scrapped, is held for a pour, or its cost was entered. "
            "Undo that first."
        )
    return Outcome(lot, (Command("unmoved", {"stock_lot_id": lot}),))


def _drawn_from(connection: Connection, lot: int) -> bool:
    """Return whether something of a lot was taken or is held, whatever was counted since."""
    took = (
        select(movement.c.pour_id)
        .where(movement.c.stock_lot_id == lot, why(movement).not_in(_CAME))
        .group_by(movement.c.pour_id)
        .having(func.sum(movement.c.amount) != 0)
    )
    holds = (
        select(reservation.c.pour_id)
        .join(pour, pour.c.id == reservation.c.pour_id)
        .where(
            reservation.c.stock_lot_id == lot,
            reservation.c.retired_at.is_(None),
            pour.c.state == "running",
        )
    )
    return any(connection.execute(query.limit(1)).first() for query in (took, holds))


def _check_worth(left: Balance, moved: Balance) -> None:
    """Refuse what would leave a lot worth less than nothing, or nothing of it worth something.

    Only undoing can: of what was put into the lot, when some of it has left since.
    """
    units, value = left.units + moved.units, left.value + moved.value
    if value < 0 or (units == 0 and value != 0):
        raise Refused(
            "Some of this lot has left since and took a part of its cost along. Undo that first."
        )


def jars(connection: Connection, args: Args, at: datetime) -> Outcome:
    """Write an entry of a lot of jars.

    args: jar_lot_id, jars, reason; note, order_line_id, stocktake_id, day where there are any;
    value as in `move`.
    """
    lot, count = int(args["jar_lot_id"]), int(args["jars"])
    unmaking = args.get("undoes") == "poured" and count < 0
    left = jars_left(connection, lot)
    if left.units + count < 0:
        row = connection.execute(
            select(jar_lot.c.code, candle.c.name)
            .join(candle, candle.c.id == jar_lot.c.candle_id)
            .where(jar_lot.c.id == lot)
        ).one()
        remedy = "Count them, and enter what you counted."
        if unmaking:
            remedy = "Undo first what became of the others."
        raise Refused(
            f"There are only {left.units} jars of {row.name}, lot {row.code}, in hand. {remedy}"
        )
    if unmaking:
        _none_went(connection, lot)
    _not_more_back(connection, args)
    value = _value(args, count, left)
    _check_worth(left, Balance(count, value))
    row_id = inserted(
        connection, jar_entry, {"jar_lot_id": lot, "jars": count, "value": value, **_told(args, at)}
    )
    undo = {**args, "jars": -count, "value": -value, **_undone(args)}
    undo.pop("day", None)
    return Outcome(row_id, (Command("jars", undo),))


def _not_more_back(connection: Connection, args: Args) -> None:
    """Refuse that more jars of a lot come back from a line of an order than went to it."""
    line, count = args.get("order_line_id"), int(args["jars"])
    if line is None or count <= 0:
        return
    went = -connection.execute(
        select(func.coalesce(func.sum(jar_entry.c.jars), 0)).where(
            jar_entry.c.order_line_id == line, jar_entry.c.jar_lot_id == int(args["jar_lot_id"])
        )
    ).scalar_one()
    if count > went:
        raise Refused(
            f"{count} jars cannot come back from this order: it has {went} of this lot. "
            "Look at the order, and take back what it has."
        )


def _lot(connection: Connection, args: Args) -> int:
    """Return the lot that moves; a deed of an older schema named only its material."""
    found = args.get("stock_lot_id")
    if found is None:
        first = select(stock_lot.c.id).where(stock_lot.c.material_id == args["material_id"])
        found = connection.execute(first.order_by(stock_lot.c.id).limit(1)).scalar()
    if found is None:
        raise NotFound("There is no lot of this material.")
    return int(found)


def _none_went(connection: Connection, lot: int) -> None:
    """Refuse to unmake a lot of jars of which some went, whatever was counted since."""
    line = jar_entry.c.order_line_id
    # what an order has given back is not gone, whatever it was called each way
    fate = case((line.is_not(None), "sold"), else_=why(jar_entry)).label("fate")
    stands = select(fate).where(jar_entry.c.jar_lot_id == lot).group_by(line, "fate")
    went = set(connection.execute(stands.having(func.sum(jar_entry.c.jars) != 0)).scalars())
    if "sold" in went:
        raise Refused("Jars of this pour went into an order. Take them back first.")
    if went - {"poured"}:
        said = ", ".join(sorted(went - {"poured"}))
        raise Refused(
            f"Jars of this pour have left it or were counted since: {said}. Undo that first."
        )


def _value(args: Args, units: int, left: Balance) -> int:
    given = args.get("value")
    if given is not None:
        return int(given)
    if units >= 0:
        # what is found is worth as much as what it is found beside
        return half_even(left.value * units, left.units) if left.units else 0
    return -share_of(left.value, of=left.units, units=-units)


def _undone(args: Args) -> dict[str, object]:
    """Return the reason of an undoing, and of what: undoing and doing again add up by reason."""
    return {"reason": "undone", "undoes": args.get("undoes") or args["reason"]}


def _told(args: Args, at: datetime) -> dict[str, object]:
    told = {name: args[name] for name in _KEPT if args.get(name) is not None}
    day = args.get("day") or at.date().isoformat()
    return {"reason": args["reason"], "at": stamp(at), "day": day, **told}
