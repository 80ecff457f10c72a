"""One event of the shop: what it finds, what it changes, and what it answers, all in one transaction."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from cutting.question.job import Section
from shared.store.database import WRITES
from shared.store.desk.journal import Journal
from shared.store.desk.read import bar_row, book_of, work_row
from shared.store.desk.rows import bar_of, slot_of
from shared.store.desk.tables import BarRow, ChangeRow, EntryRow, LedgerRow, SlotRow, WorkRow
from shared.store.values import fraction_of, fraction_text, pair_text, told_text, value_text
from shared.work.errors import NotPossibleError, UnknownError
from shared.work.rack.bars import Bar, BarState, Origin
from shared.work.saw.ledger import Account
from shared.work.saw.needs import flags_of, missing
from shared.work.saw.work import Flag, Outcome, Slot, WorkBook, WorkState

__all__ = ["Act", "Asked", "Desk", "Told", "run"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What somebody tells the shop.

    Attributes
    ----------
    kind : str
        One word.
    who : str
        Person or device.
    what : tuple
        Everything else that was told, as values of the domain.
    work : str or None
        Which work it is about.
    key : str or None
        Names the event, so that it counts once however often it is told.
    """

    kind: str
    who: str
    what: tuple[object, ...]
    work: str | None = None
    key: str | None = None

    @property
    def digest(self) -> str:
        """Of everything but who and the key."""
        text = told_text((self.kind, self.work, self.what))
        return hashlib.sha256(text.encode()).hexdigest()


@dataclass(frozen=True, kw_only=True, slots=True)
class Told:
    """What an event did.

    Attributes
    ----------
    words : str
        A sentence.
    bars : tuple of int
        New bars that want a label.
    undoes : int or None
        The entry it takes back.
    work : str or None
        The work that it turned out to be about.
    """

    words: str
    bars: tuple[int, ...] = ()
    undoes: int | None = None
    work: str | None = None


class Desk:
    """What an event works with.

    Parameters
    ----------
    session : Session
        Of its transaction.
    now : int
        What time it is, in milliseconds since 1970.
    """

    def __init__(self, session: Session, now: int) -> None:
        self.session = session
        self.journal = Journal(session)
        self.now = now

    def bar(self, number: int) -> BarRow:
        """Return a bar; raises UnknownError."""
        return bar_row(self.session, number)

    def work(self, work_id: str, *, opened: bool = True) -> WorkRow:
        """Return a work; raises UnknownError, and NotPossibleError where it must be open and isn't."""
        row = work_row(self.session, work_id)
        if opened and row.state != WorkState.OPEN:
            ended = "finished" if row.state == WorkState.DONE else "dropped"
            raise NotPossibleError(f"{row.title} was {ended}: nothing more can be sawn for it. Undo that first.")
        return row

    def slot(self, work_id: str, slot_id: int) -> SlotRow:
        """Return a slot of a work; raises UnknownError."""
        row = self.session.get(SlotRow, slot_id)
        if row is None or row.work != work_id:
            raise UnknownError(f"This work has no stick {slot_id}: load its page again.")
        return row

    def book(self, work_id: str) -> WorkBook:
        """Return everything known of a work as it is now."""
        self.session.flush()
        return book_of(self.session, work_row(self.session, work_id))

    def open_slot_of(self, number: int) -> SlotRow | None:
        """Return the open slot that a bar lies in."""
        self.session.flush()
        return self.session.scalar(select(SlotRow).where(SlotRow.bar == number, SlotRow.state == "open"))

    def put(
        self,
        section: Section,
        length: Fraction,
        *,
        origin: Origin,
        state: BarState,
        work: str | None = None,
        parent: int | None = None,
        usable: Fraction | None = None,
        trims: tuple[Fraction, Fraction] | None = None,
        place: str = "",
        remark: str = "",
        heat: str = "",
    ) -> BarRow:
        """Make a new bar with a number of its own."""
        row = BarRow(
            section_name=section.name,
            section_material=section.material,
            section=value_text(section),
            length=fraction_text(length),
            usable=None if usable is None or usable == length else fraction_text(usable),
            trims=pair_text(trims),
            place=place,
            remark=remark,
            heat=heat,
            origin=origin.value,
            parent=parent,
            state=state.value,
            work=work,
            made=self.now,
            version=1,
        )
        self.session.add(row)
        self.session.flush()
        return row

    def lie_about(self, bar: BarRow) -> None:
        """Count a bar's version up without altering anything else: something was cut from it."""
        bar.version += 1

    def seen(self, slot: SlotRow) -> tuple[Slot, Bar]:
        """Return a slot and its bar as values."""
        return slot_of(slot), bar_of(self.bar(slot.bar))

    def balance_with(self, account: Account) -> None:
        """Book on one account whatever the lines so far miss zero by."""
        self.session.flush()
        for section, amount in self.journal.missing().items():
            self.journal.book(section, account, -amount)


