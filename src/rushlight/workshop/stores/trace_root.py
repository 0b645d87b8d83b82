"""Where a thread begins: a typed code, and what it may mean."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput, NotFound
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.codes import check
from rushlight.workshop.stores.thread_views import WORDS, Kind
from rushlight.workshop.stores.trace_views import Found, Hit

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

_POUR: Final = re.compile(r"(?:pour\s*)?(?:#|no\.?\s*)?(\d{1,8})", re.IGNORECASE)
_LONGEST: Final = 80
_MOST_HITS: Final = 50


@dataclass(frozen=True, slots=True)
class Root:
    """Where a thread begins: its kind, its number in the store, its code as printed."""

    kind: Kind
    id: int
    code: str


def root_of(connection: Connection, text: str) -> Root:
    """Return what one of our own codes, or a pour's number, means; BadInput, NotFound."""
    from rushlight.store.queries import trace_find as query

    as_pour = _POUR.fullmatch(text.strip())
    if as_pour:
        row = query.pour_row(connection, int(as_pour[1]))
        if row is None:
            raise NotFound(f"There is no pour {int(as_pour[1])} in this workshop.")
        return Root("pour", int(row["id"]), str(row["id"]))
    code = check(text)
    kind: Kind
    if code.startswith("M"):
        kind, row = "stock_lot", query.stock_lot_row(connection, code)
    elif code.startswith("S"):
        kind, row = "order", query.order_row(connection, code)
    else:
        kind, row = "jar_lot", query.jar_lot_row(connection, code)
        if row is not None and row["retired_at"] is not None:
            raise NotFound(f"Lot {code} was undone with its pour, {row['pour_id']}.")
    if row is None:
        raise NotFound(f"There is no {WORDS[kind].lower()} {code} in this workshop.")
    return Root(kind, int(row["id"]), code)


def find(shop: Workshop, text: str) -> Found:
    """Return what a typed or scanned text may mean: perhaps several things, perhaps nothing.

    One of our own codes, the number of a pour, or the code a supplier printed on a lot: whole,
    whatever the case, or from three letters on a part of it. A slip in a code of ours is told
    in `slip`; the text is looked for among the suppliers' codes all the same.
    """
    asked = " ".join(text.split())
    if not asked or len(asked) > _LONGEST or not asked.isprintable():
        raise BadInput.one("This is no code.", "Type or scan the code on the label.", "text")
    with shop.store.reading() as connection:
        hits, slip = _ours(connection, asked)
        hits += _supplied(connection, asked, {hit.code for hit in hits})
    return Found(asked=asked, hits=tuple(hits), slip=slip)


def _ours(connection: Connection, asked: str) -> tuple[list[Hit], str]:
    """Return what the text means as a code of ours or as a pour, and what is wrong with it."""
    try:
        return _hits(connection, root_of(connection, asked)), ""
    except BadInput as bad:
        return [], _slip(asked, bad)
    except NotFound as nothing:
        return [], "" if _POUR.fullmatch(asked) else str(nothing)


def _hits(connection: Connection, root: Root) -> list[Hit]:
    """Return where a thread may begin; a pour leads to the jars it made, where it made any."""
    from rushlight.store.queries import trace_find as query
    from rushlight.store.queries.trace import stock_lots

    if root.kind == "stock_lot":
        return [_lot_hit(row) for row in stock_lots(connection, [root.id])]
    if root.kind == "order":
        order = query.order_row(connection, root.code)
        told = "" if order is None else f"placed {order['placed_on']}"
        return [Hit(code=root.code, kind="order", title=f"Order {root.code}", told=told)]
    made = query.jars_of_pour(connection, root.id) if root.kind == "pour" else [root.code]
    if made:
        return [_jars_hit(query.jar_lot_row(connection, code), code) for code in made]
    pour = query.pour_row(connection, root.id)
    told = "" if pour is None else f"{pour['name']}, {pour['state']}"
    return [Hit(code=root.code, kind="pour", title=f"Pour {root.code}", told=told)]


def _slip(asked: str, bad: BadInput) -> str:
    """Return what is wrong with what nearly is a code of ours; empty for any other text."""
    nearly = re.fullmatch(r"[MSms]?[\d\s–—_./-]{3,}", asked)
    return str(bad.problems[0]) if nearly else ""


def _jars_hit(row: RowMapping | None, code: str) -> Hit:
    told = ""
    if row is not None:
        told = f"{row['jars']} jars of {row['name']}, poured {row['poured_on']}"
    return Hit(code=code, kind="jar_lot", title=f"Jar lot {code}", told=told)


def _lot_hit(row: RowMapping) -> Hit:
    told = [str(row["name"])]
    if row["supplier"]:
        told.append(f"from {row['supplier']}")
    if row["supplier_lot"]:
        told.append(f"their lot {row['supplier_lot']}")
    told.append(f"received {row['received_on']}")
    title = f"Lot {row['code']}"
    return Hit(code=row["code"], kind="stock_lot", title=title, told=", ".join(told))


def _supplied(connection: Connection, asked: str, known: set[str]) -> list[Hit]:
    from rushlight.store.queries.trace_find import supplied_as

    rows = supplied_as(connection, asked, _MOST_HITS)
    return [_lot_hit(row) for row in rows if row["code"] not in known]
