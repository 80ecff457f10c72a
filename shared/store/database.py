"""Open the database, safely set, at the newest schema."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from alembic import command
from alembic.config import Config
from alembic.util.exc import CommandError
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, SQLAlchemyError

from shared.store.health import why
from shared.store.private import TooOpenError, make_private

__all__ = ["WRITES", "StoreError", "alembic_config", "open_database"]

WRITES: Final = "tallystick_writes"
"""Execution option of a connection that writes: on SQLite its transactions take the lock at once, not half way."""

_BUSY_MILLISECONDS: Final = 20_000


class StoreError(Exception):
    """The store can't be opened; its message says why in words, and what to do."""


def open_database(url: str) -> Engine:
    """Open the store's database and bring it to the newest schema.

    Parameters
    ----------
    url : str
        SQLAlchemy URL. An SQLite file is made where there is none.

    Returns
    -------
    Engine
        On SQLite with a write-ahead log, every commit on the disk before it counts, and foreign keys enforced.

    Raises
    ------
    StoreError
        A newer Tallystick wrote it, it is damaged or locked, its file can't be used, others may read it, or its address
        names no database that can be opened here.
    ValueError
        The address's port is no number.
    """
    try:
        engine = _engine(url)
    except OSError as error:
        raise StoreError(str(error) if isinstance(error, TooOpenError) else f"can't be used: {_said(error)}") from None
    except ModuleNotFoundError as error:
        raise StoreError(f"it needs the package {error.name}: install it beside Tallystick") from None
    except ArgumentError as error:
        raise StoreError(f"no such kind of database is known ({error})") from None
    try:
        _migrate(engine)
    except CommandError as error:
        engine.dispose()
        raise StoreError(_of_schema(error)) from None
    except SQLAlchemyError as error:
        engine.dispose()
        raise StoreError(why(error)) from None
    return engine


def _engine(url: str) -> Engine:
    parsed = make_url(url)
    if parsed.get_backend_name() == "sqlite" and parsed.database not in {None, "", ":memory:"}:
        path = Path(str(parsed.database))
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        make_private(path)  # its log and index get the rights of the file itself
    engine = create_engine(url)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _prepare)
        event.listen(engine, "begin", _begin)
    return engine


def _said(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _of_schema(error: CommandError) -> str:
    """Say what stands in the way of the newest schema: a revision that only a newer program knows."""
    return (
        f"a newer Tallystick wrote it ({str(error).removesuffix('.')}): bring this one up to date, or put a backup of "
        "an older one in its place with: tallystick restore FILE"
    )


def alembic_config() -> Config:
    """Return the configuration of the store's migrations."""
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.set_main_option("path_separator", "os")
    return config


def _prepare(connection: Any, _record: object) -> None:
    connection.isolation_level = None  # the driver's own BEGIN comes too late: ours is in _begin
    cursor = connection.cursor()
    for pragma in (
        f"busy_timeout={_BUSY_MILLISECONDS}",
        "journal_mode=WAL",
        "synchronous=FULL",
        "foreign_keys=ON",
    ):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _migrate(engine: Engine) -> None:
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        config = alembic_config()
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
