"""Reading counts as they were typed, and lots found that were not on the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from rushlight.errors import BadInput
from rushlight.quantity.preference import Preference
from rushlight.workshop.material_views import Measure
from rushlight.workshop.stores.amounts import like, preference_of, reader
from rushlight.workshop.typed import Typed

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

_NOT_THERE: Final = "Enter its delivery, or pour it, again; or undo that it was undone."


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """A count as read. line: None for a lot that comes onto the sheet; then lot says which.

    books: what the books hold at this moment, so that it can be told if something moves later.
    """

    line: int | None
    lot: Mapping[str, int]
    typed: str
    counted: int | None
    books: int | None


def read(connection: Connection, row: RowMapping, typed: Mapping[str, str]) -> list[Count]:
    """Return the counts that are new or changed; BadInput with every problem."""
    from rushlight.store.queries.stocktakes import lines

    there = {line["id"]: line for line in lines(connection, row["id"])}
    places = {f"line.{number}": line for number, line in there.items()}
    form = Typed(typed, {*places, "found", "found_amount"})
    pref = preference_of(connection)
    counts = []
    for place, line in places.items():
        text = form.text(place)
        if place not in form.texts or text == line["typed"]:
            continue
        amount = form.read(place, reader(Measure(line["measure"]), pref))
        counts.append(_count(line, text, None if amount is None else amount.units))
    if form.text("found") or form.text("found_amount"):
        counts += _found(connection, row, form, list(there.values()), pref)
    form.problems.check()
    return counts


def _count(line: RowMapping, text: str, counted: int | None) -> Count:
    return Count(
        line=line["id"],
        lot={},
        typed=text,
        counted=counted,
        books=None if counted is None else int(line["left"]),
    )


def _found(
    connection: Connection,
    row: RowMapping,
    form: Typed,
    there: list[RowMapping],
    pref: Preference,
) -> list[Count]:
    """Return the count of a lot that was found; of one on the sheet, that of its line."""
    form.needed("found", "Which lot it is is missing.", "Type its code, as on its label.")
    lot = form.read("found", lambda text: _lot(connection, row, text))
    if lot is None:
        return []
    measure = Measure(lot["measure"])
    amount = form.read("found_amount", reader(measure, pref))
    text, counted = form.text("found_amount"), None if amount is None else amount.units
    same = [line for line in there if line["code"] == lot["code"]]
    if same:
        if amount is None and not text:
            form.problems.add(
                "found_amount", f"{lot['code']} is on the sheet already.", like(measure)
            )
        return [_count(same[0], text, counted)]
    books = None if counted is None else int(lot["left"])
    owner = {str(lot["owner"]): int(lot["id"])}
    return [Count(line=None, lot=owner, typed=text, counted=counted, books=books)]


def _lot(connection: Connection, row: RowMapping, text: str) -> Mapping[str, Any]:
    """Return a lot by its code, if this stocktake is of such; BadInput."""
    from rushlight.store.codes import STOCK, check
    from rushlight.store.queries.stocktakes import found_jars, found_stock

    code = check(text)
    of_stock = code.startswith(STOCK)
    found = found_stock(connection, code) if of_stock else found_jars(connection, code)
    if found is None:
        raise BadInput.one(f"There is no lot {code} in this workshop.", "Read the code again.")
    if row["of"] == ("jars" if of_stock else "materials"):
        raise BadInput.one(
            f"{code} is {found['name']}, and this stocktake is of {row['of']} alone.",
            "Count it on its own page.",
        )
    if of_stock and row["role"] and found["role"] != row["role"]:
        raise BadInput.one(
            f"{code} is {found['name']}, a {found['role']}, and this stocktake is of one role "
            f"alone: {row['role']}.",
            "Count it on its own page.",
        )
    if found["undone_at"] is not None:
        raise BadInput.one(f"That {code} came here was undone.", _NOT_THERE)
    return {**found, "owner": "stock_lot_id" if of_stock else "jar_lot_id"}
