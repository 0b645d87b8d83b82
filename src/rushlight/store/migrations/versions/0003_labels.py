"""What a label rests on: safety data sheets, certificates, their files, and weighed lots."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from rushlight.store.dialect import guard
from rushlight.store.migrations.columns import check, create, ident, link, small, text, whole

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables of sheets, certificates, attachments and lots."""
    for table in ("datasheet", "certificate"):
        create(
            table,
            ident(),
            link(table, "material_id", "material"),
            text("typed"),
            text("at"),
            text("retired_at", nullable=True),
            indexes=(("material_id",),),
        )
    create(
        "attachment",
        ident(),
        link("attachment", "material_id", "material"),
        text("name"),
        text("media"),
        whole("size"),
        text("digest"),
        sa.Column("content", sa.LargeBinary, nullable=False),
        text("at"),
        text("retired_at", nullable=True),
        check("attachment", "size", "size > 0"),
        indexes=(("material_id",),),
    )
    create(
        "lot",
        ident(),
        link("lot", "candle_id", "candle"),
        link("lot", "pour_id", "pour", nullable=True),
        text("label_typed"),
        whole("label"),
        small("jars"),
        text("tare_typed", default=""),
        text("typed"),
        small("opened"),
        text("masses"),
        text("note", default=""),
        text("at"),
        check("lot", "label", "label > 0"),
        check("lot", "jars", "jars > 0"),
        check("lot", "opened", "opened in (0, 1)"),
        indexes=(("candle_id",), ("pour_id",)),
    )
    create(
        "lot_mark",
        ident(),
        link("lot_mark", "lot_id", "lot"),
        small("stands"),
        text("at"),
        check("lot_mark", "stands", "stands in (0, 1)"),
        indexes=(("lot_id",),),
    )
    guard(
        op.get_bind(),
        appended=("lot", "lot_mark"),
        kept={
            "datasheet": ("material_id", "typed", "at"),
            "certificate": ("material_id", "typed", "at"),
            "attachment": ("material_id", "name", "media", "size", "digest", "content", "at"),
        },
    )
