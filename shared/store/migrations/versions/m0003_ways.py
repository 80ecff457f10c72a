"""Ways to buy that a job is compared with.

Revision ID: 0003
Revises: 0002
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "ways",
        sa.Column("job_id", sa.String(32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("way_id", sa.String(32), nullable=False),
        sa.Column("kind", sa.String(32), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("length", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("job_id", "number", name="pk_ways"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_ways_job_id_jobs", ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["way_id"], ["jobs.id"], name="fk_ways_way_id_jobs", ondelete="CASCADE"),
    )
    op.create_index("ix_ways_way_id", "ways", ["way_id"])


def downgrade() -> None:
    """Drop it."""
    op.drop_table("ways")
