"""Reading safety data sheets, certificates and the files attached to them."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sqlalchemy import Connection, RowMapping, Table, func, select

from rushlight.store.tables import attachment, certificate, datasheet

_LINE = tuple(column for column in attachment.c if column.name != "content")


def sheets(connection: Connection, ids: Collection[int]) -> dict[int, RowMapping]:
    """Return the sheet in force by material: the newest that was not taken back."""
    return _newest(connection, datasheet, ids)


def certificates(connection: Connection, ids: Collection[int]) -> dict[int, RowMapping]:
    """Return the certificate in force by material."""
    return _newest(connection, certificate, ids)


def attachments(
    connection: Connection, material_id: int, lot: int | None = None
) -> Sequence[RowMapping]:
    """Return the files of a material, or of one lot of it, newest first, without their content."""
    query = select(*_LINE).where(
        attachment.c.material_id == material_id,
        attachment.c.stock_lot_id.is_(None) if lot is None else attachment.c.stock_lot_id == lot,
        attachment.c.retired_at.is_(None),
    )
    return connection.execute(query.order_by(attachment.c.id.desc())).mappings().all()


def attached(connection: Connection, ids: Collection[int]) -> dict[int, int]:
    """Return how many files are attached, by material; those of single lots are left out."""
    query = (
        select(attachment.c.material_id, func.count())
        .where(
            attachment.c.material_id.in_(ids),
            attachment.c.stock_lot_id.is_(None),
            attachment.c.retired_at.is_(None),
        )
        .group_by(attachment.c.material_id)
    )
    return {int(owner): int(count) for owner, count in connection.execute(query)}


def attachment_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one file with its content, also one taken away."""
    query = select(attachment).where(attachment.c.id == number)
    return connection.execute(query).mappings().first()


def _newest(connection: Connection, table: Table, ids: Collection[int]) -> dict[int, RowMapping]:
    if not ids:
        return {}
    newest = (
        select(func.max(table.c.id))
        .where(table.c.material_id.in_(ids), table.c.retired_at.is_(None))
        .group_by(table.c.material_id)
    )
    rows = connection.execute(select(table).where(table.c.id.in_(newest))).mappings()
    return {int(row["material_id"]): row for row in rows}
