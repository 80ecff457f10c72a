"""Where the store lives, and who has it open: both doors find the same database in the same place.

Whoever opens an SQLite store through a door holds a shared lock on a small file beside it, for as long as it is
open; a restore needs that lock for itself. The system takes a lock back when its process ends, however it ends,
so nobody is ever locked out by a crash.
"""

from __future__ import annotations

import fcntl
import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

__all__ = [
    "FILE_NAME",
    "InUseError",
    "alone_with",
    "data_directory",
    "file_of",
    "opened_by_us",
    "shown",
    "sqlite_url",
    "the_service_of",
    "url_of",
]

_SECRET: Final = re.compile(r"(?<=:)[^:@/]*@|(?<=//)[^:@/]*@")

FILE_NAME: Final = "store.sqlite3"
"""Name of the database in the data folder."""


class InUseError(Exception):
    """Somebody else has the store open, or is just restoring it.

    Attributes
    ----------
    path : Path
        The database.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        super().__init__(f"{path} is in use")


def data_directory() -> Path:
    """Return where this user's store lives, by the XDG base directory specification."""
    base = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(base) / "tallystick"


def sqlite_url(path: Path) -> str:
    """Return the SQLAlchemy URL of an SQLite file."""
    return f"sqlite+pysqlite:///{path.resolve()}"


def url_of(folder: Path | None = None, store: str = "") -> str:
    """Return the SQLAlchemy URL of the store.

    Parameters
    ----------
    folder : Path or None
        The data folder, None for this user's own.
    store : str
        URL of another database than the one in the folder; empty for that one.
    """
    return store or sqlite_url((folder or data_directory()) / FILE_NAME)


def file_of(url: str) -> Path | None:
    """Return the file of an SQLite store; None for another kind of database, and for one that is in no file.

    Raises
    ------
    ValueError
        This is no SQLAlchemy URL.
    """
    try:
        parsed = make_url(url)
    except (ArgumentError, ValueError):  # no URL, or one whose port is no number
        raise ValueError(f"{shown(url)} is no URL of a database; such as sqlite:////srv/shop.sqlite3") from None
    if parsed.get_backend_name() != "sqlite" or parsed.database in {None, "", ":memory:"}:
        return None
    return Path(str(parsed.database))


def shown(url: str) -> str:
    """Write the URL of a store for people: without the password in it."""
    try:
        return make_url(url).render_as_string(hide_password=True)
    except (ArgumentError, ValueError):
        return _SECRET.sub("***@", url)


@contextmanager
def opened_by_us(url: str) -> Iterator[None]:
    """Hold the lock that everyone who has the store open holds.

    Raises
    ------
    InUseError
        It is just being restored.
    OSError
        The folder can't be written to.
    """
    path = file_of(url)
    if path is None:
        yield
    else:
        with _locked(path, fcntl.LOCK_SH):
            yield


@contextmanager
def alone_with(path: Path) -> Iterator[None]:
    """Hold the lock that nobody else may hold meanwhile.

    Raises
    ------
    InUseError
        The service runs, or some command works on the store.
    OSError
        The folder can't be written to.
    """
    with _locked(path, fcntl.LOCK_EX):
        yield


@contextmanager
def the_service_of(url: str) -> Iterator[None]:
    """Hold the lock that only one service on a store holds: two would each take the other's jobs for left behind.

    Raises
    ------
    InUseError
        Another service runs on it.
    OSError
        The folder can't be written to.
    """
    path = file_of(url)
    if path is None:
        yield
    else:
        with _locked(path, fcntl.LOCK_EX, "service"):
            yield


@contextmanager
def _locked(path: Path, kind: int, purpose: str = "lock") -> Iterator[None]:
    """Hold a lock on a file beside the database; that file stays, or two could hold locks on two files."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle = os.open(path.with_name(f"{path.name}.{purpose}"), os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        try:
            fcntl.flock(handle, kind | fcntl.LOCK_NB)
        except BlockingIOError:
            raise InUseError(path) from None
        yield
    finally:
        os.close(handle)
