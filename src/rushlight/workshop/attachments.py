"""The sheet itself, kept inside the workshop: a PDF or a picture, and nothing that can act.

What a file is, its first bytes say, never its name. It is stored, and handed out as that type
for download; it is never opened, run, or shown as a page.
"""

from __future__ import annotations

from pathlib import PurePosixPath, PureWindowsPath
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput, NotFound
from rushlight.workshop.hazard_views import Attachment, AttachmentLine
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

LARGEST: Final = 10_000_000
"""Bytes of one file; a scanned sheet has a few million."""
_LONGEST_NAME: Final = 100
_MOST_ROWS: Final = 2**31
# First bytes: PDF ISO 32000-1, 7.5.2; PNG ISO/IEC 15948, 5.2; JPEG ISO/IEC 10918-1, B.1.1.3
_MAGIC: Final = (
    (b"%PDF-", "application/pdf", (".pdf",)),
    (b"\x89PNG\r\n\x1a\n", "image/png", (".png",)),
    (b"\xff\xd8\xff", "image/jpeg", (".jpg", ".jpeg")),
)


def attach(  # noqa: PLR0913 - a file has a name and content, and belongs to something
    shop: Workshop,
    material: str,
    name: str,
    content: bytes,
    *,
    lot: str | None = None,
    key: str | None = None,
) -> AttachmentLine:
    """Keep a file with a material; BadInput (place "file") when it is none of the types.

    lot: the code of a lot of that material, when it is of this lot alone, as a certificate is.
    The very file that is there already is not kept twice.
    """
    import hashlib

    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries import hazards as query
    from rushlight.workshop.materials import existing

    media, called = _checked(name, content)
    with deed_of(shop.store, "sheet.attach", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, material)
            owner = None if lot is None else _lot_of(work.connection, row["id"], lot)
            digest = hashlib.sha256(content).hexdigest()
            there = query.attachments(work.connection, row["id"], owner)
            number = next((file["id"] for file in there if file["digest"] == digest), None)
            if number is None:
                number = work.add(
                    "attachment",
                    material_id=row["id"],
                    stock_lot_id=owner,
                    name=called,
                    media=media,
                    size=len(content),
                    digest=digest,
                    content=content,
                    at=stamp(work.at),
                )
            work.subject = f"attachment:{number}"
            to = row["name"] if lot is None else f"{row['name']}, lot {lot}"
            work.said = f"Attached “{called}” to {to}."
            work.result = {"id": number}
        number = work.outcome()["id"]
    return attachment(shop, number).line


def detach(shop: Workshop, number: int, *, key: str | None = None) -> None:
    """Take a file away; it can be undone."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp

    with deed_of(shop.store, "sheet.detach", at=shop.now(), key=key) as work:
        if work.first is None:
            row = _existing(work.connection, number)
            work.change("attachment", row["id"], retired_at=stamp(work.at))
            work.subject = f"attachment:{number}"
            work.said = f"Took “{row['name']}” away."


def attachment(shop: Workshop, number: int) -> Attachment:
    """Return a file with its content; NotFound."""
    with shop.store.reading() as connection:
        row = _existing(connection, number)
    return Attachment(line=line_of(shop, row), content=bytes(row["content"]))


def line_of(shop: Workshop, row: RowMapping) -> AttachmentLine:
    """Return a file without its content."""
    from rushlight.store.marks import moment

    return AttachmentLine(
        id=row["id"],
        name=row["name"],
        media=row["media"],
        size=row["size"],
        attached_at=shop.local(moment(row["at"])),
    )


def _lot_of(connection: Connection, material_id: int, code: str) -> int:
    from rushlight.store.queries.stock import lot_by_code

    row = lot_by_code(connection, code)
    if row is None or row["material_id"] != material_id:
        raise NotFound(f"There is no lot “{code[:40]}” of this material.")
    return int(row["id"])


def _existing(connection: Connection, number: int) -> RowMapping:
    from rushlight.store.queries.hazards import attachment_row

    row = attachment_row(connection, number) if 0 < number < _MOST_ROWS else None
    if row is None or row["retired_at"] is not None:
        raise NotFound(f"There is no attached file {number}.")
    return row


def media_of(content: bytes) -> str | None:
    """Return the media type that the first bytes of a file tell; None for none we keep."""
    return next((media for magic, media, _ in _MAGIC if content.startswith(magic)), None)


def _checked(name: str, content: bytes) -> tuple[str, str]:
    """Return the media type the first bytes tell, and a plain name that ends accordingly."""
    if not content:
        raise BadInput.one("The file is empty.", "Choose the sheet again.", "file")
    if len(content) > LARGEST:
        raise BadInput.one(
            f"The file has {len(content) / 1e6:.1f} MB.",
            f"Attach one of at most {LARGEST // 1_000_000} MB; scan it more coarsely.",
            "file",
        )
    for magic, media, endings in _MAGIC:
        if content.startswith(magic):
            return media, _plain_name(name, endings)
    raise BadInput.one(
        "The file is neither a PDF nor a PNG or JPEG picture, whatever its name says.",
        "Save or scan the sheet as PDF, and attach that.",
        "file",
    )


def _plain_name(name: str, endings: tuple[str, ...]) -> str:
    last = PureWindowsPath(PurePosixPath(name).name).name
    plain = "".join(c for c in " ".join(last.split()) if c.isprintable() and c not in '<>:"/\\|?*')
    stem, dot, ending = plain.rpartition(".")
    if not dot or f".{ending.casefold()}" not in endings:
        stem, ending = plain, endings[0].lstrip(".")
    return f"{stem.strip('. ')[:_LONGEST_NAME] or 'sheet'}.{ending.casefold()}"
