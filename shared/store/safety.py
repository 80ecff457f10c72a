"""Back up the store, also while it is written to, and put a backup back in its place.

A backup is one SQLite file, checked after it was written. A restore leaves either the old store or the new one,
wherever a power cut ends it: the new one is made ready beside the old one, which is kept under another name, and one
renaming puts it in its place.
"""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from alembic.script import ScriptDirectory

from shared.store.database import StoreError, alembic_config, open_database
from shared.store.place import InUseError, alone_with, file_of, shown, sqlite_url

__all__ = ["Contents", "Restored", "SafetyError", "back_up", "look_at", "restore", "snapshot"]

_MAGIC: Final = b"SQLite format 3\x00"
_WAIT_SECONDS: Final = 20.0
_BESIDE: Final = ("-wal", "-shm", "-journal")
_COUNTED: Final = ("jobs", "bars", "works")
_BUSY: Final = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}


class SafetyError(Exception):
    """A backup or a restore didn't happen, and nothing was changed.

    Attributes
    ----------
    path : Path
        The file it is about.
    why : str
        What is wrong with it and what to do.
    """

    def __init__(self, path: Path, why: str) -> None:
        self.path, self.why = path, why
        super().__init__(f"{path}: {why}")


@dataclass(frozen=True, kw_only=True, slots=True)
class Contents:
    """What a database of ours holds.

    Attributes
    ----------
    revision : str
        Its schema.
    newest : bool
        Whether that is the newest one we know.
    counts : tuple of (str, int)
        Rows of the tables that people would count: jobs, bars, works; those it has.
    size : int
        Bytes.
    """

    revision: str
    newest: bool
    counts: tuple[tuple[str, int], ...]
    size: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Restored:
    """What a restore did.

    Attributes
    ----------
    before : Contents
        What the backup held.
    after : Contents
        What the store holds now, at the newest schema.
    kept : Path or None
        Where the store is that was there before, None where there was none.
    damaged : bool
        That one couldn't be closed cleanly: it is kept as it was found.
    """

    before: Contents
    after: Contents
    kept: Path | None
    damaged: bool


def back_up(url: str, target: Path, *, replace: bool = False) -> Contents:
    """Write a backup of the store, which may be in use meanwhile.

    Parameters
    ----------
    url : str
        SQLAlchemy URL of the store.
    target : Path
        The backup's file.
    replace : bool
        Whether it may take the place of a file that is there.

    Returns
    -------
    Contents
        What the backup holds: every change that was complete when the copying began or ended in between.

    Raises
    ------
    SafetyError
        There is nothing to back up, the target exists, or the copy isn't sound. No half a backup is left.
    """
    source = _file(url)
    if not source.exists():
        raise SafetyError(source, "there is no store here yet; name its folder with --data")
    if target.exists() and not replace:
        raise SafetyError(target, "exists already; name another file, or say --replace")
    if target.is_dir():
        raise SafetyError(target, "is a folder; name a file in it")
    if target.exists() and target.samefile(source):
        raise SafetyError(target, "is the store itself; a backup goes into another file")
    fresh = target.with_name(f".{target.name}.{os.getpid()}")
    with _swept(fresh), _said(target):
        _copy(source, fresh, live=True)
        contents = look_at(fresh)
        _sync(fresh)
        _publish(fresh, target, replace=replace)
    return contents


@contextmanager
def snapshot(url: str, folder: Path) -> Iterator[str]:
    """Give the URL of a copy of the store in that folder, as it is at one moment and at the newest schema.

    Raises
    ------
    SafetyError
        There is no store, or it isn't sound.
    """
    source = _file(url)
    if not source.exists():
        raise SafetyError(source, "there is no store here yet; name its folder with --data")
    fresh = folder / f".{source.name}.{os.getpid()}"
    with _swept(fresh):
        with _said(source):
            _copy(source, fresh, live=True)
            look_at(fresh)
            _migrate(fresh)
        yield sqlite_url(fresh)


