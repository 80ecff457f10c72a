"""The journal of one transaction: every row of the shop's tables that it changes, and where the steel went.

Rows are watched as the session flushes them, so that nothing that is changed through it can be left out; statements
that would alter rows behind the session's back are refused.
"""

from __future__ import annotations

import base64
import json
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from sqlalchemy import event
from sqlalchemy.orm import ORMExecuteState, Session, class_mapper
from sqlalchemy.orm.attributes import instance_state

from shared.store.desk.tables import BarRow, MadeRow, RevisionRow, SlotRow, WorkRow
from shared.work.saw.ledger import Account, Line, unbalanced

__all__ = ["WATCHED", "BooksError", "Image", "Journal", "Row", "key_of"]

Image = dict[str, Any]
Row = BarRow | MadeRow | RevisionRow | SlotRow | WorkRow

WATCHED: Final[dict[str, type[Row]]] = {
    row.__tablename__: row for row in (BarRow, MadeRow, RevisionRow, SlotRow, WorkRow)
}
"""The tables whose every change is written down, by name."""

QUIET: Final = {"works": frozenset({"version", "last_revision", "last_number"})}
"""Columns that count on and are never taken back."""


class BooksError(Exception):
    """The lines of an entry don't add up: a defect of ours, and nothing is kept."""


@dataclass(slots=True)
class Change:
    """A row before and after; None where there was none."""

    row: Row
    before: Image | None
    after: Image | None


def image_of(row: Row) -> Image:
    """Return all values of a row, by column."""
    return {column.key: getattr(row, column.key) for column in class_mapper(type(row)).column_attrs}


def image_text(image: Image) -> str:
    """Write an image as JSON; bytes in base 64."""
    return json.dumps(image, ensure_ascii=False, separators=(",", ":"), default=_bytes)


def _bytes(value: object) -> dict[str, str]:
    assert isinstance(value, bytes)
    return {"base64": base64.b64encode(value).decode("ascii")}


def key_of(row: Row) -> str:
    """Return what names a row within its table."""
    return "/".join(str(part) for part in class_mapper(type(row)).primary_key_from_instance(row))


class Journal:
    """Watches one session.

    Parameters
    ----------
    session : Session
        For one transaction.
    """

    def __init__(self, session: Session) -> None:
        self._changes: dict[tuple[str, str], Change] = {}
        self._lines: list[Line] = []
        self._counted: set[int] = set()
        event.listen(session, "before_flush", self._count)
        event.listen(session, "after_flush", self._watch)
        event.listen(session, "do_orm_execute", _refuse)

    def book(self, section: tuple[str, str], account: Account, amount: Fraction) -> None:
        """Note where steel came from or went to; what is held is noted by itself."""
        if account.held:
            raise BooksError(f"{account} is counted from the rows")
        if amount:
            self._lines.append(Line(section=section, account=account, amount=amount))

    def changes(self) -> list[tuple[str, str, str | None, str | None]]:
        """Return table, key and both images of every row that is changed, as text."""
        found = []
        for (table, key), change in self._changes.items():
            before, after = _slim(change, QUIET.get(table, frozenset()))
            if before != after:
                texts = (None if each is None else image_text(each) for each in (before, after))
                found.append((table, key, *texts))
        return found  # type: ignore[return-value]

    def works(self) -> list[str]:
        """Return the works of which anything was changed."""
        found: dict[str, None] = {}
        for (table, _), change in self._changes.items():
            column = "id" if table == "works" else "work"
            for image in (change.before, change.after):
                if image is not None and image[column] is not None:
                    found[image[column]] = None
        return list(found)

    def lines(self) -> list[Line]:
        """Return the ledger's lines of this transaction.

        Raises
        ------
        BooksError
            They don't add up to zero for some section.
        """
        lines = [*self._held(), *self._lines]
        wrong = unbalanced(lines)
        if wrong:
            raise BooksError("; ".join(f"{name} {material}: {amount} mm" for (name, material), amount in wrong.items()))
        return lines

    def missing(self) -> dict[tuple[str, str], Fraction]:
        """Return by how much the lines so far miss zero in each section."""
        return unbalanced([*self._held(), *self._lines])

    def _held(self) -> list[Line]:
        sums: dict[tuple[tuple[str, str], Account], Fraction] = {}
        for (table, _), change in self._changes.items():
            for sign, image in ((-1, change.before), (1, change.after)):
                if image is not None and (found := _held_by(table, image)) is not None:
                    account, amount = found
                    key = ((image["section_name"], image["section_material"]), account)
                    sums[key] = sums.get(key, Fraction(0)) + sign * amount
        return [
            Line(section=section, account=account, amount=amount)
            for (section, account), amount in sums.items()
            if amount
        ]

    def _count(self, session: Session, *_: object) -> None:
        """Count the version of every altered row up, once in a transaction."""
        for row in session.dirty:
            counts = isinstance(row, BarRow | MadeRow | SlotRow) and id(row) not in self._counted
            if counts and session.is_modified(row):
                self._counted.add(id(row))
                row.version += 1

    def _watch(self, session: Session, _context: object) -> None:
        for row in session.new:
            if isinstance(row, Row):
                self._note(row, None, image_of(row))
        for row in session.dirty:
            if isinstance(row, Row):
                self._note(row, _before(row), image_of(row))
        for row in session.deleted:
            if isinstance(row, Row):
                self._note(row, image_of(row), None)

    def _note(self, row: Row, before: Image | None, after: Image | None) -> None:
        known = self._changes.setdefault((row.__tablename__, key_of(row)), Change(row, before, after))
        known.after = after


def _before(row: Row) -> Image:
    state = instance_state(row)
    image = image_of(row)
    for column in image:
        old = state.attrs[column].history.deleted
        if old:
            image[column] = old[0]
    return image


def _slim(change: Change, quiet: frozenset[str]) -> tuple[Image | None, Image | None]:
    """Leave out what an altered row keeps, and what only counts on."""
    before, after = change.before, change.after
    if before is None or after is None:
        return before, after
    altered = [column for column in after if before[column] != after[column] and column not in quiet]
    return {column: before[column] for column in altered}, {column: after[column] for column in altered}


def _held_by(table: str, image: Image) -> tuple[Account, Fraction] | None:
    """What a row holds of steel."""
    if table == "bars" and image["state"] in {"free", "reserved"}:
        return Account.STOCK, Fraction(image["length"])
    if table == "slots" and image["state"] == "open":
        return Account.STOCK, -Fraction(image["used"])
    if table == "made" and image["state"] in {"good", "surplus"}:
        return Account.PARTS, Fraction(image["length"])
    return None


def _refuse(state: ORMExecuteState) -> None:
    if not state.is_select:
        raise BooksError("rows of the shop are altered one by one, so that the journal sees them")
