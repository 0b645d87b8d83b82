"""Picking an order: the oldest cured jars first, others where she says so."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from rushlight.errors import Refused
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.order_form import jars_read
from rushlight.workshop.stores.order_view import existing, view_within
from rushlight.workshop.stores.views import LinePicked, OrderView, Pick, PickChoice
from rushlight.workshop.typed import Typed

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work

CURING: Final = "curing"
"""The field that says, with "yes", that jars still curing may be picked."""
_FIELD: Final = re.compile(r"pick\.(\d{1,12})\.([0-9-]{1,40})")


@dataclass(slots=True)
class Shelf:
    """The lots of jars in hand of some candles, the first ready first; left: still to be had."""

    rows: Sequence[RowMapping]
    left: dict[int, int]
    today: str

    def of(self, candle: int, *, cured: bool | None = None) -> list[RowMapping]:
        """Return the lots of a candle: all, cured ones, or curing ones."""
        found = [row for row in self.rows if row["candle_id"] == candle]
        return found if cured is None else [row for row in found if self.cured(row) is cured]

    def cured(self, row: RowMapping) -> bool:
        """Return whether the jars of a lot are out of cure."""
        return bool(row["ready_on"] <= self.today)

    def take(self, candle: int, jars: int) -> list[tuple[RowMapping, int]]:
        """Take jars of a candle from its cured lots, in order; perhaps fewer than asked."""
        found = []
        for row in self.of(candle, cured=True):
            part = min(jars, self.left[row["id"]])
            if part > 0:
                self.left[row["id"]] -= part
                jars -= part
                found.append((row, part))
        return found


def shelf(shop: Workshop, connection: Connection, candles: Sequence[int]) -> Shelf:
    """Return what is in hand of some candles."""
    from rushlight.store.queries.orders import jars_in_hand

    rows = jars_in_hand(connection, sorted(set(candles)))
    return Shelf(rows, {row["id"]: int(row["left"]) for row in rows}, shop.today().isoformat())


def wanting(connection: Connection, number: int) -> list[tuple[RowMapping, int]]:
    """Return the lines of an order with the jars still to be picked for each."""
    from rushlight.store.queries.orders import lines, picked_by_line

    taken = picked_by_line(connection, number)
    return [(line, line["jars"] - taken.get(line["id"], 0)) for line in lines(connection, number)]


def proposal(shop: Workshop, code: str) -> tuple[Pick, ...]:
    """Return what to pick for each line that wants jars: the oldest cured lots first."""
    with shop.store.reading() as connection:
        row = existing(connection, code)
        return proposal_within(shop, connection, row["id"])


def proposal_within(shop: Workshop, connection: Connection, number: int) -> tuple[Pick, ...]:
    """Return what to pick for each line that wants jars, within a reading."""
    wants = [(line, jars) for line, jars in wanting(connection, number) if jars > 0]
    have = shelf(shop, connection, [line["candle_id"] for line, _ in wants])
    picks = []
    for line, jars in wants:
        taken = have.take(line["candle_id"], jars)
        short = jars - sum(part for _, part in taken)
        curing = have.of(line["candle_id"], cured=False)
        choices = tuple(
            PickChoice(
                lot=row["code"],
                left=int(row["left"]),
                ready_on=date.fromisoformat(row["ready_on"]),
                curing=not have.cured(row),
            )
            for row in have.of(line["candle_id"])
        )
        picks.append(
            Pick(
                line=line["id"],
                candle=line["slug"],
                name=line["name"],
                lots=tuple(LinePicked(lot=row["code"], jars=part) for row, part in taken),
                short=short,
                curing_until=date.fromisoformat(curing[0]["ready_on"])
                if short and curing
                else None,
                choices=choices,
            )
        )
    return tuple(picks)


def pick(
    shop: Workshop, code: str, typed: Mapping[str, str], *, key: str | None = None
) -> OrderView:
    """Pick jars for an order.

    typed: "pick.<line id>.<jar lot code>": jars, on top of what is picked already; with no
    such field, what `proposal` says. Jars that are still curing are only taken with
    "curing": "yes".
    """
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "order.pick", at=shop.now(), key=key) as work:
        if work.first is None:
            row = to_be_sent(existing(work.connection, code))
            takes = _typed(shop, work, row, typed)
            for line, lot, jars in takes:
                take(work, line, lot, jars)
            jars = sum(jars for _, _, jars in takes)
            about(work, row["code"], f"Picked {jars} jars for order {row['code']}.")
        return view_within(shop, work.connection, work.outcome()["order"])


def _typed(
    shop: Workshop, work: Work, row: RowMapping, typed: Mapping[str, str]
) -> list[tuple[int, int, int]]:
    """Return what to take, by line, lot and jars; BadInput with every problem."""
    connection = work.connection
    fields = [name for name in typed if _FIELD.fullmatch(name)]
    form = Typed(typed, {*fields, CURING})
    curing = form.choice(CURING, ("yes", "no"), "no") == "yes"
    wants = {int(line["id"]): (line, jars) for line, jars in wanting(connection, row["id"])}
    have = shelf(shop, connection, [line["candle_id"] for line, _ in wants.values()])
    if not fields:
        form.problems.check()
        return _proposed(row, wants.values(), have)
    lots = {lot["code"]: lot for lot in have.rows}
    takes, more = [], {number: jars for number, (_, jars) in wants.items()}
    for name in fields:
        found = _FIELD.fullmatch(name)
        jars = jars_read(form, name)
        if found is None or not jars:
            continue
        number, lot = int(found[1]), lots.get(found[2])
        line = wants[number][0] if number in wants else None
        if line is None:
            form.problems.add(name, "The order has no such line.", "Load the page again.")
        elif lot is None or lot["candle_id"] != line["candle_id"]:
            what = f"No jars of {line['name']} are in hand in lot {found[2]}."
            form.problems.add(name, what, "Choose another lot.")
        else:
            have.left[lot["id"]] -= jars
            more[number] -= jars
            if have.left[lot["id"]] < 0:
                what = f"Lot {lot['code']} has {lot['left']} jars."
                form.problems.add(name, what, "Take fewer of it, and some of another lot.")
            if not have.cured(lot) and not curing:
                what = f"Lot {lot['code']} cures until {lot['ready_on']}."
                form.problems.add(name, what, "Say that jars still curing may go.")
            takes.append((number, int(lot["id"]), jars))
            if more[number] < 0:
                what = f"The line wants {wants[number][1]} jars more."
                form.problems.add(name, what, "Pick as many as it wants, or change the order.")
    if not takes and not form.problems.found:
        form.problems.add("pick", "Nothing would be picked.", "Type how many jars of which lot.")
    form.problems.check()
    return takes


def _proposed(
    row: RowMapping, wants: Iterable[tuple[RowMapping, int]], have: Shelf
) -> list[tuple[int, int, int]]:
    takes = [
        (int(line["id"]), int(lot["id"]), part)
        for line, jars in wants
        for lot, part in have.take(line["candle_id"], jars)
    ]
    if not takes:
        raise Refused(
            f"There is nothing to pick for order {row['code']}: all of it is picked, or no cured "
            "jars are in hand."
        )
    return takes


def unpick(
    shop: Workshop, code: str, typed: Mapping[str, str], *, key: str | None = None
) -> OrderView:
    """Put picked jars back into their lots, before the order is sent.

    typed: "pick.<line id>.<jar lot code>": jars to put back; with no such field, all.
    """
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "order.unpick", at=shop.now(), key=key) as work:
        if work.first is None:
            row = to_be_sent(existing(work.connection, code))
            form = Typed(typed, [name for name in typed if _FIELD.fullmatch(name)])
            wanted = {name: jars_read(form, name) or 0 for name in form.texts}
            form.problems.check()
            jars = put_back(work, row, wanted or None)
            about(work, row["code"], f"Put {jars} jars of order {row['code']} back.")
        return view_within(shop, work.connection, work.outcome()["order"])


def put_back(work: Work, row: RowMapping, wanted: Mapping[str, int] | None = None) -> int:
    """Put picked jars back, all or some by field; return how many. BadInput, Refused."""
    from rushlight.cost.exact import share_of
    from rushlight.errors import Problems
    from rushlight.store.queries.orders import picked

    problems, back = Problems(), 0
    left = dict(wanted or {})
    for taken in picked(work.connection, row["id"]):
        name = f"pick.{taken['order_line_id']}.{taken['code']}"
        have = int(taken["jars"])
        jars = have if wanted is None else left.pop(name, 0)
        if jars > have:
            problems.add(name, f"Only {have} jars are picked.", "Put back as many or fewer.")
        elif jars > 0:
            worth = share_of(int(taken["value"]), of=have, units=jars)
            links = {"jar_lot_id": taken["jar_lot_id"], "order_line_id": taken["order_line_id"]}
            work.do("jars", jars=jars, value=worth, reason="taken back", **links)
            back += jars
    for name, jars in left.items():
        if jars:
            problems.add(name, "Nothing of this lot is picked there.", "Load the page again.")
    problems.check()
    if wanted is not None and not back:
        raise Refused(f"Nothing of order {row['code']} was put back. Type how many jars.")
    return back


def take(work: Work, line: int, lot: int, jars: int) -> None:
    """Take jars of a lot for a line of an order."""
    work.do("jars", jar_lot_id=lot, jars=-jars, reason="sold", order_line_id=line)


def to_be_sent(row: RowMapping) -> RowMapping:
    """Return the row of an order that is neither cancelled nor sent; Refused."""
    if row["retired_at"] is not None:
        raise Refused(f"Order {row['code']} is cancelled.")
    if row["sent_at"] is not None:
        raise Refused(f"Order {row['code']} was sent already.")
    return row


def about(work: Work, code: str, said: str) -> None:
    """Say what a deed did to an order."""
    work.subject = f"order:{code}"
    work.said = said
    work.result = {"order": code}
