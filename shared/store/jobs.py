"""Keep jobs and plans: each method is one transaction."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final, cast

from sqlalchemy import CursorResult, Engine, delete, select, update
from sqlalchemy.orm import Session, defer

from shared.store.database import WRITES
from shared.store.desk.tables import WorkRow
from shared.store.records import JobRecord, NewJob, PlanRecord, State, WrittenRecord, moment
from shared.store.tables import JobRow, KeyRow, PlanRow, SheetRow, WayRow

__all__ = ["InHandError", "KeyClashError", "Store"]

_ID_BYTES: Final = 12
_UNFINISHED: Final = (State.WAITING.value, State.WORKING.value)
_LIGHT: Final = defer(JobRow.document)


class KeyClashError(Exception):
    """An Idempotency-Key came again with another request behind it."""


class InHandError(Exception):
    """A job that was taken in hand can't be forgotten: the shop's memory of its steel hangs on it."""

    def __init__(self, job_id: str, title: str) -> None:
        self.job_id, self.title = job_id, title
        super().__init__(f"{title or job_id} was taken in hand: the books need it, so it stays.")


@dataclass(frozen=True, slots=True)
class Store:
    """The jobs and plans in one database; every method may be called from any thread.

    Attributes
    ----------
    engine : Engine
        An open database, see `open_database`.
    clock : callable
        What time it is, in milliseconds since 1970: the door's, which reads a clock.
    """

    engine: Engine
    clock: Callable[[], int]

    def _write(self) -> Session:
        return Session(self.engine.execution_options(**{WRITES: True}), expire_on_commit=False)

    def _read(self) -> Session:
        return Session(self.engine)

    def add(self, job: NewJob, key: str | None = None) -> tuple[JobRecord, bool]:
        """Keep a new job, waiting.

        Parameters
        ----------
        job : NewJob
            The job.
        key : str, optional
            An Idempotency-Key.

        Returns
        -------
        tuple of (JobRecord, bool)
            The job kept under that key, and whether it is new.

        Raises
        ------
        KeyClashError
            The key was used for another job.
        """
        with self._write() as session, session.begin():
            if key is not None and (known := _of_key(session, key, job.digest)) is not None:
                return known, False
            row = _new_row(job, self.clock())
            session.add(row)
            session.flush()
            if job.sheet:
                session.add(SheetRow(job_id=row.id, document=job.sheet))
            if key is not None:
                session.add(KeyRow(key=key, digest=job.digest, job_id=row.id, created=row.created))
            session.flush()
            return _record(row), True

    def of_key(self, key: str, digest: str) -> JobRecord | None:
        """Return the job made under an Idempotency-Key; raises KeyClashError where it was used for another job."""
        with self._read() as session:
            return _of_key(session, key, digest)

    def get(self, job_id: str) -> JobRecord | None:
        """Return a job, None where there is none."""
        with self._read() as session:
            row = session.get(JobRow, job_id, options=[_LIGHT])
            return None if row is None else _record(row)

    def latest(self, count: int) -> tuple[JobRecord, ...]:
        """Return the jobs made last, drafts aside, newest first."""
        query = select(JobRow).options(_LIGHT).where(JobRow.draft.is_(False))
        with self._read() as session:
            rows = session.scalars(query.order_by(JobRow.created.desc(), JobRow.id).limit(count))
            return tuple(_record(row) for row in rows)

    def written(self, count: int) -> tuple[WrittenRecord, ...]:
        """Return the jobs made last with their sheets and plans, newest first.

        Answered drafts are among them, since nobody wrote on after them; ways to buy and other drafts aren't.
        """
        answered = JobRow.draft.is_(False) | (JobRow.state == State.DONE.value)
        query = (
            select(JobRow, SheetRow.document, PlanRow.document)
            .options(_LIGHT)
            .outerjoin(SheetRow, SheetRow.job_id == JobRow.id)
            .outerjoin(PlanRow, PlanRow.job_id == JobRow.id)
            .where(answered, JobRow.id.not_in(select(WayRow.way_id)))
            .order_by(JobRow.created.desc(), JobRow.id)
            .limit(count)
        )
        with self._read() as session:
            return tuple(
                WrittenRecord(job=_record(row), sheet=sheet, plan=plan) for row, sheet, plan in session.execute(query)
            )

    def document(self, job_id: str) -> bytes | None:
        """Return a job's file."""
        with self._read() as session:
            return session.scalar(select(JobRow.document).where(JobRow.id == job_id))

    def sheet(self, job_id: str) -> bytes | None:
        """Return what was written on the page for a job, None where it came another way."""
        with self._read() as session:
            return session.scalar(select(SheetRow.document).where(SheetRow.job_id == job_id))

    def plan(self, job_id: str) -> PlanRecord | None:
        """Return a job's plan, the best so far or the final one."""
        with self._read() as session:
            row = session.get(PlanRow, job_id)
            return None if row is None else PlanRecord(document=row.document, final=row.final)

    def claim(self, job_id: str) -> JobRecord | None:
        """Take a waiting job to work on; None where it isn't waiting any more."""
        with self._write() as session, session.begin():
            row = session.get(JobRow, job_id, options=[_LIGHT])
            if row is None or row.state != State.WAITING:
                return None
            row.state = State.WORKING.value
            row.attempts += 1
            row.started = self.clock()
            session.flush()
            return _record(row)

    def improve(self, job_id: str, plan: bytes) -> None:
        """Keep the best plan so far of a job that is being worked on."""
        with self._write() as session, session.begin():
            row = session.get(JobRow, job_id, options=[_LIGHT])
            if row is not None and row.state == State.WORKING:
                session.merge(PlanRow(job_id=job_id, final=False, document=plan, created=self.clock()))

    def finish(self, job_id: str, plan: bytes, *, seconds: float, stopped: bool) -> bool:
        """Keep the answer; whether there was still a job that wanted it."""
        with self._write() as session, session.begin():
            row = session.get(JobRow, job_id, options=[_LIGHT])
            if row is None or State(row.state).over:
                return False
            row.state, row.stopped, row.finished = State.DONE.value, stopped, self.clock()
            row.seconds = seconds
            session.merge(PlanRow(job_id=job_id, final=True, document=plan, created=self.clock()))
            return True

    def put_back(self, job_id: str, plan: bytes | None = None) -> None:
        """Let a job wait again that an orderly end of the service cut short: no attempt; its best plan stays."""
        with self._write() as session, session.begin():
            row = session.get(JobRow, job_id, options=[_LIGHT])
            if row is None or row.state != State.WORKING:
                return
            row.state = State.WAITING.value
            row.attempts -= 1
            if plan is not None:
                session.merge(PlanRow(job_id=job_id, final=False, document=plan, created=self.clock()))

    def give_up(self, job_id: str, error: str) -> None:
        """End a job that can't be solved here: its best plan so far is its answer, else it failed."""
        with self._write() as session, session.begin():
            row = session.get(JobRow, job_id, options=[_LIGHT])
            if row is None or State(row.state).over:
                return
            row.finished = self.clock()
            best = session.get(PlanRow, job_id)
            if best is None:
                row.state, row.error = State.FAILED.value, error
            else:
                row.state, row.stopped, best.final = State.DONE.value, True, True

    def fail(self, job_id: str, error: str) -> None:
        """Say why a job has no answer."""
        self._end(job_id, State.FAILED, error)

    def cancel(self, job_id: str) -> None:
        """End a job that nobody wants any more; a plan it had so far goes too."""
        self._end(job_id, State.CANCELLED, "")

    def _end(self, job_id: str, state: State, error: str) -> None:
        with self._write() as session, session.begin():
            row = session.get(JobRow, job_id, options=[_LIGHT])
            if row is None or State(row.state).over:
                return
            row.state, row.error, row.finished = state.value, error, self.clock()
            session.execute(delete(PlanRow).where(PlanRow.job_id == job_id))

    def keep(self, job_id: str) -> None:
        """Make a draft a plan to be kept: someone opened it."""
        with self._write() as session, session.begin():
            row = session.get(JobRow, job_id, options=[_LIGHT])
            if row is not None and row.draft:
                row.draft = False

    def forget(self, job_id: str, *, draft_only: bool = False) -> bool:
        """Delete a job with all that belongs to it; whether there was one.

        Raises
        ------
        InHandError
            It was taken in hand, however that ended.
        """
        with self._write() as session, session.begin():
            row = session.get(JobRow, job_id, options=[_LIGHT])
            if row is None or (draft_only and not row.draft):
                return False
            if session.get(WorkRow, job_id) is not None:
                raise InHandError(job_id, row.title)
            session.execute(delete(JobRow).where(JobRow.id == job_id))
            return True

    def forget_drafts(self, days: float) -> int:
        """Delete finished drafts older than that, but none in hand and none a job is compared with; how many."""
        before = self.clock() - int(days * 86_400_000)
        old = (JobRow.draft.is_(True), JobRow.created < before, JobRow.state.not_in(_UNFINISHED))
        held = (JobRow.id.not_in(select(WorkRow.id)), JobRow.id.not_in(select(WayRow.way_id)))
        return self._count(delete(JobRow).where(*old, *held))

    def take_up(self) -> tuple[JobRecord, ...]:
        """Make every job waiting that the end of the service cut short; return all that wait, oldest first."""
        with self._write() as session, session.begin():
            session.execute(
                update(JobRow)
                .where(JobRow.state == State.WORKING.value)
                .values(state=State.WAITING.value, version=JobRow.version + 1)
            )
            query = select(JobRow).options(_LIGHT).where(JobRow.state == State.WAITING.value)
            rows = session.scalars(query.order_by(JobRow.created, JobRow.id))
            return tuple(_record(row) for row in rows)

    def _count(self, query: Any) -> int:
        with self._write() as session, session.begin():
            return cast("CursorResult[Any]", session.execute(query)).rowcount


