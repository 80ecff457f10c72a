"""Alembic's door: run the migrations on the connection that the store opened."""

from __future__ import annotations

from alembic import context

from shared.store.desk import tables as shop_tables  # noqa: F401  its tables belong to the schema too
from shared.store.tables import Base


def migrate() -> None:
    """Bring the schema to where alembic was asked to."""
    connection = context.config.attributes["connection"]
    context.configure(connection=connection, target_metadata=Base.metadata, render_as_batch=True)
    context.run_migrations()


if hasattr(context, "config"):  # alembic runs this file; anything else only imports it
    migrate()
