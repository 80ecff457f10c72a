"""What the store hands out: plain values, never its rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum

__all__ = ["JobRecord", "NewJob", "PlanRecord", "State", "WrittenRecord"]


class State(StrEnum):
    """How far a job is."""

    WAITING = "waiting"
    WORKING = "working"
    DONE = "done"
    FAILED = "failed"
    """The solve ended without an answer, by no fault of the job's."""
    CANCELLED = "cancelled"

    @property
    def over(self) -> bool:
        """Whether nothing more will come."""
        return self in {State.DONE, State.FAILED, State.CANCELLED}


@dataclass(frozen=True, kw_only=True, slots=True)
class NewJob:
    """A job to be kept and solved.

    Attributes
    ----------
    document : bytes
        The job file.
    title : str
        Its title.
    digest : str
        Of everything that decides the answer.
    limit_seconds : float
        Time limit of the solve.
    seed : int
        For every random choice.
    client : str
        Who asked, for fairness only.
    draft : bool
        Made while someone was still typing; forgotten when nobody opens it.
    sheet : bytes
        What was written on the page, empty where it came another way.
    """

    document: bytes
    title: str
    digest: str
    limit_seconds: float
    seed: int
    client: str
    draft: bool = False
    sheet: bytes = b""


@dataclass(frozen=True, kw_only=True, slots=True)
class JobRecord:
    """A job as kept, without its documents.

    Attributes
    ----------
    id : str
        Its name in every address; can't be guessed.
    state : State
        How far it is.
    client, title, digest, limit_seconds, seed, draft
        As in `NewJob`.
    attempts : int
        How often its solve was started.
    stopped : bool
        The plan is the best there was when someone stopped the search.
    error : str
        Why it failed, empty where it didn't.
    seconds : float or None
        Time the engine took for its answer.
    created, started, finished : datetime
        UTC; None where it hasn't come to that.
    version : int
        Counts its changes.
    """

    id: str
    state: State
    client: str
    title: str
    digest: str
    limit_seconds: float
    seed: int
    draft: bool
    attempts: int
    stopped: bool
    error: str
    seconds: float | None
    created: datetime
    started: datetime | None
    finished: datetime | None
    version: int


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanRecord:
    """The plan of a job as kept.

    Attributes
    ----------
    document : bytes
        The plan file.
    final : bool
        No better one will come.
    """

    document: bytes
    final: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class WrittenRecord:
    """A job with the sheet it was written on and its plan.

    Attributes
    ----------
    job : JobRecord
        The job.
    sheet, plan : bytes or None
        What was written on the page, and the plan file; None where there is none.
    """

    job: JobRecord
    sheet: bytes | None
    plan: bytes | None


def moment(milliseconds: int) -> datetime:
    """Return the time a row states."""
    return datetime.fromtimestamp(milliseconds / 1000, tz=UTC)
