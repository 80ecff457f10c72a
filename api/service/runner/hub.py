"""From the solving threads to whoever waits in the event loop: something about a job has changed."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["Hub"]


class Hub:
    """Wakes listeners; what has changed they read themselves, so nothing is lost when news come quickly."""

    def __init__(self) -> None:
        self._loop: asyncio.AbstractEventLoop | None = None
        self._listeners: dict[str, set[asyncio.Event]] = {}

    def open(self) -> None:
        """Take the running event loop as the one that listens."""
        self._loop = asyncio.get_running_loop()

    def tell(self, job_id: str) -> None:
        """Wake who listens to a job; may be called from any thread."""
        loop = self._loop
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(self._wake, job_id)

    @contextmanager
    def listen(self, job_id: str) -> Iterator[asyncio.Event]:
        """Listen to a job: the event is set whenever something has changed."""
        event = asyncio.Event()
        self._listeners.setdefault(job_id, set()).add(event)
        try:
            yield event
        finally:
            self._listeners[job_id].discard(event)
            if not self._listeners[job_id]:
                del self._listeners[job_id]

    def _wake(self, job_id: str) -> None:
        for event in self._listeners.get(job_id, ()):
            event.set()
