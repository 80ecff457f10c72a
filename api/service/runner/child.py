"""The child's side: limits first, then one task, its messages through a pipe, an ear for the parent all the while.

A child whose parent dies ends at once: its pipe closes. So a kill -9 of the service leaves nothing behind that works.
"""

from __future__ import annotations

import os
import resource
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from math import ceil
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Final

__all__ = ["Allowance", "Kind", "Line", "Task", "run"]

STOP: Final = "stop"
_ORPHAN: Final = 3


class Kind(StrEnum):
    """What a message from a child is."""

    NEWS = "news"
    DONE = "done"
    MEMORY = "memory"
    ERROR = "error"


@dataclass(frozen=True, kw_only=True, slots=True)
class Allowance:
    """What a child may take.

    Attributes
    ----------
    memory : int
        Bytes of address space beyond what it starts with.
    processor_seconds : float
        Processor time.
    """

    memory: int
    processor_seconds: float


class Line:
    """A child's line to its parent.

    Parameters
    ----------
    connection : Connection
        The child's end of the pipe.
    """

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._lock = threading.Lock()
        self.stopped = threading.Event()

    def tell(self, value: Any) -> None:
        """Pass on news."""
        self.send(Kind.NEWS, value)

    def send(self, kind: Kind, value: Any) -> None:
        """Send one message; without a parent there is nothing left to do."""
        try:
            with self._lock:
                self._connection.send((kind.value, value))
        except OSError:
            os._exit(_ORPHAN)

    def listen(self) -> None:
        """Hear the parent until it hangs up."""
        try:
            while True:
                if self._connection.recv() == STOP:
                    self.stopped.set()
        except (EOFError, OSError):
            os._exit(_ORPHAN)


Task = Callable[..., Any]
"""A function of (line, *arguments): importable by name, its arguments and its answer plain values."""


def run(connection: Connection, allowance: Allowance, task: Task, arguments: tuple[Any, ...]) -> None:
    """Run one task in this process and send its answer: what a child is started with."""
    _limit(allowance)
    line = Line(connection)
    threading.Thread(target=line.listen, daemon=True).start()
    try:
        line.send(Kind.DONE, task(line, *arguments))
    except MemoryError:
        line.send(Kind.MEMORY, "")
    except Exception as error:  # noqa: BLE001  whatever it is, the parent must hear of it
        line.send(Kind.ERROR, _described(error))


def _limit(allowance: Allowance) -> None:
    seconds = ceil(allowance.processor_seconds)
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if sys.platform == "linux":  # elsewhere address space can't be limited or measured this way
        whole = _address_space() + allowance.memory
        resource.setrlimit(resource.RLIMIT_AS, (whole, whole))


def _address_space() -> int:
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    return pages * resource.getpagesize()


def _described(error: Exception) -> str:
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    place = "" if trace is None else f" ({Path(trace.tb_frame.f_code.co_filename).name}:{trace.tb_lineno})"
    return f"{type(error).__name__}: {error}{place}"
