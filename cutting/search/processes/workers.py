"""Portions side by side, and the rooms of one: the caller's process and helper processes share the work.

A helper is started only for a job that promises enough work, and while it starts the caller is solving already.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from cutting.fit.clock import Clock
from cutting.search.choice import Choice
from cutting.search.processes.beside import SideBySide
from cutting.search.processes.helpers import Helper, pool
from cutting.search.rooms.rooms import Rooms
from cutting.search.task import Answer, Task, solve_task

__all__ = ["solve_tasks"]

TaskReport = Callable[[int, Choice | None, int | None], None]
# Starting a process costs more than it saves below so much estimated work (kinds of part x pieces), or seconds left.
WORTH_A_HELPER, TIME_FOR_A_HELPER = 20_000, 2.0


class _Round:
    """One set of tasks being solved by the caller and its helpers."""

    def __init__(self, tasks: Sequence[Task], clock: Clock, cores: int, report: TaskReport) -> None:
        self.tasks = tasks
        self.clock = clock
        self.cores = cores
        self.report = report
        self.results: list[Answer | None] = [None] * len(tasks)
        order = sorted(range(len(tasks)), key=lambda number: -tasks[number].effort)
        self.waiting = deque(order)
        self.helpers = self._useful([task.effort for task in tasks], cores)
        self.active: list[Helper] = []
        self.lock = threading.Lock()

    def _useful(self, efforts: Sequence[int], cores: int) -> int:
        """How many helpers to use: those that run already, and new ones where work and time are worth a start."""
        useful = min(cores, len(efforts)) - 1
        worth = sum(sorted(efforts)[:-1]) >= WORTH_A_HELPER and self.clock.left() >= TIME_FOR_A_HELPER
        return max(0, useful if worth else min(useful, pool.idle()))

    def next(self) -> tuple[int, Task] | None:
        """Take the largest waiting task, with its fair share of the time that is left."""
        with self.lock:
            if not self.waiting:
                return None
            share = min(1.0, (1 + self.helpers) / len(self.waiting))
            number = self.waiting.popleft()
        task = self.tasks[number]
        limit = min(task.limit, self.clock.left() * share)
        return number, replace(task, limit=limit)

    def work_here(self) -> None:
        """Solve tasks in this process until none waits."""
        while (taken := self.next()) is not None:
            number, task = taken
            self.results[number] = self._solve(number, task)

    def _solve(self, number: int, task: Task) -> Answer:
        """Solve a task here, its rooms side by side where processes are left over and that pays."""
        report = partial(self.report, number)
        count = self._useful([room.effort for room in task.market.rooms], self.cores - self.helpers)
        if not count:
            return solve_task(task, report, self.clock)
        helpers = [pool.borrow() for _ in range(count)]

        def beside(clock: Clock) -> Rooms:
            return SideBySide(task.market.rooms, helpers, seed=task.seed, clock=clock)

        try:
            return solve_task(task, report, self.clock, beside)
        finally:
            for helper in helpers:
                pool.give_back(helper)

    def work_there(self) -> None:
        """Feed a helper until none waits; a task whose helper died goes back to be solved here."""
        helper = pool.borrow()
        self.active.append(helper)
        while (taken := self.next()) is not None:
            number, task = taken
            try:
                self.results[number] = helper.solve(task, partial(self.report, number))
            except (EOFError, OSError):
                self.waiting.append(number)
                helper.close()
                return
        pool.give_back(helper)


def solve_tasks(tasks: Sequence[Task], *, clock: Clock, cores: int, report: TaskReport) -> list[Answer]:
    """Solve every task, side by side where that pays.

    Parameters
    ----------
    tasks : sequence of Task
        The portions.
    clock : Clock
        Ends the search; a cancel ends helpers too.
    cores : int
        Processes to use at most, this one included.
    report : callable
        Hears (number of the task, its best plan, bound); called from this process only, one call at a time.

    Returns
    -------
    list of Answer
        In the order of the tasks.
    """
    work = _Round(tasks, clock, cores, _locked(report))
    threads = [threading.Thread(target=work.work_there, daemon=True) for _ in range(work.helpers)]
    for thread in threads:
        thread.start()
    work.work_here()
    for thread in threads:
        _wait(thread, work)
    work.work_here()  # what a dead helper left
    return [finished for finished in work.results if finished is not None]


def _wait(thread: threading.Thread, work: _Round) -> None:
    """Wait for a helper; after a cancel ask it for what it has, and end it where it doesn't answer in time."""
    told = False
    while thread.is_alive():
        thread.join(timeout=0.02)
        if work.clock.over() and not told:
            told = True
            for helper in work.active:
                helper.cancel()
        if told and work.clock.expired():
            for helper in work.active:
                helper.close()
            thread.join()
            return


def _locked(report: TaskReport) -> TaskReport:
    lock = threading.Lock()

    def locked(number: int, choice: Choice | None, bound: int | None) -> None:
        with lock:
            report(number, choice, bound)

    return locked
