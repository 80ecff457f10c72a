"""What can be wrong with the store while it is open, in words, and whether it passes by itself."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError, IntegrityError, NotSupportedError, ProgrammingError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from shared.store.place import file_of

__all__ = ["PASSING", "Health", "health_of", "may_pass", "why"]

PASSING: Final = (DBAPIError, PoolTimeoutError)
"""What the store's methods raise where the database, not the call, is at fault; see `may_pass`."""

_OURS: Final = (IntegrityError, ProgrammingError, NotSupportedError)
_MIB: Final = 1024 * 1024
_LEAST: Final = 64 * _MIB
_LITTLE: Final = 512 * _MIB
_PROBE_SECONDS: Final = 0.5


@dataclass(frozen=True, kw_only=True, slots=True)
class Health:
    """How the store is.

    Attributes
    ----------
    fault : str
        Why nothing can be kept now, empty where it can.
    warning : str
        What will soon be wrong, empty where nothing is.
    """

    fault: str = ""
    warning: str = ""


def may_pass(error: Exception) -> bool:
    """Whether trying again later is right: a lock, a full disk, a database that is away, and no defect of ours."""
    return isinstance(error, PASSING) and not isinstance(error, _OURS)


def why(error: Exception) -> str:
    """Say what is wrong with the store, without the statement and its values."""
    text = str(error.orig if isinstance(error, DBAPIError) and error.orig is not None else error).splitlines()
    first = text[0] if text else type(error).__name__
    if "locked" in first or "busy" in first:
        return "the store is locked by another program"
    if "full" in first:
        return "the disk of the store is full"
    if "malformed" in first or "not a database" in first:
        return "the store is damaged; end the service and put a backup in its place with: tallystick restore FILE"
    if "readonly" in first:
        return "the store may only be read; look at the rights of its file and folder"
    return f"the store doesn't answer ({first})"


def health_of(engine: Engine) -> Health:
    """Try whether the store could be written now, and look how much room is left on its disk."""
    path = file_of(engine.url.render_as_string(hide_password=False))
    try:
        if path is None:
            with engine.connect() as connection:
                connection.exec_driver_sql("SELECT 1")
            return Health()
        _try_lock(path)
    except (sqlite3.Error, *PASSING) as error:
        return Health(fault=why(error))
    return _room(shutil.disk_usage(path.parent).free)


def _try_lock(path: Path) -> None:
    """Take the write lock for a moment; waits for it half a second and no longer."""
    with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True, timeout=_PROBE_SECONDS)) as connection:
        connection.isolation_level = None
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("SELECT count(*) FROM sqlite_master")
        connection.execute("ROLLBACK")


def _room(free: int) -> Health:
    if free < _LEAST:
        return Health(fault=f"the disk of the store is full: {free // _MIB} MiB are free, {_LEAST // _MIB} are needed")
    if free < _LITTLE:
        return Health(warning=f"the disk of the store is nearly full: {free // _MIB} MiB are free")
    return Health()
