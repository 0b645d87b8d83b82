"""Reading settings, channels and deeds."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, RowMapping, select

from rushlight.store.tables import channel, deed, setting


def settings(connection: Connection) -> dict[str, str]:
    """Return every setting that was made, as typed."""
    rows = connection.execute(select(setting.c.name, setting.c.value))
    return dict(rows.all())


def channels(connection: Connection) -> Sequence[RowMapping]:
    """Return the channels in use, in the order they were made."""
    query = select(channel).where(channel.c.retired_at.is_(None)).order_by(channel.c.id)
    return connection.execute(query).mappings().all()


def channel_row(connection: Connection, slug: str) -> RowMapping | None:
    """Return one channel, also one out of use."""
    return connection.execute(select(channel).where(channel.c.slug == slug)).mappings().first()


def deeds(connection: Connection, limit: int) -> Sequence[RowMapping]:
    """Return the newest deeds that changed something."""
    query = select(deed).where(deed.c.inverse != "[]").order_by(deed.c.id.desc()).limit(limit)
    return connection.execute(query).mappings().all()


def deed_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one deed."""
    return connection.execute(select(deed).where(deed.c.id == number)).mappings().first()


def last_deed(connection: Connection, subject: str) -> RowMapping | None:
    """Return the newest deed still standing, about a subject where one is named."""
    query = select(deed).where(
        deed.c.inverse != "[]", deed.c.undone_by.is_(None), deed.c.undoes.is_(None)
    )
    if subject:
        query = query.where(deed.c.subject == subject)
    return connection.execute(query.order_by(deed.c.id.desc()).limit(1)).mappings().first()
