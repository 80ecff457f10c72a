"""Solves in the background: a bounded number at once, the rest in a fair queue, each in a child of its own."""

from __future__ import annotations

import logging
import os
import threading
import time
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from math import ceil
from typing import Any, Final, TypeVar

from api.service.runner.answers import BestSoFar, ProgressNews
from api.service.runner.child import Allowance
from api.service.runner.fair import FairQueue
from api.service.runner.process import Child, ChildError, Children, CrashedError, TimeOverError, TooLargeError
from api.service.runner.tasks import SolveTask, solve_task
from api.service.settings import Limits
from shared.store import JobRecord, NewJob, Store
from shared.store.health import PASSING, may_pass, why

__all__ = ["Scheduler"]

_LOG: Final = logging.getLogger("tallystick")
_START_SECONDS: Final = 30.0
_REMEMBERED: Final = 20
_LONGEST_RETRY: Final = 60
_STORE_RETRY_SECONDS: Final = (0.2, 5.0)

T = TypeVar("T")


class _Solve:
    """One solve on its way, as the scheduler sees it."""

    def __init__(self, child: Child) -> None:
        self.child = child
        self.news: ProgressNews | None = None
        self.best: BestSoFar | None = None
        self.stopped_at: float | None = None
        self.dropped = False


class Scheduler:
    """Takes jobs, solves them, tells what happens.

    Parameters
    ----------
    store : Store
        Where jobs and plans are kept.
    children : Children
        Starts the child processes.
    limits : Limits
        How much at once.
    tell : callable
        Hears the id of a job whenever something about it changes; called from any thread.
    """

    def __init__(self, store: Store, children: Children, limits: Limits, tell: Callable[[str], None]) -> None:
        self._store = store
        self._children = children
        self._limits = limits
        self._tell = tell
        self._queue = FairQueue(limits.waiting, limits.waiting_each)
        self._solves: dict[str, _Solve] = {}
        self._lock = threading.Lock()
        self._seconds: deque[float] = deque(maxlen=_REMEMBERED)
        self._closed = threading.Event()
        self._troubles: dict[int, str] = {}
        self._threads = [
            threading.Thread(target=self._work, name=f"solve-{number}", daemon=True) for number in range(limits.places)
        ]

    def start(self) -> None:
        """Take up what the last end of the service cut short, and begin to work."""
        for record in self._store.take_up():
            if record.attempts >= self._limits.attempts:
                self._store.give_up(
                    record.id, f"its solve was begun {record.attempts} times and never ended; it is given up"
                )
            else:
                self._queue.put(record.client, record.id)
        for thread in self._threads:
            thread.start()

    def close(self) -> None:
        """End; what is being solved keeps its best plan so far and will be taken up at the next start."""
        with self._lock:
            self._closed.set()
            solves = list(self._solves.values())
        self._queue.close()
        for solve in solves:
            solve.child.stop()
        for thread in self._threads:
            thread.join()

    def trouble(self) -> str:
        """Say what keeps the solves from going on, empty where nothing does."""
        if self._closed.is_set():
            return "the service is ending"
        if any(thread.ident is not None and not thread.is_alive() for thread in self._threads):
            return "a worker has ended by a defect of ours; start the service again"
        return next(iter(self._troubles.copy().values()), "")

    def add(self, job: NewJob, key: str | None = None) -> tuple[JobRecord, bool]:
        """Keep a job and let it wait; see `Store.add`; raises FullError where no place is left."""
        self._queue.reserve(job.client)
        try:
            record, fresh = self._store.add(job, key)
            if fresh:
                self._queue.put(record.client, record.id)
        finally:
            self._queue.release(job.client)
        return record, fresh

    def retry_after(self) -> int:
        """Guess in how many seconds a place will be free."""
        mean = sum(self._seconds) / len(self._seconds) if self._seconds else 1.0
        return max(1, min(_LONGEST_RETRY, ceil(mean / self._limits.places)))

    def news(self, job_id: str) -> ProgressNews | None:
        """Return how far a job's solve is, None where it isn't being solved."""
        solve = self._solves.get(job_id)
        return None if solve is None else solve.news

    def ahead(self, job_id: str) -> int | None:
        """Count the jobs before this one, None where it isn't waiting."""
        return self._queue.ahead(job_id)

    def stop(self, job_id: str) -> None:
        """End a job's search and keep the best plan it has; one that hasn't begun is cancelled."""
        if self._queue.remove(job_id):
            self._store.cancel(job_id)
            self._tell(job_id)
            return
        with self._lock:
            solve = self._solves.get(job_id)
            if solve is not None and solve.stopped_at is None:
                solve.stopped_at = time.monotonic()
                solve.child.stop()

    def cancel(self, job_id: str) -> None:
        """End a job that nobody wants any more."""
        self._queue.remove(job_id)
        self._store.cancel(job_id)
        with self._lock:
            solve = self._solves.get(job_id)
            if solve is not None:
                solve.dropped = True
                solve.child.end()
        self._tell(job_id)

    def _work(self) -> None:
        while (job_id := self._queue.take()) is not None:
            try:
                self._solve(job_id)
            except _ClosedError:
                return  # the store was away until the end: the job is taken up at the next start
            except Exception as error:  # noqa: BLE001  a worker must outlive whatever one job does
                _LOG.exception("job %s", job_id)
                with suppress(_ClosedError):
                    self._without_store(job_id, error)
            self._tell(job_id)

    def _without_store(self, job_id: str, error: Exception) -> None:
        """End a job that a defect of ours, or what the store can't hold, kept from its answer."""
        try:
            self._kept(lambda: self._store.give_up(job_id, f"a defect of ours, sorry: {type(error).__name__}"))
        except PASSING:  # what the store refuses even of that is for the log: the next job must have its turn
            _LOG.exception("job %s can't be ended", job_id)

    def _kept(self, act: Callable[[], T]) -> T:
        """Do something with the store, again and again while it is locked, full or away.

        Raises
        ------
        _ClosedError
            The service ended first.
        """
        pause, longest = _STORE_RETRY_SECONDS
        try:
            while True:
                try:
                    return act()
                except PASSING as error:
                    if not may_pass(error):
                        raise
                    self._troubles[threading.get_ident()] = why(error)
                    _LOG.warning("%s; trying again", why(error))
                if self._closed.wait(pause):
                    raise _ClosedError
                pause = min(2 * pause, longest)
        finally:
            self._troubles.pop(threading.get_ident(), None)

    def _solve(self, job_id: str) -> None:
        record = self._kept(lambda: self._store.claim(job_id))
        if record is None:
            return
        document = self._kept(lambda: self._store.document(job_id))
        if document is None:
            return
        before = self._kept(lambda: self._store.plan(job_id))
        self._tell(job_id)
        begin = time.monotonic()
        solve = _Solve(self._start(record, document, None if before is None else before.document))
        with self._lock:
            self._solves[job_id] = solve
            if self._closed.is_set():
                solve.child.stop()
        try:
            self._hear_out(record, solve)
        finally:
            with self._lock:
                del self._solves[job_id]
            self._seconds.append(time.monotonic() - begin)

    def _start(self, record: JobRecord, document: bytes, before: bytes | None) -> Child:
        limit = record.limit_seconds
        cores = self._spare_cores()
        allowance = Allowance(
            memory=self._limits.solve_memory, processor_seconds=cores * limit + self._limits.stop_grace + _START_SECONDS
        )
        task = SolveTask(document=document, limit=limit, seed=record.seed, cores=cores, before=before)
        return self._children.start(solve_task, task, allowance=allowance)

    def _spare_cores(self) -> int:
        """Cores for one more solve: its own, and those that nobody waits for."""
        with self._lock:
            busy = len(self._solves)
        free = (os.cpu_count() or 1) - busy
        return max(1, free if not len(self._queue) else 1)

    def _hear_out(self, record: JobRecord, solve: _Solve) -> None:
        def hear(message: Any) -> None:
            self._hear(record.id, solve, message)

        def give_up() -> bool:
            if self._closed.is_set():
                closing.append(time.monotonic())
                return time.monotonic() - closing[0] > self._limits.close_grace
            return solve.stopped_at is not None and time.monotonic() - solve.stopped_at > self._limits.stop_grace

        closing: list[float] = []
        seconds = record.limit_seconds + self._limits.stop_grace + _START_SECONDS
        try:
            answer = solve.child.answer(seconds, hear, give_up)
        except ChildError as error:
            if self._closed.is_set():
                self._put_back(record.id, solve.best)
            elif not solve.dropped:
                self._without_answer(record, solve, error)
            return
        if self._closed.is_set() and solve.stopped_at is None and not answer.proven:
            self._put_back(record.id, answer if answer.planned else solve.best)
            return
        self._finish(record.id, answer, stopped=solve.stopped_at is not None)

    def _finish(self, job_id: str, answer: BestSoFar, *, stopped: bool) -> None:
        self._kept(lambda: self._store.finish(job_id, answer.document, seconds=answer.seconds, stopped=stopped))

    def _put_back(self, job_id: str, best: BestSoFar | None) -> None:
        """Let a job wait for the next start; where the store is away now, that start finds it as after a power cut."""
        try:
            self._store.put_back(job_id, None if best is None else best.document)
        except PASSING as error:
            _LOG.warning("job %s can't be put back: %s", job_id, why(error))

    def _hear(self, job_id: str, solve: _Solve, message: Any) -> None:
        if isinstance(message, BestSoFar):
            solve.best = message
            try:
                self._store.improve(job_id, message.document)
            except PASSING as error:  # the solve goes on: its answer is kept once the store is back
                if not may_pass(error):
                    raise
                _LOG.warning("the best plan so far of job %s isn't kept: %s", job_id, why(error))
        else:
            solve.news = message
        self._tell(job_id)

    def _without_answer(self, record: JobRecord, solve: _Solve, error: ChildError) -> None:
        """End a job whose child gave none: the best plan it handed out counts, else the job failed."""
        stopped = solve.stopped_at is not None
        if solve.best is not None:
            self._finish(record.id, solve.best, stopped=stopped)
        elif stopped:
            self._kept(lambda: self._store.cancel(record.id))
        else:
            self._kept(lambda: self._store.give_up(record.id, _said_of(error)))
        _LOG.warning("job %s: %s", record.id, _said_of(error))


class _ClosedError(Exception):
    """The service ended while the store couldn't be reached."""


def _said_of(error: ChildError) -> str:
    if isinstance(error, TooLargeError):
        return "its solve needed more memory than a solve may take here; split the job by section"
    if isinstance(error, TimeOverError):
        return "its solve didn't end in time"
    if isinstance(error, CrashedError):
        return f"its solve ended by a defect of ours, sorry: {error}"
    return str(error)
