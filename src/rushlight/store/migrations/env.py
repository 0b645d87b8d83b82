"""Alembic runs this; the connection, already in a transaction, comes from our upgrade."""

from alembic import context

from rushlight.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
)
context.run_migrations()
