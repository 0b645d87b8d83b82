"""Shorthand for the tables: whole numbers, texts, links."""

from __future__ import annotations

from typing import Any

from sqlalchemy import BigInteger, Column, ForeignKey, Integer, MetaData, Table, Text

# strict SQLite tables know no BIGINT; SQLite's own INTEGER holds 64 bits anyway
BIG = BigInteger().with_variant(Integer, "sqlite")

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def table(name: str, *parts: Any) -> Table:
    """Return a strict table of the workshop."""
    return Table(name, metadata, *parts, sqlite_strict=True)


def ident() -> Column[int]:
    """Return the primary key."""
    return Column("id", Integer, primary_key=True)


def link(name: str, target: str, *, nullable: bool = False) -> Column[int]:
    """Return a column that points at the rows of a table."""
    return Column(name, Integer, ForeignKey(f"{target}.id"), nullable=nullable)


def text(name: str, *, default: str | None = None, nullable: bool = False) -> Column[str]:
    """Return a column of text."""
    return Column(name, Text, nullable=nullable, server_default=default)


def small(name: str, *, nullable: bool = False) -> Column[int]:
    """Return a column of small whole numbers."""
    return Column(name, Integer, nullable=nullable)


def whole(name: str, *, nullable: bool = False) -> Column[int]:
    """Return a column of whole numbers of 64 bits."""
    return Column(name, BIG, nullable=nullable)
