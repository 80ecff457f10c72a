"""Places for short work, given out in turn by client, so that one who asks for much doesn't keep the others waiting."""

from __future__ import annotations

import asyncio
from collections import Counter, deque
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from contextvars import ContextVar
from typing import Final

from api.service.runner.fair import FullError

__all__ = ["WHO", "Turns"]

WHO: Final[ContextVar[str]] = ContextVar("WHO", default="")
"""Whose request is being answered, for fairness only; the gate sets it."""


class Turns:
    """Gives out places; for one event loop.

    Parameters
    ----------
    places : int
        How many there are. One client never takes the last of several, so that the next one needn't wait.
    waiting_each : int
        How many requests of one client may wait.
    """

    def __init__(self, places: int, waiting_each: int) -> None:
        self._places = places
        self._each = max(1, places - 1)
        self._waiting_each = waiting_each
        self._held: Counter[str] = Counter()
        self._waiting: dict[str, deque[asyncio.Future[None]]] = {}

    @asynccontextmanager
    async def turn(self, client: str, seconds: float) -> AsyncIterator[None]:
        """Wait for a place and hold it.

        Raises
        ------
        FullError
            Too many of this client's wait.
        TimeoutError
            No place came free in time.
        """
        await self._take(client, seconds)
        try:
            yield
        finally:
            self._give_back(client)

    async def _take(self, client: str, seconds: float) -> None:
        if client not in self._waiting and self._may(client):
            self._held[client] += 1
            return
        waiting = self._waiting.setdefault(client, deque())
        if len(waiting) >= self._waiting_each:
            raise FullError(own=True)
        place: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        waiting.append(place)
        try:
            async with asyncio.timeout(seconds):
                await place
        except BaseException:
            if place.done() and not place.cancelled():
                self._give_back(client)  # it came at the last moment: somebody else needs it
            else:
                self._leave(client, place)
            raise

    def _may(self, client: str) -> bool:
        return self._held.total() < self._places and self._held[client] < self._each

    def _leave(self, client: str, place: asyncio.Future[None]) -> None:
        waiting = self._waiting[client]
        waiting.remove(place)
        if not waiting:
            del self._waiting[client]

    def _give_back(self, client: str) -> None:
        self._held[client] -= 1
        if not self._held[client]:
            del self._held[client]
        self._hand_out()

    def _hand_out(self) -> None:
        """Give free places to those who wait: to the client who was served longest ago."""
        while (client := next((each for each in self._waiting if self._may(each)), None)) is not None:
            waiting = self._waiting.pop(client)
            place = waiting.popleft()
            if waiting:
                self._waiting[client] = waiting  # behind everybody else
            if not place.done():
                self._held[client] += 1
                place.set_result(None)
