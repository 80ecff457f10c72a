"""The tables of the store, as SQLAlchemy sees them. Every change here goes with a migration."""

from __future__ import annotations

from sqlalchemy import BigInteger, ForeignKey, LargeBinary, MetaData, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

__all__ = ["Base", "DraftRow", "JobRow", "KeyRow", "PlanRow", "SheetRow", "WayRow"]


class Base(DeclarativeBase):
    """All tables; constraints have names, so that a later migration can alter them."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(column_0_label)s",
            "uq": "uq_%(table_name)s_%(column_0_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class JobRow(Base):
    """One job and how far it is. Times are milliseconds since 1970 UTC."""

    __tablename__ = "jobs"

    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    state: Mapped[str] = mapped_column(String(16), index=True)
    client: Mapped[str] = mapped_column(String(100))
    title: Mapped[str] = mapped_column(Text)
    document: Mapped[bytes] = mapped_column(LargeBinary)
    digest: Mapped[str] = mapped_column(String(64), index=True)
    limit_seconds: Mapped[float]
    seed: Mapped[int] = mapped_column(BigInteger)
    draft: Mapped[bool]
    attempts: Mapped[int]
    stopped: Mapped[bool]
    error: Mapped[str] = mapped_column(Text)
    seconds: Mapped[float | None]
    created: Mapped[int] = mapped_column(BigInteger, index=True)
    started: Mapped[int | None] = mapped_column(BigInteger)
    finished: Mapped[int | None] = mapped_column(BigInteger)
    version: Mapped[int] = mapped_column()

    __mapper_args__ = {"version_id_col": version}  # noqa: RUF012  SQLAlchemy's own way to say it


class PlanRow(Base):
    """The plan of a job: the best so far, or the final one."""

    __tablename__ = "plans"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True)
    final: Mapped[bool]
    document: Mapped[bytes] = mapped_column(LargeBinary)
    created: Mapped[int] = mapped_column(BigInteger)


class SheetRow(Base):
    """What a person wrote on the page, from which the job was understood, as JSON."""

    __tablename__ = "sheets"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True)
    document: Mapped[bytes] = mapped_column(LargeBinary)


class DraftRow(Base):
    """A sheet that doesn't make a job yet, as it was written last, as JSON."""

    __tablename__ = "drafts"

    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    title: Mapped[str] = mapped_column(Text)
    document: Mapped[bytes] = mapped_column(LargeBinary)
    digest: Mapped[str] = mapped_column(String(64))
    changed: Mapped[int] = mapped_column(BigInteger, index=True)


class KeyRow(Base):
    """An Idempotency-Key that was used, what for, and the job it made."""

    __tablename__ = "keys"

    key: Mapped[str] = mapped_column(String(255), primary_key=True)
    digest: Mapped[str] = mapped_column(String(64))
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    created: Mapped[int] = mapped_column(BigInteger)


class WayRow(Base):
    """One way to buy that a job is compared with, solved as a job of its own."""

    __tablename__ = "ways"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    way_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    kind: Mapped[str] = mapped_column(String(32))
    name: Mapped[str] = mapped_column(Text)
    length: Mapped[str] = mapped_column(Text)
    """mm as an exact fraction; empty where the way isn't about a length."""
