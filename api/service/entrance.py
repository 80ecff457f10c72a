"""Who may come in: the shop's password, the cookie it is exchanged for, the code that a terminal shows."""

from __future__ import annotations

import base64
import hashlib
import hmac
import threading
import time
from collections import deque
from typing import Final

__all__ = ["COOKIE", "COOKIE_SECONDS", "Entrance", "Throttle"]

COOKIE: Final = "tallystick_shop"
COOKIE_SECONDS: Final = 90 * 86_400
CODE_SECONDS: Final = 12 * 3_600


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

    def is_key(self, given: str) -> bool:
        """Whether a program's key is the shop's password; a key that was right is known again without the long way."""
        quick = hmac.digest(self._key, given.encode(), hashlib.sha256)
        if self._known is not None and hmac.compare_digest(quick, self._known):
            return True
        if not self.is_password(given):
            return False
        self._known = quick
        return True

    def cookie(self) -> str:
        """Make a browser's cookie."""
        return self._signed("cookie", COOKIE_SECONDS)

    def code(self) -> str:
        """Make a code that lets browsers in for a day's work, for a QR code in the terminal."""
        return self._signed("code", CODE_SECONDS)

    def is_cookie(self, given: str) -> bool:
        """Whether we made this cookie, and it still holds."""
        return self._holds("cookie", given)

    def is_code(self, given: str) -> bool:
        """Whether we made this code, and it still holds."""
        return self._holds("code", given)

    def _signed(self, purpose: str, seconds: int) -> str:
        until = str(int(time.time()) + seconds)
        return f"{until}.{self._signature(purpose, until)}"

    def _holds(self, purpose: str, given: str) -> bool:
        until, _, signature = given.partition(".")
        if not hmac.compare_digest(self._signature(purpose, until).encode(), signature.encode()):
            return False
        return int(until) > time.time()

    def _signature(self, purpose: str, until: str) -> str:
        digest = hmac.digest(self._key, f"{purpose}.{until}".encode(), hashlib.sha256)
        return base64.urlsafe_b64encode(digest).decode().rstrip("=")


class Throttle:
    """Counts wrong passwords: so many in so many seconds, then it is closed for a while.

    Parameters
    ----------
    most : int
        Wrong ones within the window.
    seconds : float
        Length of the window.
    """

    def __init__(self, most: int = 10, seconds: float = 60.0) -> None:
        self._most = most
        self._seconds = seconds
        self._wrong: dict[str, deque[float]] = {}
        self._lock = threading.Lock()

    def wait(self, address: str) -> int:
        """Return the seconds this address has to wait, 0 for none."""
        with self._lock:
            self._forget()
            wrong = self._wrong.get(address, deque())
            return 0 if len(wrong) < self._most else max(1, int(wrong[0] + self._seconds - time.monotonic()) + 1)

    def wrong(self, address: str) -> None:
        """Count one."""
        with self._lock:
            self._wrong.setdefault(address, deque(maxlen=self._most)).append(time.monotonic())

    def _forget(self) -> None:
        old = time.monotonic() - self._seconds
        for address in list(self._wrong):
            wrong = self._wrong[address]
            while wrong and wrong[0] < old:
                wrong.popleft()
            if not wrong:
                del self._wrong[address]


def _stretched(password: str, secret: bytes) -> bytes:
    return hashlib.scrypt(password.encode(), salt=secret, n=2**14, r=8, p=1, maxmem=64 * 1024 * 1024)
