"""A queue that serves its clients in turn, so that one who brings a hundred doesn't keep the others waiting."""

from __future__ import annotations

import threading
from collections import deque

__all__ = ["FairQueue", "FullError"]


class FullError(Exception):
    """No more can wait; `own` says whether it is this client's share that is used up."""

    def __init__(self, *, own: bool) -> None:
        self.own = own
        super().__init__("the client's share is used up" if own else "the queue is full")


class FairQueue:
    """Names of waiting jobs, by client; thread-safe.

    Parameters
    ----------
    most : int
        How many may wait altogether.
    most_each : int
        How many of one client.
    """

    def __init__(self, most: int, most_each: int) -> None:
        self._most = most
        self._most_each = most_each
        self._waiting: dict[str, deque[str]] = {}
        self._reserved: dict[str, int] = {}
        self._changed = threading.Condition()
        self._closed = False

    def __len__(self) -> int:
        with self._changed:
            return self._count()

    def reserve(self, client: str) -> None:
        """Make sure of a place before the job is kept; raises FullError where there is none."""
        with self._changed:
            own = len(self._waiting.get(client, ())) + self._reserved.get(client, 0)
            if self._count() + sum(self._reserved.values()) >= self._most:
                raise FullError(own=False)
            if own >= self._most_each:
                raise FullError(own=True)
            self._reserved[client] = self._reserved.get(client, 0) + 1

    def release(self, client: str) -> None:
        """Give a reserved place back."""
        with self._changed:
            self._reserved[client] -= 1
            if not self._reserved[client]:
                del self._reserved[client]

    def put(self, client: str, job_id: str) -> None:
        """Let a job wait behind those of its client."""
        with self._changed:
            self._waiting.setdefault(client, deque()).append(job_id)
            self._changed.notify()

    def take(self) -> str | None:
        """Wait for the next job: of the client who was served longest ago; None once the queue is closed."""
        with self._changed:
            while not self._waiting and not self._closed:
                self._changed.wait()
            if self._closed:
                return None
            client, waiting = next(iter(self._waiting.items()))
            job_id = waiting.popleft()
            del self._waiting[client]
            if waiting:
                self._waiting[client] = waiting  # behind everybody else
            return job_id

    def remove(self, job_id: str) -> bool:
        """Take a job out; whether it was waiting."""
        with self._changed:
            for client, waiting in self._waiting.items():
                if job_id in waiting:
                    waiting.remove(job_id)
                    if not waiting:
                        del self._waiting[client]
                    return True
            return False

    def ahead(self, job_id: str) -> int | None:
        """Count the jobs that will be taken before this one; None where it isn't waiting."""
        with self._changed:
            owner = next((client for client, waiting in self._waiting.items() if job_id in waiting), None)
            if owner is None:
                return None
            turn = self._waiting[owner].index(job_id)
            order = list(self._waiting)
            before = order.index(owner)
            return turn + sum(
                min(len(self._waiting[client]), turn + (1 if place < before else 0))
                for place, client in enumerate(order)
                if client != owner
            )

    def close(self) -> None:
        """Let everybody who waits for a job go."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def _count(self) -> int:
        return sum(len(waiting) for waiting in self._waiting.values())
