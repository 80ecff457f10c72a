"""One section from integers to loads: what a worker process runs."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.search.loop import Answer, Report, Search
from cutting.search.ties import tidy

__all__ = ["Task", "solve_section"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Task:
    """One section to solve.

    Attributes
    ----------
    instance : Instance
        Its integers.
    own_lengths : tuple of int
        Steel of one's own that one stick of each kind uses.
    seed : int
        For every random choice.
    limit : float
        Seconds.
    """

    instance: Instance
    own_lengths: tuple[int, ...]
    seed: int
    limit: float


def solve_section(task: Task, report: Report, outer: Clock | None = None) -> tuple[Answer, float]:
    """Search, then break ties for the person.

    Parameters
    ----------
    task : Task
        What to solve.
    report : callable
        Hears (cost of the best plan, bound) whenever one of them improves.
    outer : Clock, optional
        Ends the search too, whatever the task's own limit.

    Returns
    -------
    tuple of (Answer, float)
        The answer and the seconds it took.
    """
    begin = time.monotonic()
    clock = Clock(task.limit, outer.over if outer is not None else None)
    engine, tidied = (Search, tidy) if task.instance.rows is None else _of_rows()
    search = engine(task.instance, seed=task.seed, clock=clock, report=report)
    answer = search.run()
    if answer.loads is not None:
        answer = tidied(search, answer, task.own_lengths)
    return answer, time.monotonic() - begin


def _of_rows() -> tuple[type[Search], Callable[[Search, Answer, tuple[int, ...]], Answer]]:
    """Return what searches rows of angled parts and what breaks their ties, loaded only where there are some."""
    from cutting.search.angled.loop import RowSearch  # noqa: PLC0415
    from cutting.search.angled.ties import tidy_rows  # noqa: PLC0415

    return RowSearch, tidy_rows
