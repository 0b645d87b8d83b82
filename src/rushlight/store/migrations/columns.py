"""Shorthand for the columns of a migration; frozen, as the migrations are."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

WHOLE = sa.BigInteger().with_variant(sa.Integer, "sqlite")

# sorted by code points everywhere, as SQLite does: dates and moments are texts that sort as
# they stand, and a list has one order whatever language the server was set up for
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def ident() -> sa.Column[int]:
    """Return the primary key."""
    return sa.Column("id", sa.Integer, primary_key=True)


def small(name: str, *, nullable: bool = False) -> sa.Column[int]:
    """Return a column of small whole numbers."""
    return sa.Column(name, sa.Integer, nullable=nullable)


def whole(name: str, *, nullable: bool = False) -> sa.Column[int]:
    """Return a column of whole numbers of 64 bits."""
    return sa.Column(name, WHOLE, nullable=nullable)


def text(name: str, *, nullable: bool = False, default: str | None = None) -> sa.Column[str]:
    """Return a column of text."""
    return sa.Column(name, TEXT, nullable=nullable, server_default=default)


def link(table: str, name: str, target: str, *, nullable: bool = False) -> sa.Column[int]:
    """Return a column that points at the rows of a table."""
    key = sa.ForeignKey(f"{target}.id", name=f"fk_{table}_{name}")
    return sa.Column(name, sa.Integer, key, nullable=nullable)


def unique(table: str, *names: str) -> sa.UniqueConstraint:
    """Return the constraint that some columns are unique together."""
    return sa.UniqueConstraint(*names, name=f"uq_{table}_{'_'.join(names)}")


def check(table: str, name: str, rule: str) -> sa.CheckConstraint:
    """Return a rule for the rows."""
    return sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}"))


def create(name: str, *parts: Any, indexes: tuple[tuple[str, ...], ...] = ()) -> None:
    """Create a strict table with its indexes."""
    op.create_table(name, *parts, sqlite_strict=True)
    for columns in indexes:
        op.create_index(f"ix_{name}_{'_'.join(columns)}", name, list(columns))
