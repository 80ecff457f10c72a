"""Open the database, safely set, at the newest schema."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url

__all__ = ["WRITES", "alembic_config", "open_database"]

WRITES: Final = "tallystick_writes"
"""Execution option of a connection that writes: on SQLite its transactions take the lock at once, not half way."""

_BUSY_MILLISECONDS: Final = 20_000


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
    """
    parsed = make_url(url)
    if parsed.get_backend_name() == "sqlite" and parsed.database not in {None, "", ":memory:"}:
        Path(str(parsed.database)).parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    engine = create_engine(url)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _prepare)
        event.listen(engine, "begin", _begin)
    _migrate(engine)
    return engine


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
