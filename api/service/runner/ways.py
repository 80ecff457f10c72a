"""Ways to buy that a job is compared with: what they are, and what the plans for them show together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Final

from api.service.runner.answers import result_of_plan
from api.service.runner.child import Line
from cutting.answer.plan import Result
from cutting.asking.compare import Case, Comparison, Row, Way, row_of, ways_of
from cutting.question.job import Job
from shared.files.job import Format, read_job, write_job
from shared.store import WayRecord

__all__ = ["Solved", "WayDocument", "comparison_of", "has_ways", "job_of", "rows_of", "ways_task"]

_PLANS_KEPT: Final = 128


@dataclass(frozen=True, kw_only=True, slots=True)
class WayDocument:
    """One way to buy, as a job to be solved.

    Attributes
    ----------
    document : bytes
        Its job file.
    kind, name, length : str
        As in `shared.store.WayRecord`.
    """

    document: bytes
    kind: str
    name: str
    length: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Solved:
    """One way to buy with its answer.

    Attributes
    ----------
    way : WayRecord or None
        Which; None for the job as it is.
    document, plan : bytes
        Its job file and plan file.
    seconds : float
        Time the engine took.
    """

    way: WayRecord | None
    document: bytes
    plan: bytes
    seconds: float


def ways_task(_line: Line, document: bytes) -> tuple[WayDocument, ...]:
    """Return the ways to buy that a job of the store is worth comparing with, the job as it is left out."""
    return tuple(
        WayDocument(
            document=write_job(way.job, Format.JSON),
            kind=way.case.value,
            name=way.name,
            length="" if way.length is None else str(way.length),
        )
        for way in ways_of(job_of(document))[1:]
    )


def has_ways(job: Job) -> bool:
    """Whether there is anything to compare a job with."""
    return len(ways_of(job)) > 1


def rows_of(first: Solved | None, others: Sequence[Solved]) -> tuple[Row, ...]:
    """Return what the answers show.

    Parameters
    ----------
    first : Solved or None
        The job as it is; None while it has no answer, then nothing can be said to cost more or less.
    others : sequence of Solved
        The ways that have one.
    """
    base = None if first is None else row_of(_way(first), _result(first), None)
    rows = [row_of(_way(each), _result(each), base) for each in others]
    return tuple(replace(row, delta=None) for row in rows) if base is None else (base, *rows)


def comparison_of(job: Job, result: Result, others: Sequence[Solved]) -> Comparison:
    """Return a job's own answer side by side with those to other ways."""
    base = row_of(Way(case=Case.ALL, job=job), result, None)
    return Comparison(rows=(base, *(row_of(_way(each), _result(each), base) for each in others)), result=result)


def _way(solved: Solved) -> Way:
    job = job_of(solved.document)
    if solved.way is None:
        return Way(case=Case.ALL, job=job)
    length = Fraction(solved.way.length) if solved.way.length else None
    return Way(case=Case(solved.way.kind), job=job, name=solved.way.name, length=length)


@lru_cache(maxsize=_PLANS_KEPT)
def job_of(document: bytes) -> Job:
    """Read a job of the store."""
    job, problems = read_job(document, name="job.json")
    if job is None:
        raise ValueError(f"the store's job can't be read: {problems[0].where}: {problems[0].message}")
    return job


def _result(solved: Solved) -> Result:
    return _read(solved.document, solved.plan, solved.seconds)


@lru_cache(maxsize=_PLANS_KEPT)
def _read(document: bytes, plan: bytes, seconds: float) -> Result:
    return result_of_plan(job_of(document), plan, seconds)
