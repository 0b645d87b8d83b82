"""Lots of materials: what is left of each, and what happens to one of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from rushlight.errors import NotFound, Refused
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import like, money_reader, preference_of, reader
from rushlight.workshop.stores.saying import said
from rushlight.workshop.stores.views import LotLine, LotView
from rushlight.workshop.typed import LONGEST_NOTE, Typed

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.quantity.preference import Preference
    from rushlight.store.deeds import Work
    from rushlight.workshop.hazard_views import AttachmentLine

_RECENT: Final = 200


def listing(
    shop: Workshop, material: str | None = None, *, empty: bool = False, limit: int = 500
) -> tuple[LotLine, ...]:
    """Return lots, first expiring first: of one material or all, those used up too or not."""
    from rushlight.store.queries import stock as query
    from rushlight.workshop.materials import existing
    from rushlight.workshop.stores.lot_rows import line_of

    with shop.store.reading() as connection:
        owner = None if material is None else existing(connection, material)["id"]
        rows = query.lots(connection, owner, empty=empty, limit=limit)
        held = query.reserved(connection)
    return tuple(line_of(row, held) for row in rows)


def get(shop: Workshop, code: str) -> LotView:
    """Return one lot with its movements and files; the code as typed or scanned. NotFound."""
    from rushlight.store.queries import stock as query
    from rushlight.store.queries.hazards import attachments
    from rushlight.workshop.attachments import line_of as file_of
    from rushlight.workshop.stores.lot_rows import line_of, move_of

    with shop.store.reading() as connection:
        row = existing(connection, code)
        moves = query.moves(connection, row["id"], _RECENT)
        files = attachments(connection, row["material_id"], row["id"])
        held = query.reserved(connection)
    measure = Measure(row["measure"])
    return LotView(
        line=line_of(row, held),
        delivery=row["delivery_id"],
        note=row["note"],
        moves=tuple(move_of(shop, move, measure) for move in moves),
        files=tuple(file_of(shop, file) for file in files),
    )


def existing(connection: Connection, code: str) -> RowMapping:
    """Return the row of a lot by its code as typed or scanned; BadInput, NotFound."""
    from rushlight.store.codes import check
    from rushlight.store.queries.stock import lot_by_code

    row = lot_by_code(connection, check(code))
    if row is None:
        raise NotFound(f"There is no lot “{code[:40]}” of a material in this workshop.")
    return row


def scrap(
    shop: Workshop, code: str, typed: Mapping[str, str], *, key: str | None = None
) -> LotView:
    """Throw some of a lot away. typed: amount, note."""
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "lot.scrap", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, code)
            pref = preference_of(work.connection)
            form = Typed(typed, ("amount", "note"))
            amount, note = _amount(form, row, pref), form.text("note", longest=LONGEST_NOTE)
            left = Amount(int(row["left"]), Measure(row["measure"]))
            if amount is not None and amount.units == 0:
                form.problems.add("amount", "Nothing would be scrapped.", like(left.measure))
            if amount is not None and amount > left:
                form.problems.add(
                    "amount",
                    f"Only {said(left, pref)} of this lot is left.",
                    "Type less, or count the lot and enter what you counted.",
                )
            form.problems.check()
            units = 0 if amount is None else amount.units
            _move(work, row, amount=-units, reason="scrapped", note=note)
            _tell(work, row, f"Scrapped {form.text('amount')} of {row['name']}")
        found = work.outcome()
    return get(shop, found["code"])


def count(
    shop: Workshop, code: str, typed: Mapping[str, str], *, key: str | None = None
) -> LotView:
    """Enter what was counted of a lot; the difference is booked. typed: amount, note (why)."""
    from rushlight.store.deeds import deed_of
    from rushlight.workshop.stores.ledger import COUNTED, came_at

    with deed_of(shop.store, "lot.count", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, code)
            form = Typed(typed, ("amount", "note"))
            amount = _amount(form, row, preference_of(work.connection))
            note = form.text("note", longest=LONGEST_NOTE) or COUNTED
            form.problems.check()
            _not_undone(row)
            more = (0 if amount is None else amount.units) - int(row["left"])
            told: dict[str, int] = {}
            if row["left"] == 0:
                told["value"] = came_at(row, more)
            if more:
                _move(work, row, amount=more, reason="counted", note=note, **told)
            _tell(work, row, f"Counted {form.text('amount')} of {row['name']}")
        found = work.outcome()
    return get(shop, found["code"])


def worth(
    shop: Workshop, code: str, typed: Mapping[str, str], *, key: str | None = None
) -> LotView:
    """Enter what a lot cost that came without a cost. typed: cost, of the whole lot as it came.

    What is left bears its share of it, in proportion; what has left already went without a
    cost, and the jars it went into keep theirs. It may be entered again, to correct it.
    """
    from rushlight.cost.exact import half_even
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "lot.worth", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, code)
            pref = preference_of(work.connection)
            if row["came_costed"]:
                raise Refused("What this lot cost is known from its delivery.")
            came, left = int(row["amount"]), int(row["left"])
            if left == 0:
                raise Refused("Nothing of this lot is left that could bear its cost.")
            form = Typed(typed, ("cost",))
            form.needed("cost", "The cost is missing.", "Type what the whole lot cost, like 48.50.")
            cost = form.read("cost", money_reader(pref.currency))
            share = half_even((cost or 0) * min(left, came), came) if came else cost or 0
            if cost is not None and share == 0:
                form.problems.add(
                    "cost", "This comes to nothing.", "Type what the whole lot cost, like 48.50."
                )
            form.problems.check()
            more = share - int(row["worth"])
            if more:
                note = f"Cost of the whole lot entered: {form.text('cost')}"
                _move(work, row, amount=0, value=more, reason="valued", note=note)
            _tell(work, row, f"Entered the cost of {row['name']}")
        found = work.outcome()
    return get(shop, found["code"])


def attach(
    shop: Workshop, code: str, name: str, content: bytes, *, key: str | None = None
) -> AttachmentLine:
    """Keep a file with a lot, such as its certificate; BadInput (place "file"), NotFound."""
    from rushlight.workshop import attachments

    with shop.store.reading() as connection:
        row = existing(connection, code)
    return attachments.attach(shop, row["slug"], name, content, lot=row["code"], key=key)


def _amount(form: Typed, row: RowMapping, pref: Preference) -> Amount | None:
    measure = Measure(row["measure"])
    form.needed("amount", "The amount is missing.", like(measure))
    return form.read("amount", reader(measure, pref))


def _move(work: Work, row: RowMapping, **told: int | str) -> None:
    work.do("move", stock_lot_id=row["id"], **told)


def _tell(work: Work, row: RowMapping, what: str) -> None:
    work.said = f"{what}, lot {row['code']}."
    work.subject = f"lot:{row['code']}"
    work.result = {"code": row["code"]}


def _not_undone(row: RowMapping) -> None:
    """Refuse to count what never came: the lot of a delivery that was undone."""
    if row["delivery_undone_at"] is not None:
        raise Refused("The delivery of this lot was undone. Enter it again, or undo that.")
