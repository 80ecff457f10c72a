"""Alembic's door: run the migrations on the connection that the store opened."""

from __future__ import annotations

from alembic import context

from api.store.tables import Base

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=Base.metadata, render_as_batch=True)
context.run_migrations()
