"""Helper processes: fresh interpreters that solve tasks and answer for rooms.

A helper runs this module, is fed pickled messages through a pipe, and is kept for the next solve; a fresh interpreter
neither runs the caller's main module again nor inherits its threads and locks.
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
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from cutting.buying.market import Room
from cutting.fit.clock import Clock
from cutting.search.choice import Report
from cutting.search.rooms.room import RoomCutter
from cutting.search.rooms.rooms import Ask
from cutting.search.task import Answer, Task, solve_task

__all__ = ["Errand", "Forget", "Helper", "pool", "serve"]

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


@dataclass(frozen=True, kw_only=True, slots=True)
class Errand:
    """A question to a room that a helper works on.

    Attributes
    ----------
    ask : Ask
        The question.
    room : Room or None
        The room, where the helper hasn't heard of it yet.
    seed : int
        For every random choice.
    limit : float
        Seconds.
    """

    ask: Ask
    room: Room | None
    seed: int
    limit: float


@dataclass(frozen=True, slots=True)
class Forget:
    """All rooms are done with."""


class Helper:
    """One helper process."""

    def __init__(self) -> None:
        root = str(Path(__file__).resolve().parent.parent)
        paths = [root, *filter(None, [os.environ.get("PYTHONPATH")])]
        self._process = subprocess.Popen(
            [sys.executable, "-c", "from cutting.search.processes.helpers import serve; serve()"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
            start_new_session=True,  # Ctrl-C is the caller's to hear, who then closes its helpers
        )

    def solve(self, task: Task, report: Report) -> Answer:
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

    def answer(self, errand: Errand) -> Any:
        """Have one question answered; raises EOFError or OSError where the helper died."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        _write(self._process.stdin, errand)
        return _read(self._process.stdout)[1]

    def forget(self) -> None:
        """Have it forget its rooms."""
        assert self._process.stdin is not None
        with contextlib.suppress(OSError):  # it ended by itself, and its rooms with it
            _write(self._process.stdin, Forget())

    def cancel(self) -> None:
        """Ask for the best answer so far, now."""
        assert self._process.stdin is not None
        with contextlib.suppress(OSError):  # it ended by itself: then there is nothing left to cancel
            _write(self._process.stdin, None)

    @property
    def alive(self) -> bool:
        """Whether it still runs."""
        return self._process.poll() is None

    def close(self) -> None:
        """End the process."""
        self._process.kill()
        self._process.wait()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):  # what couldn't be written before it died
                    stream.close()


def serve() -> None:
    """Answer messages from standard input until it closes: what a helper process runs.

    An empty message cancels what is being worked on. What a library prints goes to standard error, so that it cannot
    break the messages.
    """
    outgoing = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    waiting: queue.SimpleQueue[Task | Errand | Forget | None] = queue.SimpleQueue()
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
    desk = _Desk(outgoing, cancel)
    with contextlib.suppress(BrokenPipeError):  # the caller is gone: nobody waits for an answer
        while (message := waiting.get()) is not None:
            desk.take(message)
    os._exit(0)


class _Desk:
    """What a helper works on."""

    def __init__(self, outgoing: IO[bytes], cancel: threading.Event) -> None:
        self._outgoing = outgoing
        self._cancel = cancel
        self._cutters: dict[int, RoomCutter] = {}

    def take(self, message: Task | Errand | Forget) -> None:
        """Do what a message asks for."""
        if isinstance(message, Forget):
            self._cutters.clear()
        elif isinstance(message, Task):
            clock = Clock(message.limit, self._cancel.is_set)
            self._send("done", solve_task(message, lambda *news: self._send("news", news), clock))
        else:
            self._send("done", self._answer(message))

    def _answer(self, errand: Errand) -> Any:
        number = errand.ask.room
        if errand.room is not None:
            clock = Clock(errand.limit, self._cancel.is_set)
            self._cutters[number] = RoomCutter(number, errand.room, seed=errand.seed, clock=clock)
        cutter = self._cutters[number]
        cutter.clock.restart(errand.limit)
        return errand.ask.of(cutter)

    def _send(self, kind: str, content: Any) -> None:
        _write(self._outgoing, (kind, content))


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
        if not helper.alive:
            helper.close()
            return
        with self._lock:
            self._idle.append(helper)

    def close(self) -> None:
        with self._lock:
            while self._idle:
                self._idle.pop().close()


pool = _Pool()
