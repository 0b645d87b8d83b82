"""Which lots a pour takes: proposed first expiring first, chosen by her, held while it runs.

A lot past its date is listed, last and marked so, and never proposed: she takes it only by
saying so. What another running pour holds is not free. A pour that lacks something starts all
the same, for she may know better than the books; the view says what is short.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from rushlight.errors import BadInput
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.pour_states import about, existing, in_state
from rushlight.workshop.pour_views import PourState
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import preference_of, reader
from rushlight.workshop.stores.lot_rows import line_of
from rushlight.workshop.stores.saying import said
from rushlight.workshop.stores.views import LotChoice, NeedLots
from rushlight.workshop.typed import Typed

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.quantity.preference import Preference
    from rushlight.store.deeds import Work

Taken = dict[int, int]
"""What is taken of each lot [mg or pieces], in the order it is to be used."""


@dataclass(slots=True)
class _Shelf:
    """The needs of a pour, and the lots of each material that may serve them."""

    needs: Sequence[RowMapping]
    lots: dict[int, dict[int, RowMapping]]  # by material, first expiring first, past ones last
    held: Mapping[int, int]  # by other running pours
    day: date
    left: Taken = field(default_factory=dict)  # of each lot, as it is given out here

    def free(self, lot: RowMapping) -> int:
        """Return what no other running pour holds of a lot."""
        return max(int(lot["left"]) - self.held.get(lot["id"], 0), 0)

    def propose(self, need: RowMapping) -> Taken:
        """Take lots for a need, first expiring first, none past its date."""
        found: Taken = {}
        wanted = int(need["amount"])
        for number, lot in self.lots[need["material_id"]].items():
            part = min(wanted, self.left.setdefault(number, self.free(lot)))
            if part > 0 and not past(lot, self.day):
                found[number] = part
                self.left[number] -= part
                wanted -= part
        return found


def choices(shop: Workshop, pour: int) -> tuple[NeedLots, ...]:
    """Return what a pour takes and from which lots; NotFound.

    What is taken of a lot is a proposal until the pour starts, and what is held for it then.
    """
    with shop.store.reading() as connection:
        row = existing(connection, pour)
        shelf = _shelf(connection, pour, shop.today())
        if row["state"] == PourState.PLANNED:
            taken = {need["id"]: shelf.propose(need) for need in shelf.needs}
        else:
            taken = _held(connection, pour, shelf)
        held = row["state"] == PourState.RUNNING
        return tuple(_choice(shelf, need, taken[need["id"]], held=held) for need in shelf.needs)


def choose(
    shop: Workshop, pour: int, typed: Mapping[str, str], *, key: str | None = None
) -> tuple[NeedLots, ...]:
    """Hold other lots for a running pour. typed: lot.<need id>.<lot code>, an amount.

    A need that is named takes the lots named for it and no others; the rest stay as they are.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries.stock import reservations

    with deed_of(shop.store, "pour.choose", at=shop.now(), key=key) as work:
        if work.first is None:
            row = in_state(work.connection, pour, PourState.RUNNING)
            shelf = _shelf(work.connection, pour, shop.today())
            form = Typed(typed, lot_fields(typed))
            chosen = _chosen(work.connection, form, shelf)
            form.problems.check()
            before = _held(work.connection, pour, shelf)
            other = {n["material_id"] for n in shelf.needs if n["id"] in chosen}
            for kept in reservations(work.connection, pour):
                if kept["material_id"] in other:
                    work.change("reservation", kept["id"], retired_at=stamp(work.at))
            for need in shelf.needs:
                if need["material_id"] in other:
                    _reserve(work, pour, need, chosen.get(need["id"], before[need["id"]]))
            about(work, row, f"Chose the lots for {row['name']}.")
    return choices(shop, pour)


def lot_fields(typed: Mapping[str, Any]) -> set[str]:
    """Return the fields that name a lot."""
    return {name for name in typed if str(name).startswith("lot.")}


def past(lot: RowMapping, day: date) -> bool:
    """Return whether the expiry or retest date of a lot is past; on the day itself it is not."""
    return lot["expires_on"] is not None and lot["expires_on"] < day.isoformat()


def hold(work: Work, pour: int, form: Typed, day: date) -> None:
    """Hold lots for a pour that starts: those chosen, and what is proposed for other needs.

    Notes its problems in the form, and then holds nothing.
    """
    shelf = _shelf(work.connection, pour, day)
    chosen = _chosen(work.connection, form, shelf)
    if form.problems.found:
        return
    for need in shelf.needs:
        own = chosen.get(need["id"])
        _reserve(work, pour, need, shelf.propose(need) if own is None else own)


def _reserve(work: Work, pour: int, need: RowMapping, taken: Taken) -> None:
    from rushlight.store.marks import stamp

    for lot, units in taken.items():
        work.add(
            "reservation",
            pour_id=pour,
            material_id=need["material_id"],
            stock_lot_id=lot,
            amount=units,
            at=stamp(work.at),
        )


