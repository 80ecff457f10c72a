"""Take an entry of the journal back: every row it changed becomes what it was, unless something was built on it."""

from __future__ import annotations

import base64
import json
from typing import Any, Final

from sqlalchemy import select
from sqlalchemy.orm import Session, class_mapper

from shared.store.desk.journal import WATCHED, BooksError, Image, Row, key_of
from shared.store.desk.run import Desk, Told
from shared.store.desk.tables import ChangeRow, EntryRow, LedgerRow
from shared.store.values import fraction_of
from shared.work.errors import NotPossibleError, UnknownError
from shared.work.saw.ledger import Account

__all__ = ["undo"]

_DEPTH: Final = {"works": 0, "revisions": 1, "bars": 1, "slots": 2, "made": 3}
"""How deep a table stands: its rows refer only to rows of lower ones."""


def undo(desk: Desk, entry_id: int) -> Told:
    """Take one entry back."""
    entry = desk.session.get(EntryRow, entry_id)
    if entry is None:
        raise UnknownError(f"The journal has no entry {entry_id}.")
    if entry.undone_by is not None:
        raise NotPossibleError(f"Entry {entry.id} was taken back already, by entry {entry.undone_by}.")
    changes = list(desk.session.scalars(select(ChangeRow).where(ChangeRow.entry == entry.id).order_by(ChangeRow.id)))
    _must_be_untouched(desk.session, entry, changes)
    _restore(desk, changes)
    for line in desk.session.scalars(select(LedgerRow).where(LedgerRow.entry == entry.id).order_by(LedgerRow.id)):
        account = Account(line.account)
        if not account.held:
            desk.journal.book((line.section_name, line.section_material), account, -fraction_of(line.amount))
    return Told(words=_words(desk.session, entry), undoes=entry.id, work=entry.work)


def _words(session: Session, entry: EntryRow) -> str:
    """Say what is taken back, or, where that was a taking back itself, what counts again."""
    stands, told = False, entry
    while told.undoes is not None:
        stands, told = not stands, session.get_one(EntryRow, told.undoes)
    return f"{'Counts again' if stands else 'Taken back'}: {told.words}"


def _must_be_untouched(session: Session, entry: EntryRow, changes: list[ChangeRow]) -> None:
    """Refuse where a later entry, itself still standing, touched the same rows."""
    for change in changes:
        query = (
            select(EntryRow)
            .join(ChangeRow, ChangeRow.entry == EntryRow.id)
            .where(ChangeRow.table_name == change.table_name, ChangeRow.row == change.row, EntryRow.id > entry.id)
            .order_by(EntryRow.id)
        )
        for later in session.scalars(query):
            if _stands(session, later, entry.id):
                raise NotPossibleError(
                    f"Entry {entry.id} ({entry.words}) can't be taken back: entry {later.id} ({later.words}) was built "
                    f"on it. Take that back first."
                )


def _stands(session: Session, later: EntryRow, than: int) -> bool:
    """Whether a later entry still counts: it wasn't taken back, nor does it take back one that is later, too."""
    if later.undone_by is not None:
        return False
    return later.undoes is None or later.undoes <= than or session.get_one(EntryRow, later.undoes).undone_by != later.id


def _restore(desk: Desk, changes: list[ChangeRow]) -> None:
    """Write the old images, in an order in which no row ever refers to one that isn't there.

    What others refer to (works, bars) comes back before and goes after what refers to it (slots, parts made), and a
    bar is out of one open slot before it is in another.
    """
    session = desk.session
    gone = [change for change in reversed(changes) if change.before is None]
    back = sorted((change for change in changes if change.after is None), key=lambda each: _DEPTH[each.table_name])
    _delete(session, [change for change in gone if _refers(change)])
    _insert(session, [change for change in back if not _refers(change)])
    _alter(session, [change for change in changes if change.before is not None and change.after is not None])
    _delete(session, sorted((each for each in gone if not _refers(each)), key=lambda each: -_DEPTH[each.table_name]))
    _insert(session, [change for change in back if _refers(change)])


def _refers(change: ChangeRow) -> bool:
    return _DEPTH[change.table_name] >= _DEPTH["slots"]


def _delete(session: Session, changes: list[ChangeRow]) -> None:
    for change in sorted(changes, key=lambda each: -_DEPTH[each.table_name]):
        session.delete(_row(session, change))
        session.flush()


def _insert(session: Session, changes: list[ChangeRow]) -> None:
    for change in changes:
        session.add(WATCHED[change.table_name](**_image(change.before)))
        session.flush()


def _alter(session: Session, changes: list[ChangeRow]) -> None:
    images = [(_row(session, change), _image(change.before), _image(change.after)) for change in changes]
    for row, before, after in sorted(images, key=lambda each: each[1].get("state") == "open"):
        for column in before.keys() - {"version"}:
            if getattr(row, column) != after[column]:
                raise BooksError(f"{row.__tablename__} {key_of(row)}: {column} isn't what its last entry made it")
            setattr(row, column, before[column])
        session.flush()


def _row(session: Session, change: ChangeRow) -> Row:
    kind: type[Any] = WATCHED[change.table_name]
    columns = class_mapper(kind).primary_key
    parts = change.row.split("/")
    row: Row = session.get_one(
        kind, tuple(each.type.python_type(part) for each, part in zip(columns, parts, strict=True))
    )
    return row


def _image(text: str | None) -> Image:
    """Read an image back."""
    assert text is not None
    image: Image = json.loads(text)
    return {column: _value(value) for column, value in image.items()}


def _value(value: Any) -> Any:
    return base64.b64decode(value["base64"]) if isinstance(value, dict) else value
