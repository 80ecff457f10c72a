"""What the service is started with."""

from __future__ import annotations

import ipaddress
import os
import secrets
import socket
from dataclasses import dataclass, field
from typing import Final

__all__ = ["LONGEST_SOLVE", "Limits", "Settings", "is_loopback", "own_names"]

_LOOPBACK_NAMES: Final = ("localhost", "127.0.0.1", "::1")
_MIB: Final = 1024 * 1024

LONGEST_SOLVE: Final = 300.0
"""Longest time limit that may be asked for, in seconds."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Limits:
    """How much one request, one solve and all of them together may take.

    Attributes
    ----------
    body, document : int
        Bytes of a request's body, and of a job file in it.
    header_seconds, body_seconds : float
        Time that a client may take to send the head of a request, and its body.
    connections, connections_each : int
        Connections that are held at once, altogether and of one client.
    usual_seconds : float
        Time limit of a solve where none is asked for.
    waiting, waiting_each : int
        Solves that may wait at once, altogether and of one client.
    places : int
        Solves that run at once.
    side_places, side_waiting_each : int
        Readings and writings that run at once beside them, and how many of one client may wait.
    side_seconds : float
        Time that reading an upload or writing a paper may take.
    side_memory, solve_memory : int
        Bytes a child process may take for that, and for a solve.
    stop_grace : float
        Seconds a solve gets to hand over its best plan after a stop or at the end of its time.
    close_grace : float
        Seconds a solve gets for that when the service is told to end.
    attempts : int
        How often a solve may be begun that never ended: by a kill or a power cut, not by an orderly end.
    keep_days : float
        Days after which a draft nobody opened is forgotten.
    """

    body: int = 4 * _MIB
    document: int = 2 * _MIB
    header_seconds: float = 10.0
    body_seconds: float = 60.0
    connections: int = 512
    connections_each: int = 128
    usual_seconds: float = 10.0
    waiting: int = 240
    waiting_each: int = 60
    places: int = field(default_factory=lambda: max(1, (os.cpu_count() or 1) - 1))
    side_places: int = 3
    side_waiting_each: int = 24
    side_seconds: float = 12.0
    side_memory: int = 768 * _MIB
    solve_memory: int = 4096 * _MIB
    stop_grace: float = 5.0
    close_grace: float = 2.0
    attempts: int = 3
    keep_days: float = 7.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Settings:
    """Everything the service is started with.

    Attributes
    ----------
    database : str
        SQLAlchemy URL of the store.
    password : str or None
        The shop's password; None where no one needs one.
    names : tuple of str
        Host names, without port, by which the service may be addressed; addresses in numbers are always right.
    secret : bytes
        Signs the cookies.
    limits : Limits
        How much anything may take.
    """

    database: str
    password: str | None = None
    names: tuple[str, ...] = _LOOPBACK_NAMES
    secret: bytes = field(default_factory=lambda: secrets.token_bytes(32), repr=False)
    limits: Limits = field(default_factory=Limits)


def is_loopback(host: str) -> bool:
    """Whether listening at `host` reaches this computer only."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def own_names() -> tuple[str, ...]:
    """Return the names this computer goes by, its plain ones for the local network included."""
    name = socket.gethostname().lower()
    short = name.partition(".")[0]
    return (*_LOOPBACK_NAMES, *dict.fromkeys((name, short, f"{short}.local")))
