"""A workshop as rows, to compare two moments of it."""

from __future__ import annotations

from rushlight.workshop import Workshop


def dump(shop: Workshop) -> dict[str, list[tuple[object, ...]]]:
    """Return every row of every table."""
    from sqlalchemy import select

    from rushlight.store.tables import metadata

    with shop.store.reading() as connection:
        return {
            t.name: [tuple(r) for r in connection.execute(select(t).order_by(*t.primary_key))]
            for t in metadata.sorted_tables
        }
