"""Who may come in: the shop's password, the cookie it is exchanged for, the code that a terminal shows."""

from __future__ import annotations

import asyncio
import hashlib
import hmac
import ipaddress
import secrets
import threading
import time
from collections import deque
from collections.abc import Callable
from typing import Final

from itsdangerous import BadSignature, TimestampSigner
from starlette.concurrency import run_in_threadpool

__all__ = ["COOKIE", "COOKIE_SECONDS", "DEVICE", "DEVICE_SECONDS", "Entrance", "Porter", "Tries", "WaitError"]

COOKIE: Final = "tallystick_shop"
COOKIE_SECONDS: Final = 90 * 86_400
DEVICE: Final = "tallystick_device"
DEVICE_SECONDS: Final = 400 * 86_400
CODE_SECONDS: Final = 12 * 3_600

_JUDGED_AT_ONCE: Final = 2
_WAITING_TO_BE_JUDGED: Final = 32
_CROWD_SECONDS: Final = 5
_MOST_REMEMBERED: Final = 10_000
_IPV6_NETWORK_BITS: Final = 64


class Entrance:
    """Checks passwords and signs what stands for them.

    Parameters
    ----------
    password : str or None
        The shop's password; without one everybody may come in.
    secret : bytes
        Signs. Cookies hold as long as neither changes.
    """

    def __init__(self, password: str | None, secret: bytes) -> None:
        self._hash = None if password is None else _stretched(password, secret)
        self._secret = secret
        self._known: bytes | None = None
        self._key = hmac.digest(secret, b"" if self._hash is None else self._hash, hashlib.sha256)

    @property
    def open(self) -> bool:
        """Whether no password is needed."""
        return self._hash is None

    def is_password(self, given: str) -> bool:
        """Whether this is the shop's password."""
        if self._hash is None:
            return True
        return hmac.compare_digest(_stretched(given, self._secret), self._hash)

    def knows_key(self, given: str) -> bool:
        """Whether this is the key that was remembered; takes microseconds."""
        quick = hmac.digest(self._key, given.encode(), hashlib.sha256)
        return self._known is not None and hmac.compare_digest(quick, self._known)

    def remember_key(self, right: str) -> None:
        """Know a program's right key again without the long way."""
        self._known = hmac.digest(self._key, right.encode(), hashlib.sha256)

    def cookie(self) -> str:
        """Make a browser's cookie."""
        return self._signer("cookie").sign(b"").decode()

    def code(self) -> str:
        """Make a code that lets browsers in for a day's work, for a QR code in the terminal."""
        return self._signer("code").sign(b"").decode()

    def device(self) -> str:
        """Make a name for a browser that had the right password: it outlives the password and lets nobody in."""
        return self._signer("device").sign(secrets.token_urlsafe(12)).decode()

    def is_cookie(self, given: str) -> bool:
        """Whether we made this cookie, and it still holds."""
        return self._read("cookie", given, COOKIE_SECONDS) is not None

    def is_code(self, given: str) -> bool:
        """Whether we made this code, and it still holds."""
        return self._read("code", given, CODE_SECONDS) is not None

    def device_of(self, given: str) -> str:
        """Return the name of a device that we gave one, empty for another."""
        name = self._read("device", given, DEVICE_SECONDS)
        return "" if name is None else f"device {name}"

    def _read(self, purpose: str, given: str, seconds: int) -> str | None:
        try:
            return self._signer(purpose).unsign(given, max_age=seconds).decode()
        except BadSignature:
            return None

    def _signer(self, purpose: str) -> TimestampSigner:
        key = self._secret if purpose == "device" else self._key
        return TimestampSigner(key, salt=f"tallystick {purpose}", key_derivation="hmac", digest_method=hashlib.sha256)


class WaitError(Exception):
    """Too many passwords were tried; `seconds` says when the next one may be."""

    def __init__(self, seconds: int) -> None:
        self.seconds = seconds
        super().__init__(f"wait {seconds} s")


class Tries:
    """Counts the passwords that each client tries: so many in so many seconds, then it has to wait.

    Parameters
    ----------
    most : int
        Tries within the window.
    seconds : float
        Length of the window.
    clock : callable
        Seconds of a clock that is never set back.
    """

    def __init__(self, most: int = 10, seconds: float = 60.0, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._most = most
        self._seconds = seconds
        self._made: dict[str, deque[float]] = {}
        self._lock = threading.Lock()

    def begin(self, who: str) -> None:
        """Count a try before it is judged, so that many at once are no way around; raises WaitError."""
        now = self._clock()
        name = _network(who)
        with self._lock:
            self._forget(now)
            made = self._made.pop(name, deque())
            self._made[name] = made  # behind those who tried before: the oldest stand first
            while made and made[0] <= now - self._seconds:
                made.popleft()
            if len(made) >= self._most:
                raise WaitError(max(1, int(made[0] + self._seconds - now) + 1))
            made.append(now)

    def right(self, who: str) -> None:
        """Forget the tries of a client who had the right one in the end."""
        with self._lock:
            self._made.pop(_network(who), None)

    def _forget(self, now: float) -> None:
        """Drop who hasn't tried within the window, and where a multitude tries at once, who tried longest ago."""
        while self._made:
            oldest = next(iter(self._made))
            if len(self._made) <= _MOST_REMEMBERED and self._made[oldest][-1] > now - self._seconds:
                break
            del self._made[oldest]


class Porter:
    """Judges passwords, for one event loop: each try is counted first, and few are judged at once.

    Parameters
    ----------
    entrance : Entrance
        Knows the password.
    tries : Tries
        Counts.
    """

    def __init__(self, entrance: Entrance, tries: Tries | None = None) -> None:
        self._entrance = entrance
        self._tries = tries or Tries()
        self._places = asyncio.Semaphore(_JUDGED_AT_ONCE)
        self._waiting = 0

    async def is_password(self, who: str, given: str) -> bool:
        """Whether this is the shop's password.

        Parameters
        ----------
        who : str
            The client's address, or the name of a device that was let in before: its tries are its own, whatever
            its neighbours behind the same address try.
        given : str
            The password.

        Raises
        ------
        WaitError
            Too many were tried.
        """
        self._tries.begin(who)
        if self._waiting >= _WAITING_TO_BE_JUDGED:
            raise WaitError(_CROWD_SECONDS)
        self._waiting += 1
        try:
            async with self._places:
                right = await run_in_threadpool(self._entrance.is_password, given)
        finally:
            self._waiting -= 1
        if right:
            self._tries.right(who)
        return right

    async def is_key(self, who: str, given: str) -> bool:
        """Whether a program's key is the shop's password; one that was right before is known at once, uncounted."""
        if self._entrance.knows_key(given):
            return True
        right = await self.is_password(who, given)
        if right:
            self._entrance.remember_key(given)
        return right


def _network(who: str) -> str:
    """Return whose tries are counted together: an IPv6 client has a whole network of addresses to itself."""
    try:
        address = ipaddress.ip_address(who)
    except ValueError:
        return who
    if address.version == 4:  # noqa: PLR2004  the Internet Protocol's own number
        return who
    return str(ipaddress.ip_network((int(address), _IPV6_NETWORK_BITS), strict=False))


def _stretched(password: str, secret: bytes) -> bytes:
    return hashlib.scrypt(password.encode(), salt=secret, n=2**14, r=8, p=1, maxmem=64 * 1024 * 1024)
