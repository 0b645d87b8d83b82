"""Safety data sheets, certificates, their files, and what a candle must say because of them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any, Final

from rushlight.errors import BadInput, Problem
from rushlight.hazard.certificate import Certificate, Standing
from rushlight.hazard.law import Law
from rushlight.hazard.paste import Pasted, read_rows
from rushlight.hazard.statements import Language
from rushlight.hazard.typed import FIELDS as SHEET_FIELDS
from rushlight.workshop.attachments import attach, attachment, detach, line_of
from rushlight.workshop.hazard_review import review, review_jar
from rushlight.workshop.hazard_views import (
    Attachment,
    AttachmentLine,
    SheetLine,
    SheetView,
)
from rushlight.workshop.kept_sheets import kept_certificate, kept_sheet
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import LONGEST

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

__all__ = [
    "CERTIFICATE_FIELDS",
    "ROLES",
    "SHEET_FIELDS",
    "Attachment",
    "AttachmentLine",
    "Language",
    "Law",
    "SheetLine",
    "SheetView",
    "attach",
    "attachment",
    "clear_certificate",
    "clear_sheet",
    "detach",
    "listing",
    "preview",
    "review",
    "review_jar",
    "save_certificate",
    "save_sheet",
    "sheet",
]

ROLES: Final = ("fragrance", "dye", "additive", "wax")
"""Roles whose materials can have a safety data sheet that counts."""
CERTIFICATE_FIELDS: Final = ("limit", "category", "amendment", "supplier", "issued")
LONGEST_ROWS: Final = 200_000
"""Characters of pasted rows; a sheet of two hundred substances has some 20 000."""


def listing(shop: Workshop) -> tuple[SheetLine, ...]:
    """Return the materials that can have a sheet, by role and name, with what is kept."""
    from rushlight.store.queries import hazards as query
    from rushlight.store.queries.materials import materials

    with shop.store.reading() as connection:
        rows = [row for role in ROLES for row in materials(connection, role)]
        ids = [row["id"] for row in rows]
        sheets = query.sheets(connection, ids)
        certificates = query.certificates(connection, ids)
        files = query.attached(connection, ids)
    return tuple(_line(row, sheets, certificates, files.get(row["id"], 0)) for row in rows)


def _line(
    row: RowMapping,
    sheets: Mapping[int, RowMapping],
    certificates: Mapping[int, RowMapping],
    files: int,
) -> SheetLine:
    found = _or_none(row, sheets.get(row["id"]))
    held = certificates.get(row["id"])
    return SheetLine(
        material=row["slug"],
        name=row["name"],
        role=row["role"],
        components=None if found is None else len(found.components),
        dated="" if found is None else found.dated,
        standing=Standing.UNKNOWN if held is None else _certificate(row["name"], held)[0].standing,
        attachments=files,
    )


def _or_none(material: RowMapping, row: RowMapping | None) -> Any:
    try:
        return None if row is None else kept_sheet(material["name"], row["typed"])
    except BadInput:
        return None


def sheet(shop: Workshop, material: str) -> SheetView:
    """Return what is kept of a material's safety; NotFound."""
    from rushlight.store.queries import hazards as query
    from rushlight.workshop.materials import existing

    with shop.store.reading() as connection:
        row = existing(connection, material)
        number, name = row["id"], row["name"]
        held = query.sheets(connection, [number]).get(number)
        paper = query.certificates(connection, [number]).get(number)
        files = query.attachments(connection, number)
    problems: list[Problem] = []
    found = None
    if held is not None:
        try:
            found = kept_sheet(name, held["typed"])
        except BadInput as bad:
            problems += bad.problems
    certificate, wrong = _certificate(name, paper)
    sheet_typed, certificate_typed = _typed(held), _typed(paper)
    return SheetView(
        material=material,
        name=name,
        role=row["role"],
        typed=sheet_typed,
        sheet=found,
        saved_at=_when(shop, held) if sheet_typed else None,
        certificate=certificate,
        certificate_typed=certificate_typed,
        certificate_saved_at=_when(shop, paper) if certificate_typed else None,
        attachments=tuple(line_of(shop, file) for file in files),
        problems=(*problems, *wrong),
    )


def preview(rows: str) -> Pasted:
    """Return what can be read of pasted rows, with every problem; nothing is kept."""
    if len(rows) > LONGEST_ROWS:
        return Pasted(rows[:LONGEST], (), (), (_too_long("rows", rows, LONGEST_ROWS),))
    return read_rows(rows)


