"""The shop's memory: bars, works with revisions, slots and parts made, and the journal with its ledger.

Revision ID: 0002
Revises: 0001
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_TABLES = ("ledger", "changes", "entries", "made", "slots", "revisions", "bars", "works")


def upgrade() -> None:
    """Make the tables."""
    _works()
    _bars()
    _revisions()
    _slots()
    _made()
    _journal()


def downgrade() -> None:
    """Drop them."""
    for table in _TABLES:
        op.drop_table(table)


def _refers(table: str, column: str, target: str, key: str) -> sa.ForeignKeyConstraint:
    name = f"fk_{table}_{column}_{target}"
    return sa.ForeignKeyConstraint([column], [f"{target}.{key}"], name=name, ondelete="RESTRICT")


def _works() -> None:
    op.create_table(
        "works",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("kerf", sa.Text(), nullable=False),
        sa.Column("keep_from", sa.Text(), nullable=False),
        sa.Column("document", sa.LargeBinary(), nullable=False),
        sa.Column("made", sa.BigInteger(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("last_revision", sa.Integer(), nullable=False),
        sa.Column("last_number", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_works"),
        _refers("works", "id", "jobs", "id"),
    )
    op.create_index("ix_works_made", "works", ["made"])


def _bars() -> None:
    op.create_table(
        "bars",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("section_name", sa.Text(), nullable=False),
        sa.Column("section_material", sa.Text(), nullable=False),
        sa.Column("section", sa.Text(), nullable=False),
        sa.Column("length", sa.Text(), nullable=False),
        sa.Column("usable", sa.Text(), nullable=True),
        sa.Column("trims", sa.Text(), nullable=True),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("remark", sa.Text(), nullable=False),
        sa.Column("heat", sa.Text(), nullable=False),
        sa.Column("origin", sa.String(16), nullable=False),
        sa.Column("parent", sa.Integer(), nullable=True),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("work", sa.String(32), nullable=True),
        sa.Column("made", sa.BigInteger(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_bars"),
        _refers("bars", "work", "works", "id"),
        sa.CheckConstraint("state <> 'reserved' OR work IS NOT NULL", name=op.f("ck_bars_reserved_for_one")),
        sa.CheckConstraint("state <> 'free' OR work IS NULL", name=op.f("ck_bars_free_for_all")),
        sqlite_autoincrement=True,
    )
    for column in ("state", "work"):
        op.create_index(f"ix_bars_{column}", "bars", [column])


def _revisions() -> None:
    op.create_table(
        "revisions",
        sa.Column("work", sa.String(32), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("document", sa.LargeBinary(), nullable=False),
        sa.Column("plan", sa.LargeBinary(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("made", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("work", "number", name="pk_revisions"),
        _refers("revisions", "work", "works", "id"),
    )


def _slots() -> None:
    op.create_table(
        "slots",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("work", sa.String(32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("copy", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("cut", sa.Text(), nullable=False),
        sa.Column("stick", sa.Text(), nullable=False),
        sa.Column("parts", sa.Text(), nullable=False),
        sa.Column("kerf", sa.Text(), nullable=False),
        sa.Column("unit", sa.String(2), nullable=False),
        sa.Column("section_name", sa.Text(), nullable=False),
        sa.Column("section_material", sa.Text(), nullable=False),
        sa.Column("bar", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("sawn", sa.Integer(), nullable=False),
        sa.Column("used", sa.Text(), nullable=False),
        sa.Column("reached", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_slots"),
        _refers("slots", "work", "works", "id"),
        _refers("slots", "bar", "bars", "number"),
        sqlite_autoincrement=True,
    )
    for column in ("work", "bar"):
        op.create_index(f"ix_slots_{column}", "slots", [column])
    still_open = sa.text("state = 'open'")
    op.create_index(
        "uq_slots_open_bar", "slots", ["bar"], unique=True, sqlite_where=still_open, postgresql_where=still_open
    )


def _made() -> None:
    op.create_table(
        "made",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("work", sa.String(32), nullable=False),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.Column("slot", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("bar", sa.Integer(), nullable=False),
        sa.Column("section_name", sa.Text(), nullable=False),
        sa.Column("section_material", sa.Text(), nullable=False),
        sa.Column("length", sa.Text(), nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("became", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_made"),
        _refers("made", "work", "works", "id"),
        _refers("made", "slot", "slots", "id"),
        _refers("made", "bar", "bars", "number"),
        sqlite_autoincrement=True,
    )
    for column in ("work", "bar"):
        op.create_index(f"ix_made_{column}", "made", [column])
    op.create_index("uq_made_slot_position", "made", ["slot", "position"], unique=True)


def _journal() -> None:
    op.create_table(
        "entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(32), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("work", sa.String(32), nullable=True),
        sa.Column("key", sa.String(255), nullable=True),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("undoes", sa.Integer(), nullable=True),
        sa.Column("undone_by", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_entries"),
        sa.UniqueConstraint("key", name="uq_entries_key"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_entries_work", "entries", ["work"])
    op.create_table(
        "changes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.String(32), nullable=False),
        sa.Column("row", sa.String(64), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_changes"),
        _refers("changes", "entry", "entries", "id"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_changes_entry", "changes", ["entry"])
    op.create_index("ix_changes_table_row", "changes", ["table_name", "row"])
    op.create_table(
        "ledger",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("section_name", sa.Text(), nullable=False),
        sa.Column("section_material", sa.Text(), nullable=False),
        sa.Column("account", sa.String(16), nullable=False),
        sa.Column("amount", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_ledger"),
        _refers("ledger", "entry", "entries", "id"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_ledger_entry", "ledger", ["entry"])
