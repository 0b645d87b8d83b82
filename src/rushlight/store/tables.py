"""The tables of a workshop.

Amounts are whole milligrams or whole pieces, money is in 1/10 000 of the currency,
temperatures are in millikelvin: integers, so that sums are exact. Moments are ISO 8601
texts in UTC, days ISO 8601 dates, documents JSON (`rushlight.store.marks`).
Nothing is deleted: what is taken out of use gets a `retired_at`.
"""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

SCHEMA: Final = 3
"""The newest schema this program knows: the number of the last migration."""

APPLICATION_ID: Final = 0x52555348
"""Marks a SQLite file as a workshop: the letters RUSH."""

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


def _table(name: str, *parts: Any) -> Table:
    return Table(name, metadata, *parts, sqlite_strict=True)


def _id() -> Column[int]:
    return Column("id", Integer, primary_key=True)


def _to(name: str, target: str, *, nullable: bool = False) -> Column[int]:
    return Column(name, Integer, ForeignKey(f"{target}.id"), nullable=nullable)


def _text(name: str, *, default: str | None = None, nullable: bool = False) -> Column[str]:
    return Column(name, Text, nullable=nullable, server_default=default)


def _whole(name: str, *, nullable: bool = False) -> Column[int]:
    return Column(name, BIG, nullable=nullable)


deed = _table(
    "deed",
    _id(),
    _text("key", nullable=True),
    _text("at"),
    _text("who", default=""),
    _text("verb"),
    _text("subject", default=""),
    _text("said"),
    _text("inverse"),
    _text("result"),
    _to("undoes", "deed", nullable=True),
    _to("undone_by", "deed", nullable=True),
    UniqueConstraint("key"),
    Index(None, "subject", "id"),
)

setting = _table(
    "setting",
    Column("name", Text, primary_key=True),
    _text("value"),
)

supplier = _table("supplier", _id(), _text("name"), UniqueConstraint("name"))

material = _table(
    "material",
    _id(),
    _text("slug"),
    _text("role"),
    _text("name"),
    # the name as it is searched: no database folds the case of all letters alike
    _text("plain"),
    _text("note", default=""),
    _text("kind", default=""),
    _text("measure"),
    _text("low_typed", default=""),
    _whole("low_at", nullable=True),
    _text("added_at"),
    _text("retired_at", nullable=True),
    UniqueConstraint("slug"),
    CheckConstraint("measure in ('mass', 'pieces')", name="measure"),
    Index(None, "plain"),
    Index(None, "role", "plain"),
)

fact = _table(
    "fact",
    _id(),
    _to("material_id", "material"),
    _text("name"),
    _text("value"),
    _text("origin", default=""),
    _text("source", default=""),
    UniqueConstraint("material_id", "name"),
)

price = _table(
    "price",
    _id(),
    _to("material_id", "material"),
    _to("supplier_id", "supplier"),
    _text("pack_typed"),
    _whole("pack"),
    _whole("price"),
    _whole("from_packs"),
    _text("since"),
    _text("retired_at", nullable=True),
    CheckConstraint("pack > 0", name="pack"),
    CheckConstraint("price >= 0", name="price"),
    CheckConstraint("from_packs > 0", name="from_packs"),
    Index(None, "material_id", "since"),
    Index(None, "supplier_id"),
)

candle = _table(
    "candle",
    _id(),
    _text("slug"),
    _text("name"),
    _text("added_at"),
    _text("retired_at", nullable=True),
    UniqueConstraint("slug"),
    Index(None, "name"),
)

revision = _table(
    "revision",
    _id(),
    _to("candle_id", "candle"),
    Column("number", Integer, nullable=False),
    _text("document"),
    _text("digest"),
    _text("saved_at"),
    _text("frozen_at", nullable=True),
    UniqueConstraint("candle_id", "number"),
    CheckConstraint("number > 0", name="number"),
)

channel = _table(
    "channel",
    _id(),
    _text("slug"),
    _text("name"),
    _text("kind"),
    _text("typed"),
    _text("retired_at", nullable=True),
    UniqueConstraint("slug"),
)

