"""Buyers: found by name, whatever the case, and made when they are new."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rushlight.errors import BadInput, NotFound
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import LONGEST_NOTE, Typed

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

    from rushlight.store.deeds import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyerLine:
    """Somebody who buys; contact: how to reach them, should jars have to come back."""

    name: str
    contact: str
    note: str


def buyers(shop: Workshop, *, limit: int = 1000) -> tuple[BuyerLine, ...]:
    """Return the buyers by name."""
    from rushlight.store.queries.orders import buyers as rows

    with shop.store.reading() as connection:
        return tuple(_line(row) for row in rows(connection, limit))


def save_buyer(
    shop: Workshop, name: str, typed: Mapping[str, str], *, key: str | None = None
) -> BuyerLine:
    """Change a buyer. typed: name, contact, note; what is not named stays. NotFound."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import plain
    from rushlight.store.queries.orders import buyer_row

    with deed_of(shop.store, "buyer.save", at=shop.now(), key=key) as work:
        if work.first is None:
            row = buyer_row(work.connection, plain(name))
            if row is None:
                raise NotFound(f"There is no buyer “{name[:60]}” in this workshop.")
            values = _form(typed, row)
            other = buyer_row(work.connection, values["plain"])
            if other is not None and other["id"] != row["id"]:
                raise BadInput.one(
                    f"There is a buyer called {other['name']} already.",
                    "Type another name.",
                    "name",
                )
            work.change("buyer", row["id"], **values)
            work.subject = f"buyer:{row['id']}"
            work.said = f"Changed the buyer {values['name']}."
            work.result = {"plain": values["plain"]}
        found = buyer_row(work.connection, work.outcome()["plain"])
    if found is None:
        raise NotFound(f"There is no buyer “{name[:60]}” in this workshop any more.")
    return _line(found)


def _form(typed: Mapping[str, str], row: RowMapping) -> dict[str, str]:
    from rushlight.store.marks import plain

    texts = {"name": row["name"], "contact": row["contact"], "note": row["note"], **typed}
    form = Typed(texts, ("name", "contact", "note"))
    name = form.needed("name", "The buyer has no name.", "Type a name.")
    values = {"name": name, "plain": plain(name), "contact": " ".join(form.text("contact").split())}
    values["note"] = form.text("note", longest=LONGEST_NOTE)
    form.problems.check()
    return values


def buyer_of(work: Work, name: str, contact: str) -> int | None:
    """Return the buyer of a name within a deed, made where new; None without a name.

    contact: kept where one is given; an empty one leaves what is known.
    """
    from rushlight.store.marks import plain, stamp
    from rushlight.store.queries.orders import buyer_row

    if not name:
        return None
    row = buyer_row(work.connection, plain(name))
    if row is None:
        return work.add("buyer", name=name, plain=plain(name), contact=contact, at=stamp(work.at))
    if row["retired_at"] is not None:
        work.change("buyer", row["id"], name=name, retired_at=None)
    if contact and contact != row["contact"]:
        work.change("buyer", row["id"], contact=contact)
    return int(row["id"])


def _line(row: RowMapping) -> BuyerLine:
    return BuyerLine(name=row["name"], contact=row["contact"], note=row["note"])
