"""Pours, and what happened to them at the bench."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Index, Integer

from rushlight.store.tables.columns import ident, link, table, text, whole

pour = table(
    "pour",
    ident(),
    link("candle_id", "candle"),
    link("revision_id", "revision"),
    text("state"),
    text("planned_for"),
    text("planned_at"),
    text("started_at", nullable=True),
    text("finished_at", nullable=True),
    text("ready_on", nullable=True),
    text("document"),
    text("batch"),
    Column("jars", Integer, nullable=False),
    Column("good", Integer, nullable=True),
    Column("rejected", Integer, nullable=True),
    text("note", default=""),
    text("person", default=""),
    CheckConstraint("state in ('planned', 'running', 'finished', 'abandoned')", name="state"),
    CheckConstraint("jars > 0", name="jars"),
    Index(None, "state", "planned_for"),
    Index(None, "planned_for"),
    Index(None, "candle_id", "planned_for"),
    Index(None, "candle_id", "state", "finished_at"),
    Index(None, "state", "ready_on"),
    Index(None, "revision_id"),
)

need = table(
    "need",
    ident(),
    link("pour_id", "pour"),
    text("role"),
    text("name"),
    link("material_id", "material", nullable=True),
    text("measure"),
    whole("amount"),
    CheckConstraint("amount >= 0", name="amount"),
    Index(None, "pour_id"),
    Index(None, "material_id"),
)

weighing = table(
    "weighing",
    ident(),
    link("pour_id", "pour"),
    Column("pot", Integer, nullable=False),
    text("line"),
    # no amount: the tick was taken back
    whole("amount", nullable=True),
    text("typed"),
    text("at"),
    CheckConstraint("amount >= 0", name="amount"),
    Index(None, "pour_id", "pot", "line"),
)

reading = table(
    "reading",
    ident(),
    link("pour_id", "pour"),
    Column("pot", Integer, nullable=False),
    whole("millikelvin"),
    text("typed"),
    text("at"),
    text("retired_at", nullable=True),
    CheckConstraint("millikelvin >= 0", name="millikelvin"),
    Index(None, "pour_id", "pot", "at"),
)

timer = table(
    "timer",
    ident(),
    link("pour_id", "pour"),
    Column("pot", Integer, nullable=False),
    text("name"),
    text("started_at"),
    text("deadline"),
    text("stopped_at", nullable=True),
    text("retired_at", nullable=True),
    Index(None, "pour_id", "deadline"),
)
