"""One line on stderr while the engine works; nothing where stderr is no terminal."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable

from cutting.question.job import Job
from cutting.solve import Progress
from shared.wording.sentences import worth_text

__all__ = ["progress_line"]


class _Line:
    """Rewrites one line of a terminal."""

    def __init__(self, job: Job) -> None:
        self._job = job

    def __call__(self, progress: Progress) -> bool:
        best, bound = progress.incumbent, progress.lower_bound
        known = f"at least {worth_text(self._job, bound)}"
        if best is not None:
            gap = worth_text(self._job, max(best - bound, bound * 0))
            known = f"best so far {worth_text(self._job, best)}, {known}, {gap} between them"
        width = shutil.get_terminal_size().columns - 1
        sys.stderr.write(f"\r\x1b[K{f'{progress.seconds:.1f} s  {known}'[:width]}")
        sys.stderr.flush()
        return False

    def clear(self) -> None:
        """Leave nothing behind."""
        sys.stderr.write("\r\x1b[K")
        sys.stderr.flush()


def progress_line(job: Job) -> tuple[Callable[[Progress], bool] | None, Callable[[], None]]:
    """Return what hears the engine's progress, and what wipes the line; nothing happens where stderr is no terminal."""
    if not sys.stderr.isatty():
        return None, lambda: None
    line = _Line(job)
    return line, line.clear
