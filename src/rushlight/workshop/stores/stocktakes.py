"""Counting everything: a sheet with a line for every lot, and the differences booked at once."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.workshop.material_views import ROLES
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.counting import ABANDONED, BOOKED, OPEN, line_of
from rushlight.workshop.stores.views import StocktakeLine, StocktakeView
from rushlight.workshop.typed import Typed

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work

__all__ = ["abandon", "begin", "book", "enter", "get", "listing"]

OF: Final = ("both", "materials", "jars")
_MOST_ROWS: Final = 2**31


def begin(shop: Workshop, typed: Mapping[str, str], *, key: str | None = None) -> StocktakeView:
    """Begin a stocktake: a line for every lot in hand.

    typed: of ("both", "materials" or "jars"), role (of materials; empty for all), blind ("yes"
    where whoever counts is not to see what the books hold; "no").
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries import stocktakes as query

    with deed_of(shop.store, "stocktake.begin", at=shop.now(), key=key) as work:
        if work.first is None:
            form = Typed(typed, ("of", "role", "blind"))
            of = form.choice("of", OF, "both")
            role = form.choice("role", ("", *ROLES), "") if of != "jars" else ""
            blind = form.choice("blind", ("yes", "no"), "no") == "yes"
            form.problems.check()
            stock = query.stock_in_hand(work.connection, role) if of != "jars" else []
            jars = query.jars_in_hand(work.connection) if of != "materials" else []
            if not stock and not jars:
                raise BadInput.one(
                    "There is nothing of this in hand to count.", "Choose something else.", "of"
                )
            number = work.add(
                "stocktake",
                of=of,
                role=role,
                blind=int(blind),
                state=OPEN,
                opened_at=stamp(work.at),
            )
            for lot in stock:
                work.add("count_line", stocktake_id=number, stock_lot_id=lot)
            for lot in jars:
                work.add("count_line", stocktake_id=number, jar_lot_id=lot)
            _tell(work, number, f"Began a stocktake of {len(stock) + len(jars)} lots.")
        number = work.outcome()["id"]
    return get(shop, number)


def listing(shop: Workshop, *, limit: int = 100) -> tuple[StocktakeLine, ...]:
    """Return the latest stocktakes, newest first."""
    from rushlight.store.queries import stocktakes as query

    with shop.store.reading() as connection:
        rows = query.stocktakes(connection, limit)
    return tuple(_line_of(shop, row) for row in rows)


def get(shop: Workshop, number: int) -> StocktakeView:
    """Return a stocktake with its lines; NotFound."""
    from rushlight.store.queries import stocktakes as query

    with shop.store.reading() as connection:
        row = _existing(connection, number)
        lines = query.lines(connection, number)
        booked = query.booked(connection, number) if row["state"] == BOOKED else {}
    shown = tuple(
        line_of(line, state=row["state"], blind=bool(row["blind"]), booked=booked) for line in lines
    )
    return StocktakeView(
        line=_line_of(shop, row),
        reason=row["reason"],
        lines=shown,
        worth=sum((line.worth for line in shown if line.worth is not None), Decimal(0)),
    )


def enter(
    shop: Workshop, number: int, typed: Mapping[str, str], *, key: str | None = None
) -> StocktakeView:
    """Enter counts. typed: line.<id> by line, found (a lot's code) with found_amount.

    A bare number of a mass is in the workshop's own unit. An empty count says the line is not
    counted; a line that is not named, or says what it said, stays as it is. A lot that lies
    there though the books hold nothing of it comes onto the sheet by its code.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.workshop.stores.count_form import read

    with deed_of(shop.store, "stocktake.enter", at=shop.now(), key=key) as work:
        if work.first is None:
            row = _open(work.connection, number)
            counts = read(work.connection, row, typed)
            for count in counts:
                line = count.line
                if line is None:
                    line = work.add("count_line", stocktake_id=number, **count.lot)
                work.change(
                    "count_line",
                    line,
                    typed=count.typed,
                    counted=count.counted,
                    expected=count.books,
                )
            plural = "" if len(counts) == 1 else "s"
            _tell(work, number, f"Counted {len(counts)} lot{plural}, stocktake {number}.")
    return get(shop, number)


def book(
    shop: Workshop, number: int, typed: Mapping[str, str], *, key: str | None = None
) -> StocktakeView:
    """Book what was counted against what the books hold now; lines not counted stay as they are.

    typed: reason (needed where anything differs); moved ("as counted"): needed where something
    went into or out of a lot since it was counted, to book the count all the same.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries import stocktakes as query
    from rushlight.workshop.stores.count_booking import book_lines, read_reason

    with deed_of(shop.store, "stocktake.book", at=shop.now(), key=key) as work:
        if work.first is None:
            _open(work.connection, number)
            lines = query.lines(work.connection, number)
            counted = [line for line in lines if line["counted"] is not None]
            if not counted:
                raise Refused("Nothing is counted yet. Enter what you counted, or abandon it.")
            reason = read_reason(work.connection, typed, counted)
            said = book_lines(work, counted, reason)
            work.change("stocktake", number, state=BOOKED, reason=reason, booked_at=stamp(work.at))
            _tell(work, number, f"Booked stocktake {number}: {said}.")
    return get(shop, number)


def abandon(shop: Workshop, number: int, *, key: str | None = None) -> StocktakeView:
    """Give a stocktake up; nothing is booked."""
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "stocktake.abandon", at=shop.now(), key=key) as work:
        if work.first is None:
            _open(work.connection, number)
            work.change("stocktake", number, state=ABANDONED)
            _tell(work, number, f"Abandoned stocktake {number}.")
    return get(shop, number)


def _existing(connection: Connection, number: int) -> RowMapping:
    from rushlight.store.queries.stocktakes import stocktake_row

    row = stocktake_row(connection, number) if 0 < number < _MOST_ROWS else None
    if row is None:
        raise NotFound(f"There is no stocktake {number}.")
    return row


def _open(connection: Connection, number: int) -> RowMapping:
    row = _existing(connection, number)
    if row["state"] != OPEN:
        raise Refused(f"This stocktake is {row['state']}: nothing more is counted in it.")
    return row


def _line_of(shop: Workshop, row: RowMapping) -> StocktakeLine:
    from rushlight.store.marks import moment

    booked = row["booked_at"]
    return StocktakeLine(
        id=row["id"],
        of=row["of"],
        role=row["role"],
        blind=bool(row["blind"]),
        state=row["state"],
        opened_at=shop.local(moment(row["opened_at"])),
        booked_at=None if booked is None else shop.local(moment(booked)),
        lines=int(row["lines"]),
        counted=int(row["counted"]),
    )


def _tell(work: Work, number: int, what: str) -> None:
    work.said = what
    work.subject = f"stocktake:{number}"
    work.result = {"id": number}
