"""Reading what a pour takes, who worked on it, which jars were rejected, and the lots it used."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Final

from sqlalchemy import Connection, RowMapping, func, select, union_all

from rushlight.store.tables import jar_lot, material, need, pour, reject, worked

_LATEST: Final = 200
"""Pours that are looked through for who works here."""


def kept_needs(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return what a pour takes of the workshop's own materials, in the order of its sheet."""
    query = (
        select(need, material.c.slug, material.c.name.label("material"))
        .join(material, material.c.id == need.c.material_id)
        .where(need.c.pour_id == number)
        .order_by(need.c.id)
    )
    return connection.execute(query).mappings().all()


def materials_by_id(connection: Connection, ids: Collection[int]) -> dict[int, RowMapping]:
    """Return some materials by number, also those out of use."""
    rows = connection.execute(select(material).where(material.c.id.in_(list(ids)))).mappings()
    return {int(row["id"]): row for row in rows}


def worked_rows(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return the times worked on a pour that stand, as they were begun."""
    query = select(worked).where(worked.c.pour_id == number, worked.c.retired_at.is_(None))
    return connection.execute(query.order_by(worked.c.started_at, worked.c.id)).mappings().all()


def worked_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one time worked."""
    return connection.execute(select(worked).where(worked.c.id == number)).mappings().first()


def people(connection: Connection, limit: int) -> Sequence[str]:
    """Return who poured or worked on one of the latest pours, who did so last first."""
    # a name is not to be found by walking through all there ever were, each with its document
    latest = pour.c.id > select(func.max(pour.c.id) - _LATEST).scalar_subquery()
    poured = select(pour.c.person, pour.c.started_at.label("at")).where(latest)
    timed = select(worked.c.person, worked.c.started_at.label("at")).join(pour).where(latest)
    both = union_all(poured, timed).subquery()
    last = func.max(both.c.at)
    query = select(both.c.person).where(both.c.person != "").group_by(both.c.person)
    ordered = query.order_by(last.desc(), both.c.person).limit(limit)
    return [str(name) for name in connection.execute(ordered).scalars()]


def rejects(connection: Connection, number: int) -> Sequence[tuple[str, int]]:
    """Return the rejected jars of a pour by reason, as they were noted."""
    query = (
        select(reject.c.reason, reject.c.jars)
        .where(reject.c.pour_id == number, reject.c.retired_at.is_(None))
        .order_by(reject.c.id)
    )
    return [(str(reason), int(jars)) for reason, jars in connection.execute(query)]


def jar_lot_of(connection: Connection, number: int) -> str:
    """Return the code of the jars a pour made; empty where it made none."""
    query = select(jar_lot.c.code).where(
        jar_lot.c.pour_id == number, jar_lot.c.retired_at.is_(None)
    )
    return str(connection.execute(query).scalar() or "")