pour = _table(
    "pour",
    _id(),
    _to("candle_id", "candle"),
    _to("revision_id", "revision"),
    _text("state"),
    _text("planned_for"),
    _text("planned_at"),
    _text("started_at", nullable=True),
    _text("finished_at", nullable=True),
    _text("ready_on", nullable=True),
    _text("document"),
    _text("batch"),
    Column("jars", Integer, nullable=False),
    Column("good", Integer, nullable=True),
    Column("rejected", Integer, nullable=True),
    _text("note", default=""),
    CheckConstraint("state in ('planned', 'running', 'finished', 'abandoned')", name="state"),
    CheckConstraint("jars > 0", name="jars"),
    Index(None, "state", "planned_for"),
    Index(None, "planned_for"),
    Index(None, "candle_id", "planned_for"),
    Index(None, "state", "ready_on"),
    Index(None, "revision_id"),
)

need = _table(
    "need",
    _id(),
    _to("pour_id", "pour"),
    _text("role"),
    _text("name"),
    _to("material_id", "material", nullable=True),
    _text("measure"),
    _whole("amount"),
    CheckConstraint("amount >= 0", name="amount"),
    Index(None, "pour_id"),
    Index(None, "material_id"),
)

movement = _table(
    "movement",
    _id(),
    _to("material_id", "material"),
    _whole("amount"),
    _text("reason"),
    _text("note", default=""),
    _text("at"),
    _to("pour_id", "pour", nullable=True),
    # on hand is the sum of amounts: this index alone answers it
    Index(None, "material_id", "amount"),
    Index(None, "pour_id"),
)

weighing = _table(
    "weighing",
    _id(),
    _to("pour_id", "pour"),
    Column("pot", Integer, nullable=False),
    _text("line"),
    # no amount: the tick was taken back
    _whole("amount", nullable=True),
    _text("typed"),
    _text("at"),
    CheckConstraint("amount >= 0", name="amount"),
    Index(None, "pour_id", "pot", "line"),
)

reading = _table(
    "reading",
    _id(),
    _to("pour_id", "pour"),
    Column("pot", Integer, nullable=False),
    _whole("millikelvin"),
    _text("typed"),
    _text("at"),
    _text("retired_at", nullable=True),
    CheckConstraint("millikelvin >= 0", name="millikelvin"),
    Index(None, "pour_id", "pot", "at"),
)

timer = _table(
    "timer",
    _id(),
    _to("pour_id", "pour"),
    Column("pot", Integer, nullable=False),
    _text("name"),
    _text("started_at"),
    _text("deadline"),
    _text("stopped_at", nullable=True),
    _text("retired_at", nullable=True),
    Index(None, "pour_id", "deadline"),
)

# A safety data sheet or certificate is a record: a newer row takes the place of an older one,
# and undoing it retires the row, so that the one before counts again.
datasheet = _table(
    "datasheet",
    _id(),
    _to("material_id", "material"),
    # the fields as typed; {} where the maker took the sheet away
    _text("typed"),
    _text("at"),
    _text("retired_at", nullable=True),
    Index(None, "material_id"),
)

certificate = _table(
    "certificate",
    _id(),
    _to("material_id", "material"),
    _text("typed"),
    _text("at"),
    _text("retired_at", nullable=True),
    Index(None, "material_id"),
)

attachment = _table(
    "attachment",
    _id(),
    _to("material_id", "material"),
    _text("name"),
    _text("media"),
    _whole("size"),
    _text("digest"),
    Column("content", LargeBinary, nullable=False),
    _text("at"),
    _text("retired_at", nullable=True),
    CheckConstraint("size > 0", name="size"),
    Index(None, "material_id"),
)

lot = _table(
    "lot",
    _id(),
    _to("candle_id", "candle"),
    _to("pour_id", "pour", nullable=True),
    _text("label_typed"),
    _whole("label"),
    Column("jars", Integer, nullable=False),
    _text("tare_typed", default=""),
    _text("typed"),
    # 1: the jars weighed were opened for it, and cannot be sold
    Column("opened", Integer, nullable=False),
    # net masses of single jars as read, whole milligrams, a JSON list
    _text("masses"),
    _text("note", default=""),
    _text("at"),
    CheckConstraint("label > 0", name="label"),
    CheckConstraint("jars > 0", name="jars"),
    CheckConstraint("opened in (0, 1)", name="opened"),
    Index(None, "candle_id"),
    Index(None, "pour_id"),
)

# whether a lot stands: its newest mark says so, and without one it does
lot_mark = _table(
    "lot_mark",
    _id(),
    _to("lot_id", "lot"),
    Column("stands", Integer, nullable=False),
    _text("at"),
    CheckConstraint("stands in (0, 1)", name="stands"),
    Index(None, "lot_id"),
)

APPEND_ONLY: Final = ("movement", "weighing", "lot", "lot_mark")
"""Tables whose rows are never changed nor deleted; the file itself refuses it."""