def _of_key(session: Session, key: str, digest: str) -> JobRecord | None:
    used = session.get(KeyRow, key)
    if used is None:
        return None
    if used.digest != digest:
        raise KeyClashError(key)
    return _record(session.get_one(JobRow, used.job_id))


def _new_row(job: NewJob, now: int) -> JobRow:
    return JobRow(
        id=secrets.token_urlsafe(_ID_BYTES),
        state=State.WAITING.value,
        client=job.client[:100],
        title=job.title,
        document=job.document,
        digest=job.digest,
        limit_seconds=job.limit_seconds,
        seed=job.seed,
        draft=job.draft,
        attempts=0,
        stopped=False,
        error="",
        seconds=None,
        created=now,
        started=None,
        finished=None,
    )


def _record(row: JobRow) -> JobRecord:
    return JobRecord(
        id=row.id,
        state=State(row.state),
        client=row.client,
        title=row.title,
        digest=row.digest,
        limit_seconds=row.limit_seconds,
        seed=row.seed,
        draft=row.draft,
        attempts=row.attempts,
        stopped=row.stopped,
        error=row.error,
        seconds=row.seconds,
        created=moment(row.created),
        started=None if row.started is None else moment(row.started),
        finished=None if row.finished is None else moment(row.finished),
        version=row.version,
    )
