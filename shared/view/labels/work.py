"""Labels of a plan in hand: its parts, and the drops with the numbers they have in the books, all with the revision."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from shared.view.drawing import whole_drop
from shared.view.issue import Issue
from shared.view.labels.bars import bar_label
from shared.view.labels.parts import part_label
from shared.view.labels.printed import Label, Labels, code_text, label_set
from shared.view.labels.sizes import LabelSheet
from shared.view.sheet.frame import drawn_sections
from shared.view.work.bars import drop_of, stick_name
from shared.view.work.layouts import by_layout, changed
from shared.view.work.sheet import work_name, work_tape
from shared.wording.tape import Tape
from shared.work.rack.bars import BarState
from shared.work.saw.work import MadeState, Slot, SlotState, WorkBook

__all__ = ["work_labels"]

_STILL_THERE: Final = frozenset({BarState.EXPECTED, BarState.FREE, BarState.RESERVED})


def work_labels(
    book: WorkBook, issue: Issue, sheet: LabelSheet, used: int = 0, *, changed_only: bool = False
) -> Labels:
    """Make the labels of a work, to be written by `shared.writers.pdf.labels_pdf`.

    Sticks that were replaced have none, nor have parts that were spoilt or are asked for no more. The drop of a stick
    that is sawn has its number; one that isn't yet has a blank for it.

    Parameters
    ----------
    book : WorkBook
        The work.
    issue : Issue
        The day of printing; its revision is not looked at, since the work knows its own.
    sheet : LabelSheet
        What to print on.
    used : int
        Labels missing on the first sheet, from 0 to all but one.
    changed_only : bool
        Only labels of layouts that are new in the revision in force.

    Raises
    ------
    ValueError
        `used` is negative, or leaves no label on the first sheet; or as in `shared.writers.pdf.work_cut_sheet`.
    """
    title = book.work.title or "Untitled job"
    return label_set(_all(book, issue, changed_only=changed_only), title, issue.date, sheet, used)


def _all(book: WorkBook, issue: Issue, *, changed_only: bool) -> Iterator[Label]:
    plan, tape = f"plan {work_name(book)} revision {book.work.mark}", work_tape(book)
    for group in by_layout(book).values():
        for slot in group:
            if slot.state is not SlotState.VOID and (changed(book, slot) or not changed_only):
                yield from _of_stick(book, slot, plan, tape)
                yield from _of_drop(book, slot, plan, tape, issue)
    for slot in book.slots:
        bar = book.bar(slot.bar)
        if not slot.cut.pieces and bar.state in _STILL_THERE and (changed(book, slot) or not changed_only):
            yield bar_label(bar, tape, plan)


def _of_stick(book: WorkBook, slot: Slot, plan: str, tape: Tape) -> Iterator[Label]:
    bar = book.bar(slot.bar)
    steel = f"{bar.name}, heat {bar.heat}" if bar.heat else bar.name
    drawn = drawn_sections(slot.cut, {part.mark: part.section for part in book.work.job.parts})
    good = {made.position for made in book.made if made.slot == slot.id and made.state is MadeState.GOOD}
    for position, (piece, part) in enumerate(zip(slot.cut.pieces, slot.parts, strict=True), start=1):
        if position in good or (slot.state is SlotState.OPEN and position > slot.sawn):
            place = f"stick {stick_name(slot)}, piece {position}, {steel}, {plan}"
            yield part_label(piece, part, place, book.work.title, tape, drawn=drawn.get(piece.mark, ""))


def _of_drop(book: WorkBook, slot: Slot, plan: str, tape: Tape, issue: Issue) -> Iterator[Label]:
    origin = f"from stick {stick_name(slot)}, {book.bar(slot.bar).name}, {plan}"
    if slot.state is not SlotState.OPEN:
        drop = drop_of(book, slot)
        if drop is not None and drop.state in _STILL_THERE:
            yield bar_label(drop, tape, origin)
        return
    whole = whole_drop(slot.cut, slot.stick)
    if whole and whole >= book.work.keep_from:
        yield _numberless(slot, tape.text(whole), origin, issue)


def _numberless(slot: Slot, length: str, origin: str, issue: Issue) -> Label:
    """A drop that will have its number once its stick is ticked: with a blank to write it in."""
    at_least = "" if slot.stick.usable is None else "at least "
    section, day = slot.cut.section.label, issue.date.isoformat()
    return Label(
        head="D______",
        length=at_least + length,
        section=section,
        lines=("DROP: write its number in when the stick is ticked", day, origin),
        code=code_text("DROP", section, at_least + length, day, origin),
    )
