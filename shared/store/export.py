"""Write everything that the store holds in open formats: tables as CSV in words for people, jobs and plans as JSON.

The files speak of one moment: they are made from a copy of the store, whoever works with it meanwhile.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from shared.store.database import open_database
from shared.store.export_tables import Table, other_tables, shop_tables
from shared.store.jobs import Store
from shared.store.safety import SafetyError, snapshot
from shared.store.shop import ShopStore
from shared.store.tables import JobRow
from shared.work.rack.exchange import csv_bytes
from shared.work.saw.work import WorkBook

__all__ = ["export_all"]


def export_all(url: str, folder: Path, clock: Callable[[], int]) -> tuple[str, ...]:
    """Write everything into a new folder.

    Parameters
    ----------
    url : str
        SQLAlchemy URL of the store.
    folder : Path
        Must not exist, or be empty.
    clock : callable
        The store's, see `shared.store.Store`.

    Returns
    -------
    tuple of str
        Names of the files and folders made in it.

    Raises
    ------
    SafetyError
        There is no store, or the folder has something in it or can't be written. Nothing half done is left.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise SafetyError(folder, "is there and isn't empty; name a new folder")
    fresh = folder.with_name(f".{folder.name}.{os.getpid()}")
    try:
        fresh.mkdir(parents=True)
        with snapshot(url, fresh) as copy:
            _write_all(copy, fresh, clock)
        if folder.exists():
            folder.rmdir()
        fresh.rename(folder)
    except OSError as error:
        raise SafetyError(folder, f"can't be written: {(error.strerror or str(error)).lower()}") from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
    return tuple(sorted(path.name for path in folder.iterdir()))


def _write_all(url: str, folder: Path, clock: Callable[[], int]) -> None:
    engine = open_database(url)
    try:
        shop, store = ShopStore(engine, clock), Store(engine, clock)
        books = tuple(shop.work(work.id) for work in shop.works())
        with Session(engine) as session:
            tables = {**shop_tables(shop, books), **other_tables(session)}
            jobs = list(session.scalars(select(JobRow.id).order_by(JobRow.created, JobRow.id)))
        for name, table in tables.items():
            (folder / name).write_bytes(csv_bytes(tuple(table.columns), table.rows))
        for job in jobs:
            _write_job(store, job, folder / "jobs" / job)
        for book in books:
            _write_revisions(book, folder / "works" / book.work.id)
        (folder / "README.txt").write_text(_readme(tables), encoding="utf-8")
    finally:
        engine.dispose()


def _write_job(store: Store, job: str, folder: Path) -> None:
    plan = store.plan(job)
    files = {
        "job.json": store.document(job),
        "plan.json": None if plan is None else plan.document,
        "page.json": store.sheet(job),
    }
    _write_files(folder, files)


def _write_revisions(book: WorkBook, folder: Path) -> None:
    for revision in book.revisions:
        files = {f"{revision.mark}-job.json": revision.document, f"{revision.mark}-plan.json": revision.plan}
        _write_files(folder, files)


def _write_files(folder: Path, files: Mapping[str, bytes | None]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for name, data in files.items():
        if data:
            (folder / name).write_bytes(data)


def _readme(tables: Mapping[str, Table]) -> str:
    """Return what the files are, and what each of their columns holds."""
    lines = [
        "Everything that Tallystick keeps, in open formats.",
        "",
        "Tables are CSV (RFC 4180) in UTF-8; a text that a spreadsheet would reckon with has an apostrophe in front.",
        "Lengths carry their unit and are exact. jobs/ID has each job as a job file (job.json), its plan",
        "(plan.json) and what was written on the page (page.json); works/ID has each revision of a work likewise.",
    ]
    for name, table in tables.items():
        lines += ["", f"{name}: {table.about}."]
        lines += [f"  {column}: {meaning}" for column, meaning in table.columns.items()]
    return "\n".join(lines) + "\n"
