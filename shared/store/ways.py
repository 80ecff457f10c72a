"""Keep which ways to buy a job is compared with: each method is one transaction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Engine, delete, select
from sqlalchemy.orm import Session

from shared.store.database import WRITES
from shared.store.tables import JobRow, WayRow

__all__ = ["WayRecord", "Ways"]


@dataclass(frozen=True, kw_only=True, slots=True)
class WayRecord:
    """One way to buy.

    Attributes
    ----------
    job_id : str
        The job by which it is solved.
    kind : str
        What is left out.
    name : str
        The one yard that is left, else empty.
    length : str
        mm of the one mill length that is left, as an exact fraction; else empty.
    """

    job_id: str
    kind: str
    name: str
    length: str


@dataclass(frozen=True, slots=True)
class Ways:
    """The comparisons in one database.

    Attributes
    ----------
    engine : Engine
        An open database.
    """

    engine: Engine

    def keep(self, job_id: str, ways: Sequence[WayRecord]) -> bool:
        """Keep the ways of a job, and the job itself; False where it has some already, or is gone."""
        with Session(self.engine.execution_options(**{WRITES: True})) as session, session.begin():
            job = session.get(JobRow, job_id)
            there = session.scalar(select(WayRow.number).where(WayRow.job_id == job_id).limit(1))
            if job is None or there is not None:
                return False
            job.draft = False
            for number, way in enumerate(ways):
                row = WayRow(
                    job_id=job_id,
                    number=number,
                    way_id=way.job_id,
                    kind=way.kind,
                    name=way.name,
                    length=way.length,
                )
                session.add(row)
            return True

    def of(self, job_id: str) -> tuple[WayRecord, ...]:
        """Return the ways of a job in their order; none where none were asked for."""
        with Session(self.engine) as session:
            rows = session.scalars(select(WayRow).where(WayRow.job_id == job_id).order_by(WayRow.number))
            return tuple(WayRecord(job_id=row.way_id, kind=row.kind, name=row.name, length=row.length) for row in rows)

    def forget(self, job_id: str) -> None:
        """Forget the ways of a job; the jobs by which they were solved become drafts like others."""
        with Session(self.engine.execution_options(**{WRITES: True})) as session, session.begin():
            session.execute(delete(WayRow).where(WayRow.job_id == job_id))
