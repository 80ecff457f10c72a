"""Keep sheets that don't make a job yet, from the first line on: each method is one transaction."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, cast

from sqlalchemy import CursorResult, Engine, delete, select
from sqlalchemy.orm import Session

from shared.store.database import WRITES
from shared.store.records import moment
from shared.store.tables import DraftRow

__all__ = ["DraftRecord", "Drafts"]

_ID_BYTES: Final = 12


@dataclass(frozen=True, kw_only=True, slots=True)
class DraftRecord:
    """One sheet as it was written last.

    Attributes
    ----------
    id, title : str
        Its name in addresses, and the one a person gave it.
    document : bytes
        The sheet.
    digest : str
        Of the sheet: who writes on must have seen this one.
    changed : datetime
        UTC, when it was written last.
    """

    id: str
    title: str
    document: bytes
    digest: str
    changed: datetime


@dataclass(frozen=True, slots=True)
class Drafts:
    """The unfinished sheets in one database; every method may be called from any thread.

    Attributes
    ----------
    engine : Engine
        An open database.
    clock : callable
        What time it is, in milliseconds since 1970.
    """

    engine: Engine
    clock: Callable[[], int]

    def keep(self, document: bytes, title: str, *, of: str = "", seen: str = "") -> DraftRecord:
        """Keep a sheet.

        Parameters
        ----------
        document : bytes
            The sheet.
        title : str
            Its title.
        of, seen : str
            The draft that it goes on with, and the digest of what its writer saw of that. Where somebody else has
            written since, or the draft is gone, this one is kept beside it, under a name of its own.
        """
        digest = hashlib.sha256(document).hexdigest()
        with self._write() as session, session.begin():
            row = session.get(DraftRow, of) if of else None
            if row is None or row.digest not in {seen, digest}:
                row = DraftRow(id=secrets.token_urlsafe(_ID_BYTES))
                session.add(row)
            row.title, row.document, row.digest, row.changed = title, document, digest, self.clock()
            session.flush()
            return _record(row)

    def get(self, draft_id: str) -> DraftRecord | None:
        """Return a draft, None where there is none."""
        with Session(self.engine) as session:
            row = session.get(DraftRow, draft_id)
            return None if row is None else _record(row)

    def drop(self, draft_id: str, seen: str) -> bool:
        """Forget a draft that has become a job; not where somebody else has written on it since."""
        gone = delete(DraftRow).where(DraftRow.id == draft_id, DraftRow.digest == seen)
        return self._count(gone) > 0

    def latest(self, count: int) -> tuple[DraftRecord, ...]:
        """Return the drafts written last, newest first."""
        query = select(DraftRow).order_by(DraftRow.changed.desc(), DraftRow.id).limit(count)
        with Session(self.engine) as session:
            return tuple(_record(row) for row in session.scalars(query))

    def forget_old(self, days: float) -> int:
        """Forget drafts that nobody has touched for so many days; how many."""
        return self._count(delete(DraftRow).where(DraftRow.changed < self.clock() - int(days * 86_400_000)))

    def _write(self) -> Session:
        return Session(self.engine.execution_options(**{WRITES: True}), expire_on_commit=False)

    def _count(self, query: Any) -> int:
        with self._write() as session, session.begin():
            return cast("CursorResult[Any]", session.execute(query)).rowcount


def _record(row: DraftRow) -> DraftRecord:
    return DraftRecord(
        id=row.id, title=row.title, document=row.document, digest=row.digest, changed=moment(row.changed)
    )
