"""What children do: read a job, solve it. Everything a stranger sent is read here, behind limits."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from api.service.runner.answers import BestSoFar, news_of, result_of_plan
from api.service.runner.child import Line
from cutting.answer.plan import Result
from cutting.question.job import Job
from cutting.question.problems import Problem
from cutting.solve import Progress, solve
from shared.files.job import Format, read_job, write_job
from shared.files.job.document import read_document
from shared.files.plan import write_plan
from shared.work.rack.bars import Bar
from shared.work.rack.own_lines import job_with_rack

__all__ = ["ReadJob", "SolveTask", "read_job_task", "solve_task"]

_LOOK_SHARE: Final = 0.15
_LOOK_SECONDS: Final = (0.5, 3.0)
_NEWS_SECONDS: Final = 0.1


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadJob:
    """A job as understood, or every problem with it.

    Attributes
    ----------
    document : bytes
        The job file in our own writing, empty where there are problems.
    title : str
        The job's.
    problems : tuple of Problem
        What is wrong.
    """

    document: bytes
    title: str
    problems: tuple[Problem, ...]


def read_job_task(_line: Line, data: bytes, name: str, rack: Sequence[Bar] | None = None) -> ReadJob:
    """Read a job file that somebody sent; where a rack is given, its free pieces are offered too."""
    job, problems = read_job(data, name=name) if rack is None else _read_with_rack(data, name, rack)
    if job is None:
        return ReadJob(document=b"", title="", problems=problems)
    return ReadJob(document=write_job(job, Format.JSON), title=job.title, problems=())


def _read_with_rack(data: bytes, name: str, rack: Sequence[Bar]) -> tuple[Job | None, tuple[Problem, ...]]:
    table, problems = read_document(data, name=name)
    return (None, problems) if table is None else job_with_rack(table, rack)


@dataclass(frozen=True, kw_only=True, slots=True)
class SolveTask:
    """A job to be solved.

    Attributes
    ----------
    document : bytes
        The job file, as the store has it.
    limit : float
        Seconds.
    seed : int
        For every random choice.
    cores : int
        How many it may use.
    before : bytes or None
        The plan that the store has from before the service ended: the answer is never worse.
    """

    document: bytes
    limit: float
    seed: int
    cores: int
    before: bytes | None = None


def solve_task(line: Line, task: SolveTask) -> BestSoFar:
    """Solve a job of the store; better plans are handed out as they are found, to be read while the search goes on."""
    job, problems = read_job(task.document, name="job.json")
    if job is None:
        raise ValueError(f"the store's job can't be read: {problems[0].where}: {problems[0].message}")
    kept = None if task.before is None else result_of_plan(job, task.before, 0.0)
    look = max(_LOOK_SECONDS[0], min(_LOOK_SECONDS[1], task.limit * _LOOK_SHARE))
    search = _Search(line, job, look)
    return search.written(solve(job, task.limit, task.seed, search.hear, task.cores, known=kept))


class _Search:
    """One job being solved, with news and plans on the way.

    Parameters
    ----------
    line : Line
        To whoever waits.
    job : Job
        The job.
    look : float
        Seconds between plans that are handed out.
    """

    def __init__(self, line: Line, job: Job, look: float) -> None:
        self._line = line
        self._job = job
        self._look = look
        self._begin = time.monotonic()
        self._told = 0.0
        self._last: tuple[Fraction | None, Fraction] | None = None
        self._handed = 0.0
        self._cost: Fraction | None = None

    @property
    def elapsed(self) -> float:
        return time.monotonic() - self._begin

    def written(self, result: Result) -> BestSoFar:
        return BestSoFar(document=write_plan(self._job, result), seconds=self.elapsed, status=result.status)

    def hear(self, progress: Progress) -> bool:
        """Pass news and plans on, not too often; the engine asks here whether to stop."""
        news = (progress.incumbent, progress.lower_bound)
        if news != self._last and (not self._told or self.elapsed - self._told > _NEWS_SECONDS):
            self._told = self.elapsed
            self._last = news
            self._line.tell(news_of(self._job, progress, self.elapsed))
        stopped: bool = self._line.stopped.is_set()
        if progress.incumbent != self._cost and not stopped and self.elapsed - self._handed > self._look:
            self._hand_out(progress)
        return stopped

    def _hand_out(self, progress: Progress) -> None:
        result = progress.result()
        if result is not None:
            self._line.tell(self.written(result))
        self._handed = self.elapsed
        self._cost = progress.incumbent
