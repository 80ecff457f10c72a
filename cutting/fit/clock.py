"""The one place where the engine looks at a clock: to end a search in time, never to steer it."""

from __future__ import annotations

import time
from collections.abc import Callable

__all__ = ["Clock"]

GRACE = 0.5  # seconds that whoever works elsewhere gets to hand over its best answer once time is up,
GRACE_SHARE = 0.1  # but no larger share of the whole time


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
        self.restart(limit)
        self._cancelled = cancelled

    def restart(self, limit: float) -> None:
        """Count down anew."""
        self._begin = time.monotonic()
        self._limit = limit
        self._grace = min(GRACE, limit * GRACE_SHARE)

    def keep_back(self, seconds: float) -> None:
        """End so much earlier."""
        self._limit = max(0.0, self._limit - seconds)

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

    def expired(self) -> bool:
        """Whether it was time to stop so long ago that whoever hasn't heard is not to be waited for any longer."""
        return self.over() and self.elapsed - self._limit > self._grace