Act = Callable[[Desk], Told]


def run(engine: Engine, asked: Asked, act: Act, now: int) -> Outcome:
    """Do one event in one transaction, once for each key.

    Parameters
    ----------
    engine : Engine
        The database.
    asked : Asked
        What was told.
    act : callable
        Does it.
    now : int
        What time it is, in milliseconds since 1970.

    Raises
    ------
    ShopError
        It can't be done; nothing was changed.
    """
    writing = engine.execution_options(**{WRITES: True})
    with Session(writing, expire_on_commit=False) as session, session.begin():
        if asked.key is not None and (before := _before(session, asked)) is not None:
            return before
        desk = Desk(session, now)
        return _close(desk, asked, act(desk))


def _before(session: Session, asked: Asked) -> Outcome | None:
    """Return what the same event was answered when it was told first."""
    entry = session.scalar(select(EntryRow).where(EntryRow.key == asked.key))
    if entry is None:
        return None
    if entry.digest != asked.digest:
        raise NotPossibleError(
            f"The key {asked.key!r} was used for another event ({entry.words}): give each event a key of its own."
        )
    return _answer(entry, repeated=True)


def _close(desk: Desk, asked: Asked, told: Told) -> Outcome:
    """Write the journal and the ledger."""
    session, journal = desk.session, desk.journal
    session.flush()
    changes, lines = journal.changes(), journal.lines()
    works = [work for work_id in journal.works() if (work := session.get(WorkRow, work_id)) is not None]
    for work in works:
        work.version += 1
    about = asked.work or told.work
    books = [book_of(session, work) for work in works if work.state == WorkState.OPEN]
    flags = [flag for book in books for flag in flags_of(book)]
    lacking = [pair for book in books if book.work.id == about for pair in missing(book).items()]
    entry = EntryRow(
        at=desk.now,
        who=asked.who,
        kind=asked.kind,
        words=told.words,
        work=about,
        key=asked.key,
        digest=asked.digest,
        answer=_answer_text(flags, lacking, told.bars),
        undoes=told.undoes,
        undone_by=None,
    )
    session.add(entry)
    session.flush()
    _takes_effect(session, entry)
    for table, key, before, after in changes:
        session.add(ChangeRow(entry=entry.id, table_name=table, row=key, before=before, after=after))
    for line in lines:
        name, material = line.section
        session.add(
            LedgerRow(
                entry=entry.id,
                section_name=name,
                section_material=material,
                account=line.account.value,
                amount=fraction_text(line.amount),
            )
        )
    session.flush()
    return _answer(entry, repeated=False)


def _takes_effect(session: Session, entry: EntryRow) -> None:
    """Note that an entry takes another one back, and what that one took back counts again."""
    if entry.undoes is not None:
        target = session.get_one(EntryRow, entry.undoes)
        target.undone_by = entry.id
        _loses_effect(session, target)


def _loses_effect(session: Session, entry: EntryRow) -> None:
    if entry.undoes is not None:
        target = session.get_one(EntryRow, entry.undoes)
        target.undone_by = None
        _takes_effect(session, target)


def _answer_text(flags: list[Flag], lacking: list[tuple[str, int]], bars: tuple[int, ...]) -> str:
    listed = [
        {
            "work": flag.work,
            "slot": flag.slot,
            "number": flag.number,
            "copy": flag.copy,
            "bar": flag.bar,
            "short": fraction_text(flag.short),
            "words": flag.words,
        }
        for flag in flags
    ]
    return json.dumps({"flags": listed, "missing": lacking, "bars": bars}, ensure_ascii=False)


def _answer(entry: EntryRow, *, repeated: bool) -> Outcome:
    kept = json.loads(entry.answer)
    return Outcome(
        entry=entry.id,
        words=entry.words,
        flags=tuple(Flag(**{**flag, "short": fraction_of(flag["short"])}) for flag in kept["flags"]),
        missing=tuple((mark, count) for mark, count in kept["missing"]),
        bars=tuple(kept["bars"]),
        repeated=repeated,
    )
