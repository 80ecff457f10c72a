"""Look things up in the shop's tables."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from shared.store.desk.rows import bar_of, made_of, revision_of, slot_of, work_of
from shared.store.desk.tables import BarRow, ChangeRow, EntryRow, MadeRow, RevisionRow, SlotRow, WorkRow
from shared.store.records import moment
from shared.work.errors import UnknownError
from shared.work.rack.bars import Bar, BarState, bar_name
from shared.work.saw.work import Entry, PlanInHand, WorkBook

__all__ = ["bar_row", "book_of", "entries", "find_bars", "work_row", "works"]

Key = tuple[str, str]


def bar_row(session: Session, number: int) -> BarRow:
    """Return a bar's row; raises UnknownError where there is none."""
    row = session.get(BarRow, number)
    if row is None:
        raise UnknownError(f"There is no {bar_name(number)} in the books: look at its label again.")
    return row


def work_row(session: Session, work_id: str) -> WorkRow:
    """Return a work's row; raises UnknownError where there is none."""
    row = session.get(WorkRow, work_id)
    if row is None:
        raise UnknownError(f"No plan {work_id} was taken in hand: open the plan and take it in hand first.")
    return row


def find_bars(session: Session, states: Iterable[BarState] | None, section: Key | None) -> tuple[Bar, ...]:
    """Return bars by number."""
    query = select(BarRow).order_by(BarRow.number)
    if states is not None:
        query = query.where(BarRow.state.in_([state.value for state in states]))
    if section is not None:
        query = query.where(BarRow.section_name == section[0], BarRow.section_material == section[1])
    return tuple(bar_of(row) for row in session.scalars(query))


def works(session: Session) -> tuple[PlanInHand, ...]:
    """Return all works, the one taken in hand last first."""
    return tuple(work_of(row) for row in session.scalars(select(WorkRow).order_by(WorkRow.made.desc(), WorkRow.id)))


def book_of(session: Session, row: WorkRow) -> WorkBook:
    """Return everything that is known of a work."""
    slots = select(SlotRow).where(SlotRow.work == row.id)
    made = select(MadeRow).where(MadeRow.work == row.id)
    sticks = select(SlotRow.bar).where(SlotRow.work == row.id)
    became = select(MadeRow.became).where(MadeRow.work == row.id, MadeRow.became.is_not(None))
    bars = select(BarRow).where(
        or_(BarRow.work == row.id, BarRow.number.in_(sticks), BarRow.parent.in_(sticks), BarRow.number.in_(became))
    )
    revisions = select(RevisionRow).where(RevisionRow.work == row.id)
    return WorkBook(
        work=work_of(row),
        slots=tuple(
            slot_of(each) for each in session.scalars(slots.order_by(SlotRow.number, SlotRow.copy, SlotRow.id))
        ),
        bars=tuple(bar_of(each) for each in session.scalars(bars.order_by(BarRow.number))),
        made=tuple(made_of(each) for each in session.scalars(made.order_by(MadeRow.id))),
        revisions=tuple(revision_of(each) for each in session.scalars(revisions.order_by(RevisionRow.number))),
    )


def entries(session: Session, number: int | None, work: str | None, limit: int) -> tuple[Entry, ...]:
    """Return the journal's entries, newest first."""
    query = select(EntryRow).order_by(EntryRow.id.desc()).limit(limit)
    if number is not None:
        touched = select(ChangeRow.entry).where(ChangeRow.table_name == "bars", ChangeRow.row == str(number))
        query = query.where(EntryRow.id.in_(touched))
    if work is not None:
        query = query.where(EntryRow.work == work)
    rows = list(session.scalars(query))
    touched_bars = select(ChangeRow.entry, ChangeRow.row).where(
        ChangeRow.table_name == "bars", ChangeRow.entry.in_([row.id for row in rows])
    )
    bars: dict[int, list[int]] = {}
    for entry, key in session.execute(touched_bars):
        bars.setdefault(entry, []).append(int(key))
    return tuple(_entry(row, tuple(sorted(bars.get(row.id, ())))) for row in rows)


def _entry(row: EntryRow, bars: tuple[int, ...]) -> Entry:
    return Entry(
        id=row.id,
        at=moment(row.at),
        who=row.who,
        kind=row.kind,
        words=row.words,
        work=row.work,
        bars=bars,
        undoes=row.undoes,
        undone_by=row.undone_by,
    )
