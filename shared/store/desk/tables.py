"""The tables of the shop's memory. Every change here goes with a migration.

Lengths are exact fractions as text, values of the domain (sections, layouts) JSON as `shared.store.values` writes it,
times milliseconds since 1970 UTC.
"""

from __future__ import annotations

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, LargeBinary, String, Text, text
from sqlalchemy.orm import Mapped, mapped_column

from shared.store.tables import Base

__all__ = ["BarRow", "ChangeRow", "EntryRow", "LedgerRow", "MadeRow", "RevisionRow", "SlotRow", "WorkRow"]


class WorkRow(Base):
    """A plan taken in hand. Its job can't be forgotten while it is there."""

    __tablename__ = "works"

    id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="RESTRICT"), primary_key=True)
    title: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(String(16))
    revision: Mapped[int]
    kerf: Mapped[str] = mapped_column(Text)
    keep_from: Mapped[str] = mapped_column(Text)
    document: Mapped[bytes] = mapped_column(LargeBinary)
    made: Mapped[int] = mapped_column(BigInteger, index=True)
    version: Mapped[int]
    last_revision: Mapped[int]
    """Highest revision there ever was, those taken back included."""
    last_number: Mapped[int]
    """Highest layout number there ever was, those taken back included."""


class BarRow(Base):
    """One physical piece of steel. Numbers are never used again."""

    __tablename__ = "bars"
    __table_args__ = (
        CheckConstraint("state <> 'reserved' OR work IS NOT NULL", name="reserved_for_one"),
        CheckConstraint("state <> 'free' OR work IS NULL", name="free_for_all"),
        {"sqlite_autoincrement": True},
    )

    number: Mapped[int] = mapped_column(primary_key=True)
    section_name: Mapped[str] = mapped_column(Text)
    section_material: Mapped[str] = mapped_column(Text)
    section: Mapped[str] = mapped_column(Text)
    length: Mapped[str] = mapped_column(Text)
    usable: Mapped[str | None] = mapped_column(Text)
    trims: Mapped[str | None] = mapped_column(Text)
    place: Mapped[str] = mapped_column(Text)
    remark: Mapped[str] = mapped_column(Text)
    heat: Mapped[str] = mapped_column(Text)
    origin: Mapped[str] = mapped_column(String(16))
    parent: Mapped[int | None]
    state: Mapped[str] = mapped_column(String(16), index=True)
    work: Mapped[str | None] = mapped_column(ForeignKey("works.id", ondelete="RESTRICT"), index=True)
    made: Mapped[int] = mapped_column(BigInteger)
    version: Mapped[int]


class RevisionRow(Base):
    """One revision of a work."""

    __tablename__ = "revisions"

    work: Mapped[str] = mapped_column(ForeignKey("works.id", ondelete="RESTRICT"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    document: Mapped[bytes] = mapped_column(LargeBinary)
    plan: Mapped[bytes] = mapped_column(LargeBinary)
    reason: Mapped[str] = mapped_column(Text)
    made: Mapped[int] = mapped_column(BigInteger)


class SlotRow(Base):
    """One stick to be sawn. No bar is in two open ones."""

    __tablename__ = "slots"
    __table_args__ = (
        Index(
            "uq_slots_open_bar",
            "bar",
            unique=True,
            sqlite_where=text("state = 'open'"),
            postgresql_where=text("state = 'open'"),
        ),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    work: Mapped[str] = mapped_column(ForeignKey("works.id", ondelete="RESTRICT"), index=True)
    number: Mapped[int]
    copy: Mapped[int]
    revision: Mapped[int]
    cut: Mapped[str] = mapped_column(Text)
    stick: Mapped[str] = mapped_column(Text)
    parts: Mapped[str] = mapped_column(Text)
    kerf: Mapped[str] = mapped_column(Text)
    unit: Mapped[str] = mapped_column(String(2))
    section_name: Mapped[str] = mapped_column(Text)
    section_material: Mapped[str] = mapped_column(Text)
    bar: Mapped[int] = mapped_column(ForeignKey("bars.number", ondelete="RESTRICT"), index=True)
    state: Mapped[str] = mapped_column(String(16))
    sawn: Mapped[int]
    used: Mapped[str] = mapped_column(Text)
    reached: Mapped[str] = mapped_column(Text)
    version: Mapped[int]


class MadeRow(Base):
    """One part that was sawn; no place on a stick makes two."""

    __tablename__ = "made"
    __table_args__ = (
        Index("uq_made_slot_position", "slot", "position", unique=True),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    work: Mapped[str] = mapped_column(ForeignKey("works.id", ondelete="RESTRICT"), index=True)
    mark: Mapped[str] = mapped_column(Text)
    slot: Mapped[int] = mapped_column(ForeignKey("slots.id", ondelete="RESTRICT"))
    position: Mapped[int]
    bar: Mapped[int] = mapped_column(ForeignKey("bars.number", ondelete="RESTRICT"), index=True)
    section_name: Mapped[str] = mapped_column(Text)
    section_material: Mapped[str] = mapped_column(Text)
    length: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(String(16))
    became: Mapped[int | None]
    version: Mapped[int]


class EntryRow(Base):
    """One line of the journal; never altered but for `undone_by`."""

    __tablename__ = "entries"
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[int] = mapped_column(BigInteger)
    who: Mapped[str] = mapped_column(Text)
    kind: Mapped[str] = mapped_column(String(32))
    words: Mapped[str] = mapped_column(Text)
    work: Mapped[str | None] = mapped_column(String(32), index=True)
    key: Mapped[str | None] = mapped_column(String(255), unique=True)
    digest: Mapped[str] = mapped_column(String(64))
    """Of what was asked, so that a key used for something else is found out."""
    answer: Mapped[str] = mapped_column(Text)
    """What was answered, for the same event told again."""
    undoes: Mapped[int | None]
    undone_by: Mapped[int | None]


class ChangeRow(Base):
    """A row before and after an entry, as JSON; null where there was none."""

    __tablename__ = "changes"
    __table_args__ = (Index("ix_changes_table_row", "table_name", "row"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    entry: Mapped[int] = mapped_column(ForeignKey("entries.id", ondelete="RESTRICT"), index=True)
    table_name: Mapped[str] = mapped_column(String(32))
    row: Mapped[str] = mapped_column(String(64))
    before: Mapped[str | None] = mapped_column(Text)
    after: Mapped[str | None] = mapped_column(Text)


class LedgerRow(Base):
    """One amount of steel on one account; the lines of an entry add up to zero for every section."""

    __tablename__ = "ledger"
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    entry: Mapped[int] = mapped_column(ForeignKey("entries.id", ondelete="RESTRICT"), index=True)
    section_name: Mapped[str] = mapped_column(Text)
    section_material: Mapped[str] = mapped_column(Text)
    account: Mapped[str] = mapped_column(String(16))
    amount: Mapped[str] = mapped_column(Text)