def save_sheet(
    shop: Workshop, material: str, typed: Mapping[str, Any], *, key: str | None = None
) -> SheetView:
    """Keep a material's safety data sheet; what is not given is empty.

    typed: rows (section 3 as pasted), flash_point, flash_method, boiling_point, viscosity,
    ph, dated, supplier, attached, note. BadInput places: "rows.3.cas", "flash_point".
    The sheet before stays in the record, and counts again when this is undone.
    """
    given = _given(typed, SHEET_FIELDS, long={"rows": LONGEST_ROWS, "note": 5000})
    return _save(shop, material, "datasheet", given, key=key)


def clear_sheet(shop: Workshop, material: str, *, key: str | None = None) -> SheetView:
    """Take a material's sheet away; it can be undone."""
    return _save(shop, material, "datasheet", {}, key=key)


def save_certificate(
    shop: Workshop, material: str, typed: Mapping[str, Any], *, key: str | None = None
) -> SheetView:
    """Keep a material's use-limit certificate.

    typed: limit ("12 %", "no restriction", "not permitted" or "unknown"), category,
    amendment, supplier, issued.
    """
    given = _given(typed, CERTIFICATE_FIELDS, long={})
    return _save(shop, material, "certificate", given, key=key)


def clear_certificate(shop: Workshop, material: str, *, key: str | None = None) -> SheetView:
    """Take a material's certificate away: its limit is unknown again."""
    return _save(shop, material, "certificate", {}, key=key)


_SAID: Final = {
    "datasheet": ("sheet", "the safety data sheet"),
    "certificate": ("certificate", "the certificate"),
}


def _save(
    shop: Workshop, material: str, table: str, given: Mapping[str, str], *, key: str | None
) -> SheetView:
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp, written
    from rushlight.store.queries import hazards as query
    from rushlight.workshop.materials import existing

    verb, said = _SAID[table]
    with deed_of(shop.store, f"{verb}.save", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, material)
            _check_role(row)
            text = written(given)
            if given:
                (kept_sheet if table == "datasheet" else kept_certificate)(row["name"], text)
            look = query.sheets if table == "datasheet" else query.certificates
            before = look(work.connection, [row["id"]]).get(row["id"])
            if text != ("{}" if before is None else before["typed"]):
                work.add(table, material_id=row["id"], typed=text, at=stamp(work.at))
            work.subject = f"{verb}:{material}"
            work.said = f"{'Kept' if given else 'Took away'} {said} of {row['name']}."
    return sheet(shop, material)


def _check_role(row: RowMapping) -> None:
    if row["role"] not in ROLES:
        raise BadInput.one(
            f"A {row['role']} takes no safety data sheet here.",
            f"Keep one with a {', '.join(ROLES[:-1])} or {ROLES[-1]}.",
            "material",
        )


def _given(
    typed: Mapping[str, Any], known: tuple[str, ...], *, long: Mapping[str, int]
) -> dict[str, str]:
    """Return the filled-in fields in the order of the form; BadInput with every problem."""
    problems = [
        Problem(str(k)[:40], f"“{str(k)[:40]}” is not a field here.", f"Use {', '.join(known)}.")
        for k in typed
        if k not in known
    ]
    given: dict[str, str] = {}
    for field in known:
        raw = typed.get(field, "")
        most = long.get(field, LONGEST)
        breaks = "\n\r\t" if field in long else ""
        if not isinstance(raw, str):
            problems.append(Problem(field, "This is not a text.", "Type one value."))
        elif len(raw) > most:
            problems.append(_too_long(field, raw, most))
        elif not all(c.isprintable() or c in breaks or c == "\xa0" for c in raw):
            problems.append(
                Problem(field, "This holds characters that cannot be printed.", "Type it anew.")
            )
        elif raw.strip():
            given[field] = raw.strip("\r\n") if field == "rows" else raw.strip()
    if problems:
        raise BadInput(*problems)
    return given


def _too_long(field: str, text: str, most: int) -> Problem:
    return Problem(
        field, f"This is {len(text):,} characters long.", f"Use at most {most:,} characters."
    )


def _certificate(name: str, row: RowMapping | None) -> tuple[Certificate, tuple[Problem, ...]]:
    unknown = Certificate(oil=name, standing=Standing.UNKNOWN)
    if row is None:
        return unknown, ()
    try:
        return kept_certificate(name, row["typed"]), ()
    except BadInput as bad:
        return unknown, bad.at("certificate").problems


def _typed(row: RowMapping | None) -> dict[str, str]:
    return {} if row is None else dict(json.loads(row["typed"]))


def _when(shop: Workshop, row: RowMapping | None) -> datetime | None:
    from rushlight.store.marks import moment

    return None if row is None else shop.local(moment(row["at"]))