def restore(backup: Path, url: str, now: datetime) -> Restored:
    """Put a backup in the place of the store.

    Parameters
    ----------
    backup : Path
        A file that `back_up` wrote, by this program or an older one.
    url : str
        SQLAlchemy URL of the store.
    now : datetime
        For the name under which the present store is kept.

    Raises
    ------
    SafetyError
        The file isn't ours, isn't sound, or is of a newer program.
    InUseError
        The service runs, or a command works on the store.
    """
    database = _file(url)
    before = look_at(backup)
    if database.exists() and database.samefile(backup):
        raise SafetyError(backup, "is the store itself; name a backup of it")
    fresh = database.with_name(f".{database.name}.restoring")
    with _said(database), alone_with(database), _swept(fresh):
        _copy(backup, fresh)
        _migrate(fresh)
        after = look_at(fresh)
        kept, damaged = _set_aside(database, now) if database.exists() else (None, False)
        _sync(fresh)
        fresh.replace(database)
        _sync(database.parent)
    return Restored(before=before, after=after, kept=kept, damaged=damaged)


def look_at(path: Path) -> Contents:
    """Look whether a file is a sound database of ours, and what it holds.

    Raises
    ------
    SafetyError
        It is not.
    """
    try:
        ours = _is_database(path)
    except OSError as error:
        raise SafetyError(path, f"can't be read: {(error.strerror or str(error)).lower()}") from None
    if not ours:
        raise SafetyError(path, "is no backup of Tallystick: it isn't a database; name a file that backup wrote")
    try:
        with closing(_opened(path)) as connection:
            _check_sound(path, connection)
            return _contents(path, connection)
    except sqlite3.Error as error:
        raise SafetyError(path, f"is damaged ({error}); take an older backup") from None


def _is_database(path: Path) -> bool:
    """Whether a file begins as every SQLite database does (SQLite's file format, 1.2.1)."""
    with path.open("rb") as file:
        return file.read(len(_MAGIC)) == _MAGIC


def _file(url: str) -> Path:
    try:
        path = file_of(url)
    except ValueError as error:
        raise SafetyError(Path(shown(url)), str(error)) from None
    if path is None:
        raise SafetyError(Path(shown(url)), "isn't a file of SQLite; use the backup tools of that database")
    return path


def _opened(path: Path, *, live: bool = False) -> sqlite3.Connection:
    """Open a database for reading only; one that nobody writes to may lie on a medium that can't be written."""
    quiet = not live and not any(path.with_name(path.name + end).exists() for end in _BESIDE)
    mode = "immutable=1" if quiet else "mode=ro"
    return sqlite3.connect(f"{path.resolve().as_uri()}?{mode}", uri=True, timeout=_WAIT_SECONDS)


def _check_sound(path: Path, connection: sqlite3.Connection) -> None:
    said = [str(row[0]) for row in connection.execute("PRAGMA integrity_check(5)")]
    if said != ["ok"]:
        raise SafetyError(path, f"is damaged ({'; '.join(said)}); take an older backup")
    loose = connection.execute("PRAGMA foreign_key_check").fetchone()
    if loose is not None:
        raise SafetyError(
            path, f"is damaged (a row of {loose[0]} refers to nothing in {loose[2]}); take an older backup"
        )


def _contents(path: Path, connection: sqlite3.Connection) -> Contents:
    tables = {str(row[0]) for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    row = (
        connection.execute("SELECT version_num FROM alembic_version").fetchone()
        if "alembic_version" in tables
        else None
    )
    if row is None or "jobs" not in tables:
        raise SafetyError(path, "is no backup of Tallystick: it is the database of something else")
    script = ScriptDirectory.from_config(alembic_config())
    known = {revision.revision for revision in script.walk_revisions()}
    if row[0] not in known:
        why = f"was written by a newer Tallystick (its schema is {row[0]}, the newest known here {max(known)}); "
        raise SafetyError(path, why + "restore it with that one")
    counts = [
        (table, int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]))  # noqa: S608 - names of ours
        for table in _COUNTED
        if table in tables
    ]
    return Contents(
        revision=str(row[0]),
        newest=row[0] == script.get_current_head(),
        counts=tuple(counts),
        size=path.stat().st_size,
    )


