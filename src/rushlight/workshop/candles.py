"""Candles: designs with revisions that never change, and the live sheet."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any, Final

from rushlight.candle import document as candle_document
from rushlight.errors import BadInput, NotFound, Problem
from rushlight.workshop.candle_views import CandleLine, CandleView, RevisionLine, Sheets, Supply
from rushlight.workshop.live import sheet, sheets_within
from rushlight.workshop.shelf import DEEPEST
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import slug_of

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work

__all__ = [
    "CandleLine",
    "CandleView",
    "RevisionLine",
    "Sheets",
    "Supply",
    "blank",
    "get",
    "history",
    "listing",
    "put_back",
    "save",
    "sheet",
    "shelve",
]

_LARGEST: Final = 200_000
"""Bytes of a document as JSON; the fullest real one has a few thousand."""


def listing(shop: Workshop) -> tuple[CandleLine, ...]:
    """Return the candles by name."""
    from rushlight.store.marks import moment
    from rushlight.store.queries.candles import candles

    with shop.store.reading() as connection:
        rows = candles(connection)

    def local(text: str) -> datetime:
        return shop.local(moment(text))

    return tuple(
        CandleLine(
            slug=row["slug"],
            name=row["name"],
            revision=row["number"],
            saved_at=local(row["saved_at"]),
            frozen=row["frozen_at"] is not None,
            pours=row["pours"],
            last_poured=local(row["last_poured"]).date() if row["last_poured"] else None,
        )
        for row in rows
    )


def get(shop: Workshop, slug: str, revision: int | None = None) -> CandleView:
    """Return a candle at a revision (None: the latest); NotFound."""
    with shop.store.reading() as connection:
        return view_within(shop, connection, slug, revision)


def view_within(
    shop: Workshop, connection: Connection, slug: str, number: int | None
) -> CandleView:
    """Return a candle at a revision within a reading."""
    from rushlight.store.marks import moment

    row = existing(connection, slug)
    latest, found = revision_within(connection, row, number)
    document = json.loads(found["document"])
    return CandleView(
        slug=slug,
        name=str(document.get("name") or row["name"]),
        revision=found["number"],
        latest=latest,
        document=document,
        frozen=found["frozen_at"] is not None,
        saved_at=shop.local(moment(found["saved_at"])),
    )


def revision_within(
    connection: Connection, row: RowMapping, number: int | None
) -> tuple[int, RowMapping]:
    """Return the newest number and the row of a revision (None: the newest); NotFound."""
    from rushlight.store.queries.candles import last_number, revision_row

    latest = last_number(connection, row["id"])
    found = revision_row(connection, row["id"], latest if number is None else number)
    if found is None:
        raise NotFound(f"{row['name']} has no revision {number}; the newest is {latest}.")
    return latest, found


def existing(connection: Connection, slug: str) -> RowMapping:
    """Return the row of a candle in use; NotFound."""
    from rushlight.store.queries.candles import candle_row

    row = candle_row(connection, slug)
    if row is None or row["retired_at"] is not None:
        raise NotFound(f"There is no candle “{slug[:60]}” in this workshop.")
    return row


def save(
    shop: Workshop, slug: str | None, document: Mapping[str, Any], *, key: str | None = None
) -> CandleView:
    """Make (slug None) a candle or a new revision of it; an identical document makes none.

    The document must read as a candle and have a name: BadInput with every problem
    otherwise. What is kept is what she typed, without the fields left empty.
    """
    from rushlight.store.deeds import deed_of

    kept = tidy(document)
    with deed_of(shop.store, "candle.save", at=shop.now(), key=key) as work:
        if work.first is None:
            _check(work.connection, kept)
            if slug is None:
                _make(work, kept)
            else:
                _revise(work, existing(work.connection, slug), kept)
        found = work.outcome()
    return get(shop, found["slug"], found["revision"])


def _check(connection: Connection, document: Mapping[str, Any]) -> None:
    """Refuse a document that does not read; the same reading as on the page."""
    from rushlight.store.marks import written

    problems: list[Problem] = []
    name = document.get("name")
    if not isinstance(name, str) or not name.strip():
        problems.append(Problem("name", "The candle has no name.", "Type what you call it."))
    try:
        sheets_within(connection, document, None)
    except BadInput as bad:
        problems += bad.problems
    try:
        size = len(written(document).encode())
    except (TypeError, ValueError):
        problems.append(
            Problem("", "This document holds what is no text and no number.", "Type it in quotes.")
        )
    else:
        if size > _LARGEST:
            problems.append(Problem("", "This document is far too long.", "Shorten it."))
    if problems:
        raise BadInput(*problems)


def _make(work: Work, document: Mapping[str, Any]) -> None:
    from rushlight.store.marks import stamp
    from rushlight.store.queries.candles import candle_row

    name = document["name"]
    slug = slug_of(name, lambda s: candle_row(work.connection, s) is not None)
    number = work.add("candle", slug=slug, name=name, added_at=stamp(work.at))
    work.do("revise", candle_id=number, document=document)
    work.subject = f"candle:{slug}"
    work.said = f"Designed {name}."
    work.result = {"slug": slug, "revision": 1}


def _revise(work: Work, row: RowMapping, document: Mapping[str, Any]) -> None:
    from rushlight.store.marks import digest

    latest, newest = revision_within(work.connection, row, None)
    number = latest
    if newest["digest"] != digest(document):
        work.do("revise", candle_id=row["id"], document=document)
        number = latest + 1
    work.subject = f"candle:{row['slug']}"
    work.said = f"Saved revision {number} of {document['name']}."
    work.result = {"slug": row["slug"], "revision": number}


def history(shop: Workshop, slug: str) -> tuple[RevisionLine, ...]:
    """Return the revisions, newest first."""
    from rushlight.store.marks import moment
    from rushlight.store.queries.candles import revisions

    with shop.store.reading() as connection:
        rows = revisions(connection, existing(connection, slug)["id"])
    lines: list[RevisionLine] = []
    before: dict[str, str] = {}
    for row in rows:
        now = flat(json.loads(row["document"]))
        changed = sorted(k for k in {*before, *now} if before.get(k) != now.get(k))
        lines.append(
            RevisionLine(
                number=row["number"],
                saved_at=shop.local(moment(row["saved_at"])),
                frozen_at=shop.local(moment(row["frozen_at"])) if row["frozen_at"] else None,
                changed=tuple(changed) if lines else (),
            )
        )
        before = now
    return tuple(reversed(lines))


def put_back(shop: Workshop, slug: str, revision: int, *, key: str | None = None) -> CandleView:
    """Make an earlier revision the newest, as a new revision."""
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "candle.put_back", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, slug)
            _, wanted = revision_within(work.connection, row, revision)
            _revise(work, row, json.loads(wanted["document"]))
            work.said = f"Put back revision {revision} of {row['name']}."
        found = work.outcome()
    return get(shop, found["slug"], found["revision"])


def shelve(shop: Workshop, slug: str, *, key: str | None = None) -> None:
    """Take a candle out of the list; nothing is lost, and it can be undone."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp

    with deed_of(shop.store, "candle.shelve", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, slug)
            work.change("candle", row["id"], retired_at=stamp(work.at))
            work.subject = f"candle:{slug}"
            work.said = f"Shelved {row['name']}."


