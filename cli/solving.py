"""Solving on the command line: progress on stderr, and Ctrl-C takes the best plan so far instead of losing it."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from dataclasses import dataclass
from types import FrameType
from typing import Final

from cli.exits import Code
from cli.progress import progress_line
from cutting.answer.plan import Result
from cutting.question.job import Job
from cutting.solve import Progress, solve

__all__ = ["Solved", "solved"]

_PATIENCE: Final = 2.0
"""Seconds that the engine gets to end by itself after Ctrl-C, before the last plan it told of is taken."""
_TURN: Final = 0.05


@dataclass(frozen=True, slots=True)
class Solved:
    """What came of a solve.

    Attributes
    ----------
    result : Result or None
        None where it was stopped before anything was known.
    stopped : bool
        Somebody pressed Ctrl-C.
    """

    result: Result | None
    stopped: bool


def solved(job: Job, limit: float, seed: int) -> Solved:
    """Solve a job; the first Ctrl-C takes the best plan so far, the second ends the program at once."""
    work = _Work(job, limit, seed)
    before = signal.signal(signal.SIGINT, work.stop)
    try:
        work.start()
        result = work.wait()
    finally:
        signal.signal(signal.SIGINT, before)
        work.clear()
    return Solved(result, work.stopped is not None)


class _Work(threading.Thread):
    """The engine at work beside the main thread, which stays free to hear Ctrl-C while a solver hears nothing."""

    def __init__(self, job: Job, limit: float, seed: int) -> None:
        super().__init__(daemon=True)
        self.stopped: float | None = None
        self._question = job, limit, seed
        self._show, self.clear = progress_line(job)
        self._told: Progress | None = None
        self._result: Result | None = None
        self._error: BaseException | None = None

    def run(self) -> None:
        """Solve; what goes wrong is raised where it is waited for."""
        try:
            self._result = solve(*self._question, self._hear)
        except BaseException as error:  # noqa: BLE001 - raised again by `wait`
            self._error = error

    def wait(self) -> Result | None:
        """Return what the engine found, or the last it told of where it doesn't end after a Ctrl-C."""
        while self.is_alive() and not (self.stopped is not None and time.monotonic() - self.stopped > _PATIENCE):
            self.join(_TURN)
        if self._error is not None:
            raise self._error
        if self._result is None and self._told is not None:
            return self._told.result()
        return self._result

    def stop(self, _signal: int, _frame: FrameType | None) -> None:
        """Hear Ctrl-C."""
        if self.stopped is not None:
            os._exit(Code.STOPPED)
        self.stopped = time.monotonic()
        self.clear()
        sys.stderr.write("stopping: the best plan so far is taken; Ctrl-C once more ends at once\n")

    def _hear(self, progress: Progress) -> bool:
        self._told = progress
        if self._show is not None and self.stopped is None:
            self._show(progress)
        return self.stopped is not None
