"""A clock for stores that tests open."""

from __future__ import annotations

import time


def milliseconds() -> int:
    return time.time_ns() // 1_000_000
