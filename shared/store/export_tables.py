"""The tables of an export, in words for people: every column has its meaning beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from cutting.question.lengths import Unit, show_length
from shared.store.desk.tables import LedgerRow
from shared.store.records import moment
from shared.store.shop import ShopStore
from shared.store.tables import JobRow
from shared.store.values import fraction_of
from shared.work.rack.bars import bar_name
from shared.work.rack.columns import COLUMNS
from shared.work.rack.exchange import rack_rows
from shared.work.saw.work import MadeState, PlanInHand, Slot, WorkBook, revision_mark

__all__ = ["Table", "other_tables", "shop_tables"]

_ALL: Final = 10**9
_WORKS: Final = {
    "work": "its id, the job's",
    "title": "for people",
    "state": "open, done, or dropped (given up)",
    "revision": "in force, as a letter",
    "blade takes": "of steel in one cut, now",
    "drops kept from": "the shortest drop that goes back to the rack",
    "taken in hand": "UTC",
}
_LAYOUTS: Final = {
    "work": "its id",
    "layout": "number as printed",
    "stick": "which of those sawn alike, from 1",
    "revision": "in which it was planned, as a letter",
    "label": "of the bar it is sawn from",
    "section": "with its material",
    "length": "of the stick as planned",
    "state": "open, sawn, stopped (given up part way) or void (replaced by a later revision)",
    "parts": "marks in cutting order",
    "sawn": "how many of them are sawn",
}
_PARTS: Final = {
    "work": "its id",
    "mark": "which part",
    "layout": "number as printed",
    "stick": "which of those sawn alike",
    "position": "on the stick, from 1",
    "label": "of the bar it was sawn from",
    "heat number": "of that bar",
    "length": "along its centre line",
    "state": "good, spoilt, surplus (no longer asked for) or back (on the rack as a bar)",
    "became": "label of the bar it went to the rack as",
}
_HISTORY: Final = {
    "entry": "number, in the order written",
    "when": "UTC",
    "who": "person or device",
    "kind": "of event, one word",
    "what": "in a sentence",
    "work": "id of the work it belongs to",
    "pieces": "labels of the bars it touched",
    "takes back": "the entry that this one takes back",
    "taken back by": "the entry that takes this one back",
}
_LEDGER: Final = {
    "entry": "of the history",
    "section": "name",
    "material": "grade and finish",
    "account": "bought, counted, corrected; stock, parts; kerf, trim, scrap, lost",
    "amount": "mm along the mid-depth line; an entry's amounts add up to zero for each section",
}
_JOBS: Final = {
    "job": "its id, and the name of its folder in jobs",
    "title": "for people",
    "state": "waiting, working, done, failed or cancelled",
    "draft": "yes for one that was made while somebody was still typing",
    "asked": "UTC",
    "answered": "UTC",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Table:
    """One CSV file.

    Attributes
    ----------
    about : str
        What it holds.
    columns : mapping of str to str
        Headings, each with its meaning.
    rows : sequence
        As many texts in each as there are columns.
    """

    about: str
    columns: Mapping[str, str]
    rows: Sequence[Sequence[str]] = field(repr=False)


def shop_tables(shop: ShopStore, books: Sequence[WorkBook]) -> dict[str, Table]:
    """Return the tables of the shop's memory, by file name."""
    titles = {book.work.id: book.work.title for book in books}
    bars = shop.bars(states=None)
    return {
        "rack.csv": Table(
            about="Every piece of steel there ever was in the books, whatever has become of it",
            columns={each.col.value: each.meaning for each in COLUMNS},
            rows=rack_rows(bars, titles, COLUMNS),
        ),
        "works.csv": Table(about="Plans taken in hand", columns=_WORKS, rows=[_work(book.work) for book in books]),
        "layouts.csv": Table(
            about="Every stick to be sawn, or that was",
            columns=_LAYOUTS,
            rows=[_layout(slot) for book in books for slot in book.slots],
        ),
        "parts.csv": Table(
            about="Every part that was sawn, down to the heat number of its steel",
            columns=_PARTS,
            rows=[row for book in books for row in _parts(book)],
        ),
        "history.csv": Table(about="The journal: what happened, in order", columns=_HISTORY, rows=_entries(shop)),
    }


def _work(work: PlanInHand) -> tuple[str, ...]:
    return (
        work.id,
        work.title,
        work.state.value,
        work.mark,
        show_length(work.kerf, work.job.unit),
        show_length(work.keep_from, work.job.unit),
        f"{work.made:%Y-%m-%dT%H:%M:%SZ}",
    )


def _layout(slot: Slot) -> tuple[str, ...]:
    return (
        slot.work,
        str(slot.number),
        str(slot.copy),
        revision_mark(slot.revision),
        bar_name(slot.bar),
        slot.stick.section.label,
        show_length(slot.cut.length, slot.unit),
        slot.state.value,
        ", ".join(part.mark for part in slot.parts),
        str(slot.sawn),
    )


def _parts(book: WorkBook) -> Iterator[tuple[str, ...]]:
    slots = {slot.id: slot for slot in book.slots}
    for made in book.made:
        slot = slots[made.slot]
        yield (
            made.work,
            made.mark,
            str(slot.number),
            str(slot.copy),
            str(made.position),
            bar_name(made.bar),
            book.bar(made.bar).heat,
            show_length(made.length, slot.unit),
            made.state.value,
            bar_name(made.became) if made.state is MadeState.BACK and made.became is not None else "",
        )


def _entries(shop: ShopStore) -> list[tuple[str, ...]]:
    return [
        (
            str(entry.id),
            f"{entry.at:%Y-%m-%dT%H:%M:%SZ}",
            entry.who,
            entry.kind,
            entry.words,
            entry.work or "",
            ", ".join(bar_name(number) for number in entry.bars),
            "" if entry.undoes is None else str(entry.undoes),
            "" if entry.undone_by is None else str(entry.undone_by),
        )
        for entry in reversed(shop.history(limit=_ALL))
    ]


def other_tables(session: Session) -> dict[str, Table]:
    """Return the tables of the ledger and of the jobs, by file name."""
    lines = session.scalars(select(LedgerRow).order_by(LedgerRow.id))
    jobs = session.scalars(select(JobRow).order_by(JobRow.created, JobRow.id))
    return {
        "ledger.csv": Table(
            about="The accounts of steel: where every millimetre came from, where it is, where it went",
            columns=_LEDGER,
            rows=[
                (str(line.entry), line.section_name, line.section_material, line.account, _mm(fraction_of(line.amount)))
                for line in lines
            ],
        ),
        "jobs.csv": Table(about="Jobs that were planned", columns=_JOBS, rows=[_job(row) for row in jobs]),
    }


def _mm(amount: Fraction) -> str:
    return show_length(amount, Unit.MM).removesuffix(" mm")


def _job(row: JobRow) -> tuple[str, ...]:
    return (row.id, row.title, row.state, "yes" if row.draft else "", _when(row.created), _when(row.finished))


def _when(milliseconds: int | None) -> str:
    return "" if milliseconds is None else f"{moment(milliseconds):%Y-%m-%dT%H:%M:%SZ}"
