"""What a candle must say, live: its sheet joined with what is kept of its materials."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rushlight.candle.sheet import JarSheet, Role
from rushlight.errors import BadInput, Problems
from rushlight.hazard.certificate import Certificate
from rushlight.hazard.document import Key, carried, entries
from rushlight.hazard.law import Law
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.review import Review
from rushlight.hazard.review import review as of_jar
from rushlight.hazard.statements import Language
from rushlight.workshop.kept_sheets import kept_certificate, kept_sheet
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from sqlalchemy import Connection


def review(
    shop: Workshop,
    candle: Mapping[str, Any] | str,
    law: Law | None = None,
    *,
    language: Language | None = None,
) -> Review:
    """Return what a candle must say: a document as it stands, or a candle by its slug.

    law, language: the workshop's own where not given. BadInput with every problem of the
    document; NotFound.
    """
    from rushlight.workshop.candles import view_within
    from rushlight.workshop.live import sheets_within

    with shop.store.reading() as connection:
        document = (
            view_within(shop, connection, candle, None).document
            if isinstance(candle, str)
            else candle
        )
        jar = sheets_within(connection, document, None).jar
        return _within(connection, document, jar, law, language)


def review_jar(
    shop: Workshop,
    document: Mapping[str, Any],
    jar: JarSheet,
    law: Law | None = None,
    *,
    language: Language | None = None,
) -> Review:
    """Return the same where the sheet of one jar has been computed already."""
    with shop.store.reading() as connection:
        return _within(connection, document, jar, law, language)


def _within(
    connection: Connection,
    document: Mapping[str, Any],
    jar: JarSheet,
    law: Law | None,
    language: Language | None,
) -> Review:
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    labels = settings_of(settings(connection)).labels
    sheets, certificates = _kept(connection, document)
    own = carried(document)  # what the document says itself goes before what is kept
    return of_jar(
        jar,
        sheets={**sheets, **own.sheets},
        certificates={**certificates, **own.certificates},
        law=law or labels.law,
        language=language or labels.language,
    )


def _kept(
    connection: Connection, document: Mapping[str, Any]
) -> tuple[dict[Key, SafetySheet], dict[Key, Certificate]]:
    """Return what is kept of the materials of a document, by role and name in it."""
    from rushlight.store.queries import hazards as query
    from rushlight.workshop.shelf import StoredShelf

    shelf = StoredShelf(connection, document)
    named: dict[Key, tuple[int, str]] = {}
    for entry in entries(document):
        row = shelf.row(entry.role, entry.use) if entry.use else None
        if row is not None:
            named[entry.key] = (row["id"], entry.place)
    wax = document.get("wax")
    if isinstance(wax, Mapping) and isinstance(wax.get("use"), str):
        row = shelf.row("wax", wax["use"])
        if row is not None:
            named[Role.WAX, str(wax.get("name") or wax["use"])] = (row["id"], "wax")
    ids = {number for number, _ in named.values()}
    rows, papers = query.sheets(connection, ids), query.certificates(connection, ids)
    problems = Problems()
    sheets: dict[Key, SafetySheet] = {}
    certificates: dict[Key, Certificate] = {}
    for key, (number, place) in named.items():
        name = key[1]
        try:
            if number in rows and (found := kept_sheet(name, rows[number]["typed"])):
                sheets[key] = found
            if number in papers:
                certificates[key] = kept_certificate(name, papers[number]["typed"])
        except BadInput as bad:
            problems.extend(bad.at(place).problems)
    problems.check()
    return sheets, certificates
