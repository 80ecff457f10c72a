"""The clock that the service gives to the store."""

from __future__ import annotations

import time

__all__ = ["milliseconds"]


def milliseconds() -> int:
    """Return what time it is, in milliseconds since 1970."""
    return time.time_ns() // 1_000_000
