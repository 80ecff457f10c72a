"""From the mark on a part to the heat number of the steel it was cut from, over every drop in between."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from itertools import chain, pairwise
from typing import Final

from cutting.question.job import Section
from shared.wording.plurals import many
from shared.work.rack.bars import Bar, Origin, bar_name
from shared.work.saw.work import MadeState, Slot, SlotState, WorkBook, revision_mark

__all__ = ["NO_HEAT", "TraceRow", "TraceState", "ancestry", "heat_of", "trace_doubts", "trace_rows", "unplanned"]


NO_HEAT: Final = "not recorded"
"""Stands where there is no heat number, so that nobody takes a blank for an oversight."""


class TraceState(StrEnum):
    """What has become of one piece."""

    GOOD = "sawn"
    TO_SAW = "not sawn yet"
    SPOILT = "spoilt"
    SURPLUS = "not asked for any more"
    BACK = "on the rack as a bar"


_STATES = {
    MadeState.GOOD: TraceState.GOOD,
    MadeState.SPOILT: TraceState.SPOILT,
    MadeState.SURPLUS: TraceState.SURPLUS,
    MadeState.BACK: TraceState.BACK,
}
_WANTED = (TraceState.GOOD, TraceState.TO_SAW)


@dataclass(frozen=True, kw_only=True, slots=True)
class TraceRow:
    """One piece of one part, sawn or laid out.

    Attributes
    ----------
    mark : str
        The part's mark.
    piece : int or None
        Which piece of that mark, from 1; None for a piece that doesn't count any more.
    section : Section
        What it is cut from.
    length : Fraction
        mm, as asked for.
    state : TraceState
        What has become of it.
    layout, copy, position : int
        Where it was sawn, or will be: layout number, stick among alike ones, place on the stick.
    revision : str
        Letter of the revision that the layout was planned in.
    bar : int
        The bar it was sawn from.
    heat : str
        Heat number of that bar, or where it has none of the nearest bar that it was cut from; empty where not recorded.
    ancestors : tuple of int
        The bars that this bar was cut from, the nearest first, as far as the work knows them.
    bought : bool
        Whether the line of bars ends at one that came from a yard; what was on the rack before is only as good as
        what was written down of it.
    """

    mark: str
    piece: int | None
    section: Section
    length: Fraction
    state: TraceState
    layout: int
    copy: int
    position: int
    revision: str
    bar: int
    heat: str
    ancestors: tuple[int, ...]
    bought: bool

    @property
    def stick(self) -> str:
        """The stick as printed on the cut sheet: ``3.2``."""
        return f"{self.layout}.{self.copy}"


def trace_rows(book: WorkBook) -> tuple[TraceRow, ...]:
    """Trace every piece of a work.

    Returns
    -------
    tuple of TraceRow
        In the order of the parts list in force, then of marks that aren't on it any more; there the pieces that are
        good or still to be sawn, by layout, copy and position, and behind them what was spoilt or isn't asked for.
    """
    order = {part.mark: place for place, part in enumerate(book.work.job.parts)}
    slots = {slot.id: slot for slot in book.slots}
    rows = [
        *(_row(book, slots[made.slot], made.position, made.bar, _STATES[made.state]) for made in book.made),
        *chain.from_iterable(_to_saw(book, slot) for slot in book.slots),
    ]
    marks = sorted({row.mark for row in rows} - order.keys())
    order |= {mark: len(order) + place for place, mark in enumerate(marks)}
    rows.sort(key=lambda row: (order[row.mark], row.state not in _WANTED, row.layout, row.copy, row.position))
    return tuple(_numbered(rows))


def _numbered(rows: list[TraceRow]) -> Iterator[TraceRow]:
    counts: Counter[str] = Counter()
    for row in rows:
        if row.state not in _WANTED:
            yield row
            continue
        counts[row.mark] += 1
        yield replace(row, piece=counts[row.mark])


def _to_saw(book: WorkBook, slot: Slot) -> Iterator[TraceRow]:
    for index in range(slot.sawn, len(slot.cut.pieces)) if slot.state is SlotState.OPEN else ():
        yield _row(book, slot, index + 1, slot.bar, TraceState.TO_SAW)


def _row(book: WorkBook, slot: Slot, position: int, number: int, state: TraceState) -> TraceRow:
    part = slot.parts[position - 1]
    line = (book.bar(number), *ancestry(book, number))
    return TraceRow(
        mark=part.mark,
        piece=None,
        section=slot.cut.section,
        length=part.length,
        state=state,
        layout=slot.number,
        copy=slot.copy,
        position=position,
        revision=revision_mark(slot.revision),
        bar=number,
        heat=heat_of(book, number),
        ancestors=tuple(bar.number for bar in line[1:]),
        bought=line[-1].origin is Origin.BOUGHT,
    )


def ancestry(book: WorkBook, number: int) -> tuple[Bar, ...]:
    """Return the bars that a bar was cut from, the nearest first, as far as the work knows them."""
    known = {bar.number: bar for bar in book.bars}
    found: list[Bar] = []
    parent = known[number].parent
    while parent in known:
        found.append(known[parent])
        parent = found[-1].parent
    return tuple(found)


def heat_of(book: WorkBook, number: int) -> str:
    """Return a bar's heat number, or where it has none that of the nearest bar it was cut from; empty for neither."""
    line = (book.bar(number), *ancestry(book, number))
    return next((bar.heat for bar in line if bar.heat), "")


