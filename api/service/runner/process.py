"""The parent's side: start a child from a server that has the engine loaded, hear it, stop it, kill it."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable, Sequence
from multiprocessing.context import ForkServerContext
from typing import Any, Final

from api.service.runner.child import STOP, Allowance, Kind, Task, run

__all__ = ["Child", "ChildError", "Children", "CrashedError", "TimeOverError", "TooLargeError"]

_PRELOADED: Final = (
    "api.service.runner.tasks",
    "api.service.runner.papers",
    "api.sheet.reading",
    "api.page.rack.reading",
    # what the engine, the plan file and the writers load when they first need it: once here instead of in every child
    "cutting.fit.marked.marked",
    "cutting.fit.rows",
    "cutting.laying.angled.layout",
    "cutting.packing.cover",
    "cutting.search.against",
    "cutting.search.rooms.cover",
    "cutting.search.rooms.joint",
    "ortools.math_opt.python.mathopt",
    "rapidfuzz.process",
    "shared.files.plan.read",
    "shared.files.plan.write",
)
_POLL_SECONDS: Final = 0.05


class ChildError(Exception):
    """A child gave no answer.

    ::

        ChildError
        +-- TimeOverError   it took longer than it may
        +-- TooLargeError   it needed more memory than it may
        +-- CrashedError    it ended, or failed, by a defect
    """


class TimeOverError(ChildError):
    """A child took longer than it may."""


class TooLargeError(ChildError):
    """A child needed more memory than it may."""


class CrashedError(ChildError):
    """A child ended without a word, or a defect of ours ended it; its text is in the message."""


class Child:
    """One task in a process of its own.

    Parameters
    ----------
    context : ForkServerContext
        Starts it.
    allowance : Allowance
        What it may take.
    task : Task
        What it does.
    arguments : tuple
        What with.
    """

    def __init__(
        self, context: ForkServerContext, allowance: Allowance, task: Task, arguments: tuple[Any, ...]
    ) -> None:
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=run, args=(theirs, allowance, task, arguments), daemon=True)
        self._process.start()
        theirs.close()

    def answer(
        self,
        seconds: float,
        hear: Callable[[Any], None] | None = None,
        give_up: Callable[[], bool] | None = None,
    ) -> Any:
        """Wait for the answer; the child is gone afterwards, whatever happens.

        Parameters
        ----------
        seconds : float
            How long to wait at most.
        hear : callable, optional
            Takes its news.
        give_up : callable, optional
            Says whether waiting any longer is useless.

        Raises
        ------
        TimeOverError, TooLargeError, CrashedError
            There is none.
        """
        end = time.monotonic() + seconds
        try:
            while (left := end - time.monotonic()) > 0:
                if give_up is not None and give_up():
                    break
                if not self._pipe.poll(min(left, _POLL_SECONDS)):
                    continue
                kind, value = self._pipe.recv()
                if kind == Kind.DONE:
                    return value
                if kind == Kind.NEWS and hear is not None:
                    hear(value)
                if kind == Kind.MEMORY:
                    raise TooLargeError
                if kind == Kind.ERROR:
                    raise CrashedError(value)
            raise TimeOverError
        except (EOFError, ConnectionError):
            raise CrashedError(self._how_it_ended()) from None
        finally:
            self.end()
            self._process.join()
            self._pipe.close()

    def stop(self) -> None:
        """Ask for the best answer so far."""
        try:
            self._pipe.send(STOP)
        except OSError:
            return  # it has ended: its answer, or that there is none, is on its way

    def end(self) -> None:
        """Kill it; whoever waits for its answer hears that there is none."""
        self._process.kill()

    def _how_it_ended(self) -> str:
        self._process.join()
        code = self._process.exitcode
        return f"ended by signal {-code}" if code is not None and code < 0 else f"ended with exit code {code}"


class Children:
    """Starts children from a fork server that has OR-Tools loaded: about 10 ms each.

    The server is a process of its own with one thread, so that nothing of the service's threads and locks is copied.

    Parameters
    ----------
    preload : sequence of str
        More modules for it to load: those that the program's main module imports, which every child would load anew.
    """

    def __init__(self, preload: Sequence[str] = ()) -> None:
        self._context = multiprocessing.get_context("forkserver")
        self._context.set_forkserver_preload([*_PRELOADED, *preload])

    def warm(self) -> None:
        """Start the server and see a first child answer."""
        self.run(ready, allowance=Allowance(memory=2**30, processor_seconds=60), seconds=60)

    def start(self, task: Task, *arguments: Any, allowance: Allowance) -> Child:
        """Start one child."""
        return Child(self._context, allowance, task, arguments)

    def run(self, task: Task, *arguments: Any, allowance: Allowance, seconds: float) -> Any:
        """Start one child and wait for its answer; see `Child.answer`."""
        return self.start(task, *arguments, allowance=allowance).answer(seconds)


def ready(_line: object) -> bool:
    """Answer: the task of the first child."""
    return True