def blank(shop: Workshop) -> dict[str, Any]:
    """Return a document to start from: plain, of built-in kinds, in the units of the workshop."""
    from rushlight.workshop.settings import current

    shown = current(shop).preference
    return {
        "rushlight": candle_document.FORMAT,
        "name": "",
        "note": "",
        "vessel": {"use": "straight tumbler"},
        "fill": {
            "headspace": "1/2 in" if shown.length == "in" else "12 mm",
            "state": "as poured",
        },
        "wax": {"use": "soy container"},
        "fragrance": {"load": "8 %", "basis": "of wax", "oils": []},
        "wick": {
            "use": "cotton flat",
            "count": "1",
            "trim": "1/4 in" if shown.length == "in" else "6 mm",
        },
        "batch": {"jars": "12"},
    }


def tidy(value: Mapping[str, Any], depth: int = 0) -> dict[str, Any]:
    """Return a document without the fields left empty and the rows left blank."""
    if depth > DEEPEST:
        raise BadInput.one("This document is nested too deep.", "Write it flatter.")
    found: dict[str, Any] = {}
    for key, item in value.items():
        kept = _tidy(item, depth + 1)
        if kept not in ("", None, {}, []):
            found[str(key)] = kept
    return found


def _tidy(item: Any, depth: int) -> Any:
    if isinstance(item, Mapping):
        return tidy(item, depth)
    if isinstance(item, list | tuple):
        if depth > DEEPEST:
            raise BadInput.one("This document is nested too deep.", "Write it flatter.")
        rows = [_tidy(row, depth + 1) for row in item]
        return [row for row in rows if row not in ("", None, {}, [])]
    return item.strip() if isinstance(item, str) else item


def flat(value: Any, place: str = "") -> dict[str, str]:
    """Return a document as dotted fields and their texts."""
    if isinstance(value, Mapping):
        pairs = list(value.items())
    elif isinstance(value, list):
        pairs = list(enumerate(value))
    else:
        return {place: str(value)}
    found: dict[str, str] = {}
    for key, item in pairs:
        found.update(flat(item, f"{place}.{key}" if place else str(key)))
    return found
