"""A work in hand as the page shows it: every text ready, nothing left to compute."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from api.page.work.rows import (
    Awaited,
    Kind,
    Layout,
    MarkRow,
    PieceRow,
    RevisionRow,
    StickRow,
    Surplus,
    WorkRow,
    WorkView,
)
from api.service.measured import bare_text
from cutting.answer.plan import Piece
from shared.view.at_saw import outdated_paper
from shared.wording.plurals import listed, many, plural
from shared.wording.tape import Tape, tape_of
from shared.work.rack.bars import Bar, BarState, bar_name
from shared.work.saw.tally import Tally, tally_of
from shared.work.saw.work import Flag, Made, MadeState, Slot, SlotState, WorkBook, WorkState, revision_mark

__all__ = ["work_row", "work_view"]

_SAID = {
    SlotState.OPEN: "to be sawn",
    SlotState.SAWN: "sawn",
    SlotState.STOPPED: "given up part way",
    SlotState.VOID: "replaced",
}
_WORK_SAID = {WorkState.DONE: "Finished", WorkState.DROPPED: "Given up"}


def work_row(book: WorkBook) -> WorkRow:
    """Show a work in a line."""
    return WorkRow(
        id=book.work.id,
        title=book.work.title or "Without a title",
        mark=book.work.mark,
        words=_headline(book, tally_of(book)),
        open=book.work.state is WorkState.OPEN,
        since=f"{book.work.made.astimezone():%Y-%m-%d %H:%M}",
    )


def work_view(book: WorkBook, flags: Sequence[Flag]) -> WorkView:
    """Show everything about a work.

    Parameters
    ----------
    book : WorkBook
        What is known of it.
    flags : sequence of Flag
        Its sticks that no longer fit.
    """
    tally = tally_of(book)
    work = book.work
    is_open = work.state is WorkState.OPEN
    return WorkView(
        id=work.id,
        title=work.title or "Without a title",
        mark=work.mark,
        version=work.version,
        open=is_open,
        headline=_headline(book, tally),
        sentences=tuple(_sentences(book, tally)),
        share=(tally.good, tally.asked),
        wants=(*(flag.words for flag in flags), *outdated_paper(book)) if is_open else (),
        missing=_missing(tally) if is_open else "",
        awaited=tuple(_awaited(book)) if is_open else (),
        layouts=tuple(_layouts(book)),
        replaced=_replaced(book),
        marks=tuple(_marks(book, tally)),
        surplus=tuple(_surplus(book)),
        revisions=tuple(_revisions(book)),
        unit=str(work.job.unit),
        kerf=bare_text(work.kerf, work.job.unit),
        changed=work.revision > 1,
    )


def _headline(book: WorkBook, tally: Tally) -> str:
    made = f"{tally.good} of {many(tally.asked, 'part')} made"
    if book.work.state is not WorkState.OPEN:
        return f"{_WORK_SAID[book.work.state]}: {made}."
    if tally.asked and tally.good == tally.asked:
        return f"All {many(tally.asked, 'part')} are made."
    if not tally.sawn and not tally.good:
        return f"Nothing is sawn yet: {many(tally.sticks, 'stick')} for {many(tally.asked, 'part')}."
    return f"{tally.sawn} of {many(tally.sticks, 'stick')} sawn, {made}."


def _sentences(book: WorkBook, tally: Tally) -> Iterator[str]:
    expected = sum(1 for bar in book.bars if bar.state is BarState.EXPECTED)
    if expected:
        verb = "hasn't" if expected == 1 else "haven't"
        yield f"{many(expected, 'stick')} that {plural(expected, 'was', 'were')} bought {verb} come yet."
    spoilt = sum(each.spoilt for each in tally.parts)
    if spoilt:
        yield f"{many(spoilt, 'part')} {plural(spoilt, 'was', 'were')} spoilt."
    yield f"One cut takes {tape_of(book.work.job).fine.text(book.work.kerf)}."


def _missing(tally: Tally) -> str:
    lacking = [f"{each.missing} of {each.part.mark}" for each in tally.parts if each.missing]
    return f"No layout gives {listed(lacking)}." if lacking else ""


def _awaited(book: WorkBook) -> Iterator[Kind]:
    tape = tape_of(book.work.job)
    yards = {slot.bar: slot.stick.yard for slot in book.slots}
    bars = sorted((bar for bar in book.bars if bar.state is BarState.EXPECTED), key=lambda bar: _alike(bar, yards))
    for index, (_, inner) in enumerate(groupby(bars, key=lambda bar: _alike(bar, yards)[:4]), start=1):
        alike = list(inner)
        first = alike[0]
        yield Kind(
            key=str(index),
            what=f"{len(alike)} x {first.section.label}, {tape.stick(first.length)}",
            yard=yards.get(first.number, ""),
            bars=tuple(
                Awaited(number=bar.number, name=bar.name, layouts=_layouts_of(book, bar.number)) for bar in alike
            ),
        )


def _alike(bar: Bar, yards: dict[int, str]) -> tuple[str, str, str, str, int]:
    return (yards.get(bar.number, ""), bar.section.name, bar.section.material, str(-bar.length), bar.number)


def _layouts_of(book: WorkBook, number: int) -> str:
    slots = [slot for slot in book.slots if slot.bar == number and slot.state is not SlotState.VOID]
    cut = [f"layout {slot.number}" for slot in slots if slot.cut.pieces]
    return listed(cut) if cut else "for the rack"


def _layouts(book: WorkBook) -> Iterator[Layout]:
    tape = tape_of(book.work.job)
    shown = [slot for slot in book.slots if slot.cut.pieces and slot.state is not SlotState.VOID]
    for number, inner in groupby(shown, key=lambda slot: slot.number):
        alike = tuple(inner)
        first = alike[0]
        total = max(slot.copy for slot in book.slots if slot.number == number)
        parts = Counter(piece.mark for piece in first.cut.pieces)
        words = listed([f"{count} x {mark}" for mark, count in parts.items()])
        yield Layout(
            number=number,
            mark=revision_mark(first.revision),
            heading=f"{first.cut.section.label}, {tape.stick(first.stick.length)}: {words}",
            sticks=tuple(_stick(book, slot, total, tape) for slot in alike),
            done=all(slot.state is not SlotState.OPEN for slot in alike),
        )


def _stick(book: WorkBook, slot: Slot, total: int, tape: Tape) -> StickRow:
    bar = book.bar(slot.bar)
    return StickRow(
        slot=slot.id,
        which=f"stick {slot.copy} of {total}" if total > 1 else "stick",
        bar=bar.name,
        bar_number=bar.number,
        about="; ".join(_about(bar, slot, tape)),
        state=_state(slot, bar),
        open=slot.state is SlotState.OPEN,
        come=bar.state is BarState.RESERVED,
        pieces=tuple(_piece(index, piece, slot, tape) for index, piece in enumerate(slot.cut.pieces, start=1)),
        measure=bare_text(bar.length, book.work.job.unit),
    )


def _about(bar: Bar, slot: Slot, tape: Tape) -> Iterator[str]:
    if bar.length != slot.stick.length and bar.state is not BarState.CUT:
        yield f"measured {tape.text(bar.length)}"
    if bar.heat:
        yield f"heat {bar.heat}"
    if bar.place:
        yield bar.place


def _state(slot: Slot, bar: Bar) -> str:
    if slot.state is SlotState.OPEN and slot.sawn:
        return f"{slot.sawn} of {len(slot.cut.pieces)} parts sawn"
    if slot.state is SlotState.OPEN and bar.state is BarState.EXPECTED:
        return "hasn't come yet"
    return _SAID[slot.state]


def _piece(position: int, piece: Piece, slot: Slot, tape: Tape) -> PieceRow:
    return PieceRow(
        position=position, words=f"{position}. {piece.mark}, {tape.text(piece.length)}", sawn=position <= slot.sawn
    )


def _replaced(book: WorkBook) -> str:
    standing = {slot.number for slot in book.slots if slot.state is not SlotState.VOID}
    gone = sorted({slot.number for slot in book.slots if slot.state is SlotState.VOID} - standing)
    if not gone:
        return ""
    names = listed([str(number) for number in gone])
    return f"Replaced, throw their paper away: {plural(len(gone), 'layout')} {names}."


def _marks(book: WorkBook, tally: Tally) -> Iterator[MarkRow]:
    tape = tape_of(book.work.job)
    for each in tally.parts:
        other = [(each.spoilt, "spoilt"), (each.surplus, "made for nothing"), (each.unasked, "too many")]
        yield MarkRow(
            mark=each.part.mark,
            section=each.part.section.label,
            length=tape.text(each.part.length),
            asked=each.part.quantity,
            good=each.good,
            planned=each.planned,
            missing=each.missing,
            other=", ".join(f"{number} {what}" for number, what in other if number),
        )


def _surplus(book: WorkBook) -> Iterator[Surplus]:
    tape = tape_of(book.work.job)
    for made in book.made:
        if made.state is MadeState.SURPLUS:
            yield Surplus(id=made.id, words=_made_words(book, made, tape))


def _made_words(book: WorkBook, made: Made, tape: Tape) -> str:
    section = book.bar(made.bar).section.label
    return f"{made.mark}: {section}, {tape.text(made.length)}, cut from {bar_name(made.bar)}"


def _revisions(book: WorkBook) -> Iterable[RevisionRow]:
    return (
        RevisionRow(
            mark=each.mark,
            reason=each.reason,
            when=f"{each.made.astimezone():%Y-%m-%d %H:%M}",
            in_force=each.number == book.work.revision,
        )
        for each in reversed(book.revisions)
    )
