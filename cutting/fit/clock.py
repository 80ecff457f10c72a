"""The one place where the engine looks at a clock: to end a search in time, never to steer it."""

from __future__ import annotations

import time
from collections.abc import Callable

__all__ = ["Clock"]


class Clock:
    """Counts down from a time limit and hears a cancel.

    Parameters
    ----------
    limit : float
        Seconds, at least 0.
    cancelled : callable, optional
        Says whether to stop early.
    """

    def __init__(self, limit: float, cancelled: Callable[[], bool] | None = None) -> None:
        self._begin = time.monotonic()
        self._limit = limit
        self._cancelled = cancelled

    def restart(self, limit: float) -> None:
        """Count down anew."""
        self._begin = time.monotonic()
        self._limit = limit

    @property
    def elapsed(self) -> float:
        """Seconds since the clock was made."""
        return time.monotonic() - self._begin

    def left(self) -> float:
        """Seconds left; 0 once it is over or cancelled."""
        if self._cancelled is not None and self._cancelled():
            self._limit = min(self._limit, self.elapsed)
        return max(0.0, self._limit - self.elapsed)

    def over(self) -> bool:
        """Whether it is time to stop."""
        return self.left() <= 0.0

    def overdue(self) -> float:
        """Seconds since it was time to stop; 0 before."""
        return max(0.0, self.elapsed - self._limit) if self.over() else 0.0
