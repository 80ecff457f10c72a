"""Jobs, their plans, the sheets they came from, and the keys that were used.

Revision ID: 0001
Revises: none
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("client", sa.String(100), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("document", sa.LargeBinary(), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("limit_seconds", sa.Double(), nullable=False),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("draft", sa.Boolean(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("stopped", sa.Boolean(), nullable=False),
        sa.Column("error", sa.Text(), nullable=False),
        sa.Column("seconds", sa.Double(), nullable=True),
        sa.Column("created", sa.BigInteger(), nullable=False),
        sa.Column("started", sa.BigInteger(), nullable=True),
        sa.Column("finished", sa.BigInteger(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
    )
    for column in ("state", "digest", "created"):
        op.create_index(f"ix_jobs_{column}", "jobs", [column])
    op.create_table(
        "plans",
        sa.Column("job_id", sa.String(32), nullable=False),
        sa.Column("final", sa.Boolean(), nullable=False),
        sa.Column("document", sa.LargeBinary(), nullable=False),
        sa.Column("created", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("job_id", name="pk_plans"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_plans_job_id_jobs", ondelete="CASCADE"),
    )
    op.create_table(
        "sheets",
        sa.Column("job_id", sa.String(32), nullable=False),
        sa.Column("document", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("job_id", name="pk_sheets"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_sheets_job_id_jobs", ondelete="CASCADE"),
    )
    op.create_table(
        "keys",
        sa.Column("key", sa.String(255), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("job_id", sa.String(32), nullable=False),
        sa.Column("created", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_keys"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_keys_job_id_jobs", ondelete="CASCADE"),
    )
    op.create_index("ix_keys_job_id", "keys", ["job_id"])


def downgrade() -> None:
    """Drop them."""
    for table in ("keys", "sheets", "plans", "jobs"):
        op.drop_table(table)