def _shelf(connection: Connection, pour: int, day: date) -> _Shelf:
    from rushlight.store.queries.pouring import kept_needs
    from rushlight.store.queries.stock import in_hand, reserved

    needs = kept_needs(connection, pour)
    lots = {}
    for material in dict.fromkeys(need["material_id"] for need in needs):
        rows = sorted(in_hand(connection, material), key=lambda row: past(row, day))
        lots[material] = {row["id"]: row for row in rows}
    return _Shelf(needs, lots, reserved(connection, but=pour), day)


def _held(connection: Connection, pour: int, shelf: _Shelf) -> dict[int, Taken]:
    """Return what is held by need; needs of one material share its lots in their order."""
    from rushlight.store.queries.stock import lot_row, reservations

    found: dict[int, Taken] = {need["id"]: {} for need in shelf.needs}
    last = {need["material_id"]: need["id"] for need in shelf.needs}
    open_units = {need["id"]: int(need["amount"]) for need in shelf.needs}
    for row in reservations(connection, pour):
        lot, owner, units = row["stock_lot_id"], row["material_id"], int(row["amount"])
        if lot not in shelf.lots.setdefault(owner, {}):
            gone = lot_row(connection, lot)
            if gone is not None:
                shelf.lots[owner][lot] = gone
        for need in shelf.needs:
            if need["material_id"] != owner or units == 0:
                continue
            rest = last[owner] == need["id"]
            part = units if rest else min(units, open_units[need["id"]])
            if part > 0:
                found[need["id"]][lot] = found[need["id"]].get(lot, 0) + part
                open_units[need["id"]] -= part
                units -= part
    return found


def _choice(shelf: _Shelf, need: RowMapping, taken: Taken, *, held: bool) -> NeedLots:
    measure = Measure(need["measure"])
    lots = shelf.lots[need["material_id"]]
    there = sum(min(units, int(lots[lot]["left"])) for lot, units in taken.items())
    own = taken if held else {}
    return NeedLots(
        need=need["id"],
        material=need["slug"],
        role=need["role"],
        name=need["material"],
        needed=Amount(need["amount"], measure),
        short=Amount(max(need["amount"] - there, 0), measure),
        lots=tuple(
            LotChoice(
                lot=line_of(row, {number: shelf.held.get(number, 0) + own.get(number, 0)}),
                free=Amount(shelf.free(row), measure),
                taken=Amount(taken.get(number, 0), measure),
                past=past(row, shelf.day),
            )
            for number, row in lots.items()
        ),
    )


def _chosen(connection: Connection, form: Typed, shelf: _Shelf) -> dict[int, Taken]:
    """Return the lots she chose, by the needs she named; problems are noted in the form."""
    shown = preference_of(connection)
    found: dict[int, Taken] = {}
    for place in form.texts:
        if not place.startswith("lot."):
            continue
        number, _, code = place.removeprefix("lot.").partition(".")
        need = next((n for n in shelf.needs if str(n["id"]) == number), None)
        if need is None:
            form.problems.add(place, "This pour has no such need.", "Load the page again.")
            continue
        taken = found.setdefault(need["id"], {})
        units = _units(form, place, need, shown)
        lot = _lot(connection, form, place, code, need)
        if lot is not None and units:
            _take(form, shelf, place, lot, units, shown)
            taken[lot["id"]] = taken.get(lot["id"], 0) + units
    return found


def _units(form: Typed, place: str, need: RowMapping, shown: Preference) -> int:
    amount = form.read(place, reader(Measure(need["measure"]), shown))
    return 0 if amount is None else amount.units


def _lot(
    connection: Connection, form: Typed, place: str, code: str, need: RowMapping
) -> RowMapping | None:
    from rushlight.store.codes import check
    from rushlight.store.queries.stock import lot_by_code

    try:
        found = lot_by_code(connection, check(code))
    except BadInput as bad:
        form.problems.extend(bad.at(place).problems)
        return None
    if found is None or found["material_id"] != need["material_id"]:
        form.problems.add(
            place, f"“{code[:40]}” is no lot of {need['material']}.", "Choose one of its lots."
        )
        return None
    return found


def _take(  # noqa: PLR0913, PLR0917 - what is taken, of what, and where it was typed
    form: Typed, shelf: _Shelf, place: str, lot: RowMapping, units: int, shown: Preference
) -> None:
    left = shelf.left.setdefault(lot["id"], shelf.free(lot))
    if units > left:
        free = said(Amount(left, Measure(lot["measure"])), shown)
        form.problems.add(
            place,
            f"Only {free} of lot {lot['code']} is free.",
            "Take less of it, and the rest of another lot.",
        )
    shelf.left[lot["id"]] = max(left - units, 0)
