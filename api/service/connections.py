"""Connections of clients that are slow or many: a deadline for the head of each request, a cap on connections.

The server itself waits for a request's head for ever, and takes every connection there is room for. A deadline for the
body is the gate's.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Collection
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

from api.service.settings import Limits

__all__ = ["connections_of"]


class _Held:
    """How many connections each client holds.

    Parameters
    ----------
    limits : Limits
        The most there may be.
    trusted_proxies : collection of str
        Addresses that bring the connections of many clients: of their own they may have as many as there are.
    """

    def __init__(self, limits: Limits, trusted_proxies: Collection[str]) -> None:
        self.limits = limits
        self._trusted = trusted_proxies
        self._count: Counter[str] = Counter()

    def take(self, who: str) -> bool:
        """Count one more; whether there was room."""
        full = self._count.total() >= self.limits.connections
        if full or (who not in self._trusted and self._count[who] >= self.limits.connections_each):
            return False
        self._count[who] += 1
        return True

    def give_back(self, who: str) -> None:
        """Count one less."""
        self._count[who] -= 1
        if not self._count[who]:
            del self._count[who]


class _Connection(H11Protocol):
    """One client's connection."""

    held: _Held

    def __init__(self, *arguments: Any, **more: Any) -> None:
        super().__init__(*arguments, **more)
        self._who: str | None = None
        self._deadline: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a connection, or hang up at once where too many are held."""
        super().connection_made(transport)
        who = self.client[0] if self.client else ""
        if not self.held.take(who):
            transport.abort()
            return
        self._who = who
        self._wait_for_head()

    def data_received(self, data: bytes) -> None:
        """Take what came; a request's head must be whole in time, however slowly it drips."""
        if self.cycle is None or self.cycle.response_complete:
            self._wait_for_head()
        known = self.cycle
        super().data_received(data)
        if self.cycle is not known:
            self._forget_deadline()

    def connection_lost(self, exc: Exception | None) -> None:
        """Give the place back."""
        self._forget_deadline()
        if self._who is not None:
            self.held.give_back(self._who)
            self._who = None
        super().connection_lost(exc)

    def _wait_for_head(self) -> None:
        if self._deadline is None:
            self._deadline = self.loop.call_later(self.held.limits.header_seconds, self.transport.abort)

    def _forget_deadline(self) -> None:
        if self._deadline is not None:
            self._deadline.cancel()
            self._deadline = None


def connections_of(limits: Limits, trusted_proxies: Collection[str] = ()) -> type[H11Protocol]:
    """Return the server's protocol under those limits, which hold for all its connections together."""
    return type("Connection", (_Connection,), {"held": _Held(limits, trusted_proxies)})