def _copy(source: Path, target: Path, *, live: bool = False) -> None:
    """Copy a database in one go by SQLite's online backup: a consistent state, whoever writes to it meanwhile."""
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    with (
        closing(_opened(source, live=live)) as old,
        closing(sqlite3.connect(target, timeout=_WAIT_SECONDS)) as new,
    ):
        old.backup(new)
        new.execute("PRAGMA journal_mode=DELETE")  # the log goes into the file: a backup is one file


def _migrate(path: Path) -> None:
    try:
        open_database(sqlite_url(path)).dispose()
    except StoreError as error:
        raise SafetyError(path, f"can't be brought to the newest schema ({error}); nothing was changed") from error
    _fold(path)


def _fold(path: Path) -> None:
    """Bring everything into the one file; fails where somebody has it open."""
    with closing(sqlite3.connect(path, timeout=1.0)) as connection:
        connection.execute("PRAGMA journal_mode=DELETE")
        connection.execute("SELECT count(*) FROM sqlite_master")


def _set_aside(database: Path, now: datetime) -> tuple[Path, bool]:
    """Give the present store a second name, under which it stays; whether it had to be kept as found."""
    damaged = not _is_database(database)
    try:
        if not damaged:  # SQLite throws away the log of what it takes for an empty file
            _fold(database)
    except sqlite3.Error as error:
        if (getattr(error, "sqlite_errorcode", 0) & 0xFF) in _BUSY:
            raise InUseError(database) from None
        damaged = True
    kept = _free_name(database, now)
    try:
        os.link(database, kept)
    except OSError:  # a file system without links
        shutil.copy2(database, kept)
    _sync(kept)
    for end in _BESIDE:  # only where it couldn't be closed: they belong to it, and never to what takes its place
        beside = database.with_name(database.name + end)
        if beside.exists():
            beside.replace(kept.with_name(kept.name + end))
    return kept, damaged


def _free_name(database: Path, now: datetime) -> Path:
    name = f"{database.name}.before-{now:%Y-%m-%d-%H%M%S}"
    number, free = 1, database.with_name(name)
    while free.exists():
        number += 1
        free = database.with_name(f"{name}-{number}")
    return free


def _publish(fresh: Path, target: Path, *, replace: bool) -> None:
    """Give a finished file its name; without `replace` never the name of a file that is there by now."""
    try:
        if replace:
            fresh.replace(target)
        else:
            _link(fresh, target)
    except FileExistsError:
        raise SafetyError(target, "exists already; name another file, or say --replace") from None
    _sync(target.parent)


def _link(fresh: Path, target: Path) -> None:
    try:
        os.link(fresh, target)
    except FileExistsError:
        raise
    except OSError:  # a file system without links, such as a memory stick's: take the name first, then replace
        os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        fresh.replace(target)


def _sync(path: Path) -> None:
    """Have a file, or the names in a folder, on the disk before going on."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno != errno.EINVAL:  # some file systems don't do this for folders, and need not
            raise
    finally:
        os.close(handle)


@contextmanager
def _swept(fresh: Path) -> Iterator[None]:
    """Leave nothing half done behind, neither of this run nor of one that was killed."""

    def sweep() -> None:
        for end in ("", *_BESIDE):
            fresh.with_name(fresh.name + end).unlink(missing_ok=True)

    with _said(fresh):
        sweep()
    try:
        yield
    finally:
        sweep()


@contextmanager
def _said(path: Path) -> Iterator[None]:
    """Say in words what a file system or the database refuses."""
    try:
        yield
    except sqlite3.Error as error:
        raise SafetyError(path, f"didn't work ({error}); nothing was changed") from error
    except OSError as error:
        raise SafetyError(
            path, f"didn't work ({(error.strerror or str(error)).lower()}); nothing was changed"
        ) from error
