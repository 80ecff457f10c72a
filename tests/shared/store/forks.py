"""Processes of a test's own that share nothing with it but the disk."""

from __future__ import annotations

import os
import warnings
from collections.abc import Callable, Iterable
from multiprocessing.context import ForkProcess


def forked(act: Callable[[], object]) -> int:
    """Do something in a process of its own; return its number. Nothing is closed at its end, as after a power cut."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # no thread of ours holds what the child needs
        child = os.fork()
    if child == 0:
        try:
            act()
        finally:
            os._exit(0)
    return child


def run(processes: Iterable[ForkProcess]) -> None:
    """Start processes side by side and wait until all have ended well."""
    processes = list(processes)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        for process in processes:
            process.start()
    for process in processes:
        process.join()
    assert [process.exitcode for process in processes] == [0] * len(processes)
