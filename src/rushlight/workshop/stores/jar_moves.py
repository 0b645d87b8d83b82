"""Jars that leave their lot unsold, come back from a buyer, or were counted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Final

from rushlight.cost.exact import half_even
from rushlight.errors import BadInput, Refused
from rushlight.quantity import parse
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import LONGEST_NOTE, Typed, within

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

    from rushlight.store.deeds import Work
    from rushlight.workshop.stores.views import JarLotView

FATES: Final[Mapping[str, str]] = {
    "given": "Gave away",
    "testing": "Took for testing",
    "broken": "Wrote off as broken",
}
"""Why jars leave unsold, and how it is said."""
_MOST: Final = 1_000_000

_Act = Callable[["Work", "RowMapping", Typed, int], str]


def take(
    shop: Workshop, code: str, typed: Mapping[str, str], *, key: str | None = None
) -> JarLotView:
    """Take jars that are not sold. typed: jars, fate ("given", "testing", "broken"), note.

    Jars that are curing still may be taken as well.
    """
    return _do(shop, code, (typed, ("jars", "fate", "note")), _take, key)


def take_back(
    shop: Workshop, code: str, typed: Mapping[str, str], *, key: str | None = None
) -> JarLotView:
    """Put jars back that a buyer returned. typed: jars, order (its code), note.

    They bring back the cost they took along. A jar that is no longer good is then taken as
    broken.
    """
    return _do(shop, code, (typed, ("jars", "order", "note")), _take_back, key)


def count(
    shop: Workshop, code: str, typed: Mapping[str, str], *, key: str | None = None
) -> JarLotView:
    """Enter how many jars were counted; the difference is booked. typed: jars, note."""
    return _do(shop, code, (typed, ("jars", "note")), _count, key)


def _do(
    shop: Workshop,
    code: str,
    form: tuple[Mapping[str, str], tuple[str, ...]],
    act: _Act,
    key: str | None,
) -> JarLotView:
    from rushlight.store.deeds import deed_of
    from rushlight.workshop.stores.jars import existing, get

    verb = act.__name__.lstrip("_")
    with deed_of(shop.store, f"jars.{verb}", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, code)
            if row["retired_at"] is not None:
                raise Refused(f"The pour of lot {row['code']} was undone: it has no jars.")
            read = Typed(*form)
            read.needed("jars", "The number of jars is missing.", "Type it, like 2.")
            least = 0 if act is _count else 1
            jars = read.read("jars", within(parse.count, least, _MOST, f"a number from {least} up"))
            work.said = act(work, row, read, jars or 0)
            work.subject = f"jars:{row['code']}"
            work.result = {"code": row["code"]}
        found = work.outcome()["code"]
    return get(shop, found)


def _take(work: Work, row: RowMapping, form: Typed, jars: int) -> str:
    fate = form.text("fate")
    if fate not in FATES:
        form.problems.add(
            "fate", "What becomes of them is missing.", f"Choose from {', '.join(FATES)}."
        )
    if jars > row["left"]:
        form.problems.add(
            "jars",
            f"Only {row['left']} jars of lot {row['code']} are in hand.",
            "Take fewer, or count them first.",
        )
    note = form.text("note", longest=LONGEST_NOTE)
    form.problems.check()
    work.do("jars", jar_lot_id=row["id"], jars=-jars, reason=fate, note=note)
    return f"{FATES[fate]}: {jars} of {row['name']}, lot {row['code']}."


def _take_back(work: Work, row: RowMapping, form: Typed, jars: int) -> str:
    order = _order(work, form)
    had = _had(work, row, form, order, jars) if order else ()
    note = form.text("note", longest=LONGEST_NOTE)
    form.problems.check()
    left = jars
    for line in had:
        part = min(left, int(line["jars"]))
        left -= part
        if part:
            worth = half_even(int(line["value"]) * part, int(line["jars"]))
            links = {"jar_lot_id": row["id"], "order_line_id": line["order_line_id"]}
            work.do("jars", jars=part, value=worth, reason="taken back", note=note, **links)
    return f"Took back {jars} of {row['name']}, lot {row['code']}, order {order}."


def _order(work: Work, form: Typed) -> str:
    """Return the code of an order that was sent; "" where a problem was noted."""
    from rushlight.store.codes import check
    from rushlight.store.queries.orders import order_row

    text = form.needed(
        "order", "The order is missing.", "Type its code, as it stands on the packing slip."
    )
    if not text:
        return ""
    try:
        found = order_row(work.connection, check(text))
    except BadInput as bad:
        form.problems.extend(bad.at("order").problems)
        return ""
    if found is None:
        form.problems.add("order", f"There is no order {text}.", "Read the code again.")
    elif found["sent_at"] is None:
        form.problems.add("order", f"Order {found['code']} is not sent yet.", "Pick it anew.")
    else:
        return str(found["code"])
    return ""


def _had(work: Work, row: RowMapping, form: Typed, order: str, jars: int) -> tuple[RowMapping, ...]:
    """Return what the lines of an order have of a lot; a problem is noted where it is less."""
    from rushlight.store.queries.jars import sent_lines

    had = tuple(sent_lines(work.connection, row["id"], order))
    have = sum(int(line["jars"]) for line in had)
    if jars > have:
        form.problems.add(
            "jars",
            f"Order {order} has {have} jars of lot {row['code']}.",
            "Take back as many or fewer, or look up the lot on the jar.",
        )
    return had


def _count(work: Work, row: RowMapping, form: Typed, jars: int) -> str:
    note = form.text("note", longest=LONGEST_NOTE)
    form.problems.check()
    more = jars - int(row["left"])
    if more:
        told = {"jar_lot_id": row["id"], "reason": "counted", "note": note}
        if row["left"] == 0:
            # nothing is left to lie beside: worth what they were when they were poured
            told["value"] = half_even(int(row["cost"]) * more, int(row["jars"]))
        work.do("jars", jars=more, **told)
    return f"Counted {jars} of {row['name']}, lot {row['code']}."