def unplanned(book: WorkBook) -> tuple[tuple[str, int], ...]:
    """Return how many pieces of which mark are asked for and neither good nor on any stick, in the order of the job."""
    there = Counter(row.mark for row in trace_rows(book) if row.state in _WANTED)
    lacking = ((part.mark, part.quantity - there[part.mark]) for part in book.work.job.parts)
    return tuple((mark, count) for mark, count in lacking if count > 0)


def trace_doubts(book: WorkBook) -> tuple[str, ...]:
    """Say plainly what a trace list can't answer for, a sentence each; empty where every heat number is there."""
    rows = trace_rows(book)
    return tuple(chain(_missing_heats(rows), _contradictions(book, rows), _not_done(book, rows)))


def _missing_heats(rows: tuple[TraceRow, ...]) -> Iterator[str]:
    done = [row for row in rows if row.state is TraceState.GOOD]
    bare = [row for row in done if not row.heat]
    if bare:
        bars = ", ".join(bar_name(number) for number in sorted({row.bar for row in bare}))
        sawn = many(len(done), "part")
        yield f"No heat number was recorded for {len(bare)} of {sawn} sawn; they were cut from {bars}."
    loose = sorted({row.bar for row in done if row.heat and not row.bought})
    if loose:
        bars = ", ".join(bar_name(number) for number in loose)
        yield f"From the rack, not from a yard's delivery, with the heat number that somebody wrote down then: {bars}."


def _contradictions(book: WorkBook, rows: tuple[TraceRow, ...]) -> Iterator[str]:
    for number in sorted({row.bar for row in rows}):
        line = (book.bar(number), *ancestry(book, number))
        named = [bar for bar in line if bar.heat]
        for younger, older in pairwise(named):
            if younger.heat != older.heat:
                yield (
                    f"{younger.name} has heat number {younger.heat} in the books, but it was cut from {older.name}, "
                    f"which has {older.heat}: find out which is right."
                )


def _not_done(book: WorkBook, rows: tuple[TraceRow, ...]) -> Iterator[str]:
    waiting = sum(row.state is TraceState.TO_SAW for row in rows)
    if waiting:
        yield f"Not sawn yet: {many(waiting, 'part')}; their bars are those planned."
    lacking = unplanned(book)
    if lacking:
        yield f"On no stick yet, to be planned: {', '.join(f'{count} × {mark}' for mark, count in lacking)}."
