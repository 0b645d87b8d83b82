"""Reading materials, their facts and prices, and what is in hand."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from sqlalchemy import Connection, RowMapping, func, select

from rushlight.store.marks import plain
from rushlight.store.tables import (
    fact,
    material,
    movement,
    need,
    pour,
    price,
    stock_balance,
    supplier,
)

OPEN_POURS = ("planned", "running")


def materials(connection: Connection, role: str | None = None) -> Sequence[RowMapping]:
    """Return the materials in use, by role and name."""
    query = select(material).where(material.c.retired_at.is_(None))
    if role is not None:
        query = query.where(material.c.role == role)
    return connection.execute(query.order_by(material.c.role, material.c.plain)).mappings().all()


def by_slug(connection: Connection, slug: str) -> RowMapping | None:
    """Return one material, also one out of use."""
    return connection.execute(select(material).where(material.c.slug == slug)).mappings().first()


def by_names(connection: Connection, wanted: Collection[str]) -> Sequence[RowMapping]:
    """Return the materials in use that are called so, of any role, whatever the case."""
    folded = sorted({plain(name) for name in wanted})
    if not folded:
        return ()
    query = select(material).where(material.c.plain.in_(folded), material.c.retired_at.is_(None))
    return connection.execute(query.order_by(material.c.id)).mappings().all()


def by_name(connection: Connection, role: str, name: str) -> RowMapping | None:
    """Return the material in use of a role that is called so, whatever the case."""
    rows = by_names(connection, [name])
    return next((row for row in rows if row["role"] == role), None)


def names(connection: Connection, role: str) -> list[str]:
    """Return the names of the materials in use of a role."""
    query = select(material.c.name).where(material.c.role == role, material.c.retired_at.is_(None))
    return list(connection.execute(query.order_by(material.c.plain)).scalars())


def facts(connection: Connection, material_id: int) -> Sequence[RowMapping]:
    """Return the facts of a material, in the order they were written."""
    query = select(fact.c.name, fact.c.value, fact.c.origin, fact.c.source)
    query = query.where(fact.c.material_id == material_id).order_by(fact.c.id)
    return connection.execute(query).mappings().all()


def facts_of(connection: Connection, ids: Sequence[int]) -> Sequence[RowMapping]:
    """Return the facts of several materials, in the order they were written."""
    query = select(fact).where(fact.c.material_id.in_(ids)).order_by(fact.c.id)
    return connection.execute(query).mappings().all() if ids else ()


def held(connection: Connection, ids: Sequence[int] | None = None) -> dict[int, int]:
    """Return what is in hand by material: the sum of its lots' balances."""
    query = select(stock_balance.c.material_id, func.sum(stock_balance.c.amount))
    query = query.where(stock_balance.c.amount > 0)
    if ids is not None:
        query = query.where(stock_balance.c.material_id.in_(ids))
    rows = connection.execute(query.group_by(stock_balance.c.material_id))
    return {int(owner): int(total) for owner, total in rows}


def promised(connection: Connection, *, but: int | None = None) -> dict[int, int]:
    """Return what planned and running pours will take by material, leaving one pour out.

    From the few open pours to their needs: the other way round, by material, would walk
    through everything ever poured.
    """
    open_pours = select(pour.c.id).where(pour.c.state.in_(OPEN_POURS))
    if but is not None:
        open_pours = open_pours.where(pour.c.id != but)
    query = (
        select(need.c.material_id, func.sum(need.c.amount))
        .where(need.c.pour_id.in_(open_pours), need.c.material_id.is_not(None))
        .group_by(need.c.material_id)
    )
    return {int(owner or 0): int(total) for owner, total in connection.execute(query)}


def prices(connection: Connection, ids: Sequence[int] | None = None) -> Sequence[RowMapping]:
    """Return the pack prices not taken out of use, oldest first."""
    query = (
        select(price, supplier.c.name.label("supplier"), material.c.measure)
        .join(supplier, supplier.c.id == price.c.supplier_id)
        .join(material, material.c.id == price.c.material_id)
        .where(price.c.retired_at.is_(None))
    )
    if ids is not None:
        query = query.where(price.c.material_id.in_(ids))
    query = query.order_by(price.c.material_id, price.c.since, price.c.id)
    return connection.execute(query).mappings().all()


def prices_of(connection: Connection, slugs: Sequence[str]) -> Sequence[RowMapping]:
    """Return the pack prices of some materials, by slug, oldest first."""
    query = (
        select(price, material.c.slug, material.c.measure)
        .join(material, material.c.id == price.c.material_id)
        .where(price.c.retired_at.is_(None), material.c.slug.in_(slugs))
    )
    return connection.execute(query.order_by(price.c.since, price.c.id)).mappings().all()


def price_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one pack price."""
    return connection.execute(select(price).where(price.c.id == number)).mappings().first()


def movements(connection: Connection, material_id: int, limit: int) -> Sequence[RowMapping]:
    """Return the newest movements of a material."""
    query = select(movement).where(movement.c.material_id == material_id)
    return connection.execute(query.order_by(movement.c.id.desc()).limit(limit)).mappings().all()


def suppliers(connection: Connection) -> Mapping[str, int]:
    """Return the suppliers by name."""
    rows = connection.execute(select(supplier.c.name, supplier.c.id).order_by(supplier.c.name))
    return {name: int(number) for name, number in rows}
