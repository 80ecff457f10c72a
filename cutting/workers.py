"""Portions side by side: the caller's process and helper processes share the work.

A helper is a fresh interpreter that runs this module, is fed pickled tasks through a pipe, and is kept for the next
solve; a fresh interpreter neither runs the caller's main module again nor inherits its threads and locks. It is started
only for a job whose portions promise enough work, and while it starts the caller is solving already.
"""

from __future__ import annotations

import atexit
import contextlib
import os
import pickle
import queue
import struct
import subprocess
import sys
import threading
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import IO, Any

from cutting.clock import Clock
from cutting.market.task import Answer, Task, solve_task

__all__ = ["solve_tasks"]

TaskReport = Callable[[int, int | None, int | None], None]
WORTH_A_HELPER = (
    20_000  # estimated work (kinds of part x pieces) below which starting a process costs more than it saves
)
GRACE = 0.5  # seconds a helper gets to hand over its best answer once time is up
_LENGTH = struct.Struct("!Q")


def _write(stream: IO[bytes], message: Any) -> None:
    data = pickle.dumps(message, protocol=pickle.HIGHEST_PROTOCOL)
    stream.write(_LENGTH.pack(len(data)) + data)
    stream.flush()


def _read(stream: IO[bytes]) -> Any:
    header = stream.read(_LENGTH.size)
    if len(header) < _LENGTH.size:
        raise EOFError
    return pickle.loads(stream.read(_LENGTH.unpack(header)[0]))  # noqa: S301  our own helper wrote it


class Helper:
    """One helper process."""

    def __init__(self) -> None:
        root = str(Path(__file__).resolve().parent.parent)
        paths = [root, *filter(None, [os.environ.get("PYTHONPATH")])]
        self._process = subprocess.Popen(
            [sys.executable, "-c", "from cutting.workers import serve; serve()"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
            start_new_session=True,  # Ctrl-C is the caller's to hear, who then closes its helpers
        )

    def solve(self, task: Task, report: Callable[[int | None, int | None], None]) -> Answer:
        """Have one task solved; raises EOFError or OSError where the helper died."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        _write(self._process.stdin, task)
        while True:
            kind, message = _read(self._process.stdout)
            if kind == "done":
                finished: Answer = message
                return finished
            report(*message)

    def cancel(self) -> None:
        """Ask for the best answer so far, now."""
        assert self._process.stdin is not None
        with contextlib.suppress(OSError):  # it ended by itself: then there is nothing left to cancel
            _write(self._process.stdin, None)

    def close(self) -> None:
        """End the process."""
        self._process.kill()
        self._process.wait()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                stream.close()


def serve() -> None:
    """Solve tasks from standard input until it closes: what a helper process runs.

    An empty message cancels the task being solved. What a library prints goes to standard error, so that it cannot
    break the messages.
    """
    outgoing = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    waiting: queue.SimpleQueue[Task | None] = queue.SimpleQueue()
    cancel = threading.Event()

    def listen() -> None:
        try:
            while True:
                message = _read(sys.stdin.buffer)
                if message is None:
                    cancel.set()
                else:
                    cancel.clear()
                    waiting.put(message)
        except EOFError:
            cancel.set()
            waiting.put(None)

    threading.Thread(target=listen, daemon=True).start()
    with contextlib.suppress(BrokenPipeError):  # the caller is gone: nobody waits for an answer
        while (task := waiting.get()) is not None:
            clock = Clock(task.limit, cancel.is_set)
            _write(outgoing, ("done", solve_task(task, lambda c, b: _write(outgoing, ("news", (c, b))), clock)))
    os._exit(0)


class _Pool:
    """The helpers kept between solves."""

    def __init__(self) -> None:
        self._idle: list[Helper] = []
        self._lock = threading.Lock()
        atexit.register(self.close)

    def borrow(self) -> Helper:
        with self._lock:
            if self._idle:
                return self._idle.pop()
        return Helper()

    def idle(self) -> int:
        with self._lock:
            return len(self._idle)

    def give_back(self, helper: Helper) -> None:
        with self._lock:
            self._idle.append(helper)

    def close(self) -> None:
        with self._lock:
            while self._idle:
                self._idle.pop().close()


_pool = _Pool()


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
        self.active: list[Helper] = []
        self.lock = threading.Lock()

    def next(self) -> tuple[int, Task] | None:
        """Take the largest waiting task, with its fair share of the time that is left."""
        with self.lock:
            if not self.waiting:
                return None
            share = min(1.0, self.cores / len(self.waiting))
            number = self.waiting.popleft()
        task = self.tasks[number]
        limit = min(task.limit, self.clock.left() * share)
        return number, replace(task, limit=limit)

    def work_here(self) -> None:
        """Solve tasks in this process until none waits."""
        while (taken := self.next()) is not None:
            number, task = taken
            self.results[number] = solve_task(task, partial(self.report, number), self.clock)

    def work_there(self) -> None:
        """Feed a helper until none waits; a task whose helper died goes back to be solved here."""
        helper = _pool.borrow()
        self.active.append(helper)
        while (taken := self.next()) is not None:
            number, task = taken
            try:
                self.results[number] = helper.solve(task, partial(self.report, number))
            except (EOFError, OSError):
                self.waiting.append(number)
                helper.close()
                return
        _pool.give_back(helper)


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
        Hears (number of the task, cost, bound); called from this process only, one call at a time.

    Returns
    -------
    list of Answer
        In the order of the tasks.
    """
    work = _Round(tasks, clock, cores, _locked(report))
    threads = [threading.Thread(target=work.work_there, daemon=True) for _ in range(_helpers(tasks, cores))]
    for thread in threads:
        thread.start()
    work.work_here()
    for thread in threads:
        _wait(thread, work)
    work.work_here()  # what a dead helper left
    return [finished for finished in work.results if finished is not None]


def _helpers(tasks: Sequence[Task], cores: int) -> int:
    """How many helpers to use: those that run already, and new ones where the work is worth a start."""
    useful = min(cores, len(tasks)) - 1
    efforts = sorted((task.effort for task in tasks), reverse=True)
    return useful if sum(efforts[1:]) >= WORTH_A_HELPER else min(useful, _pool.idle())


def _wait(thread: threading.Thread, work: _Round) -> None:
    """Wait for a helper; after a cancel ask it for what it has, and end it where it doesn't answer in time."""
    told = False
    while thread.is_alive():
        thread.join(timeout=0.02)
        if work.clock.over() and not told:
            told = True
            for helper in work.active:
                helper.cancel()
        if told and work.clock.overdue() > GRACE:
            for helper in work.active:
                helper.close()
            thread.join()
            return


def _locked(report: TaskReport) -> TaskReport:
    lock = threading.Lock()

    def locked(number: int, cost: int | None, bound: int | None) -> None:
        with lock:
            report(number, cost, bound)

    return locked
