"""A plan in hand as whoever stands at the saw needs it: what is sawn, what is next, what mustn't be sawn any more."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cutting.question.job import Job
from shared.view import LayoutView
from shared.view.present import layout_view
from shared.view.sheet.frame import spans
from shared.view.work.bars import drop_of
from shared.view.work.layouts import by_layout
from shared.view.work.sheet import job_on_paper, work_name
from shared.wording.plurals import listed, many, plural
from shared.wording.tape import Tape, tape_of
from shared.work.rack.bars import Bar, BarState
from shared.work.replan.standing import Judged, Standing, judged
from shared.work.saw.needs import flags_of
from shared.work.saw.tally import Tally, tally_of
from shared.work.saw.work import MadeState, Slot, SlotState, WorkBook, WorkState, revision_mark

__all__ = ["AtSaw", "LayoutAtSaw", "StickAtSaw", "at_saw", "outdated_paper"]


@dataclass(frozen=True, kw_only=True, slots=True)
class StickAtSaw:
    """One stick of a layout.

    Attributes
    ----------
    id : int
        Of its slot.
    copy : int
        Which of those sawn alike, from 1.
    bar : str
        Its label, such as ``D17``.
    state : SlotState
        How far it is.
    facts : tuple of str
        What is known of the steel: heat number, measured length, place.
    said : str
        What has become of it, where that is more than nothing.
    drop, drop_length : str
        Label of what was left of it, such as ``D31``, and its length; empty where nothing was kept.
    watch : str
        Why it can't be sawn to this layout as things are; empty where it can.
    locked : bool
        It can't, or it needn't any more.
    parts : int
        Parts sawn from it so far.
    made : tuple of int
        Positions of its good parts, of which one may still turn out to be spoilt.
    """

    id: int
    copy: int
    bar: str
    state: SlotState
    facts: tuple[str, ...]
    said: str
    drop: str
    drop_length: str
    watch: str
    locked: bool
    parts: int
    made: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class LayoutAtSaw:
    """One layout and its sticks.

    Attributes
    ----------
    number : int
        As printed.
    heading : str
        Which sticks, in words.
    view : LayoutView
        Its other texts; quantity counts every stick that wasn't replaced.
    since : str
        Of which revision it is, as a letter.
    sticks : tuple of StickAtSaw
        By number; those that were replaced too.
    gone : str
        Why nothing is to be sawn to it any more, in a sentence; empty where it is in force.
    left : int
        Sticks still to be sawn.
    """

    number: int
    heading: str
    view: LayoutView
    since: str
    sticks: tuple[StickAtSaw, ...]
    gone: str
    left: int


@dataclass(frozen=True, kw_only=True, slots=True)
class AtSaw:
    """A plan in hand, every text ready.

    Attributes
    ----------
    id, title, name : str
        The work's, and its plan's short name on paper.
    mark : str
        Letter of the revision in force.
    version : int
        Of the work.
    state : WorkState
        How far it is.
    unit, heading, kerf : str
        Of what is written; of running dimensions, in both systems where they are; what the blade takes, with its unit.
    said : str
        How much is left to be sawn.
    revision : str
        What the revision in force replaces, in a sentence; empty for the first.
    watch : tuple of str
        What makes planning the rest anew necessary.
    whole : bool
        Every part is made: there is nothing left to do.
    layouts : tuple of LayoutAtSaw
        Those in force, by number, and behind them those that are not any more.
    """

    id: str
    title: str
    name: str
    mark: str
    version: int
    state: WorkState
    unit: str
    heading: str
    kerf: str
    said: str
    revision: str
    watch: tuple[str, ...]
    whole: bool
    layouts: tuple[LayoutAtSaw, ...]


def at_saw(book: WorkBook) -> AtSaw:
    """Make the view of a work for the saw.

    Parameters
    ----------
    book : WorkBook
        Everything known of it.

    Raises
    ------
    ValueError
        The work's own records contradict themselves, see `shared.view.work.sheet.work_cut_sheet`.
    """
    look = _Look(book)
    layouts = [look.layout(slots) for slots in by_layout(book).values()]
    tally = tally_of(book)
    return AtSaw(
        id=book.work.id,
        title=book.work.title,
        name=work_name(book),
        mark=book.work.mark,
        version=book.work.version,
        state=book.work.state,
        unit=book.work.job.unit.value,
        heading=look.tape.heading,
        kerf=look.tape.fine.text(book.work.kerf),
        said=_said(layouts, tally),
        revision=_revision(book, layouts),
        watch=tuple(look.watch(tally)),
        whole=tally.good == tally.asked and not any(layout.left for layout in layouts),
        layouts=tuple(sorted(layouts, key=lambda layout: (bool(layout.gone), layout.number))),
    )


def _said(layouts: Sequence[LayoutAtSaw], tally: Tally) -> str:
    done = f"{tally.good} of {many(tally.asked, 'part')} {plural(tally.asked, 'is', 'are')} made"
    left = sum(layout.left for layout in layouts)
    return f"{done}; {many(left, 'stick')} to saw." if left else f"{done}; no stick is left to saw."


def _revision(book: WorkBook, layouts: Sequence[LayoutAtSaw]) -> str:
    """Say what the revision in force replaces."""
    if book.work.revision == 1:
        return ""
    voided = [layout for layout in layouts if any(stick.state is SlotState.VOID for stick in layout.sticks)]
    gone = [layout.number for layout in voided if not layout.left]
    struck = [
        f"stick {stick.copy} of layout {layout.number}"
        for layout in voided
        for stick in layout.sticks
        if stick.state is SlotState.VOID and layout.left
    ]
    new = [layout.number for layout in layouts if not layout.gone and layout.since == book.work.mark]
    replaced = [*([_named(gone)] if gone else []), *struck]
    said = f"Revision {book.work.mark} is in force"
    if replaced:
        said += f": {listed(replaced)} {plural(len(gone) + len(struck), 'is', 'are')} replaced"
    return f"{said}; new {plural(len(new), 'is', 'are')} {_named(new)}." if new else f"{said}."


def _named(numbers: Sequence[int]) -> str:
    return f"{plural(len(numbers), 'layout')} {spans(numbers)}"


class _Look:
    """One look at a work."""

    def __init__(self, book: WorkBook) -> None:
        self.book = book
        self.job: Job = job_on_paper(book)
        self.tape: Tape = tape_of(self.job)
        self.judged: Sequence[Judged] = judged(book)
        self.flags = {flag.slot: flag for flag in flags_of(book)}
        self.now = {
            slot.bar: slot.number for slot in book.slots if slot.cut.pieces and slot.state is not SlotState.VOID
        }

    def watch(self, tally: Tally) -> Iterator[str]:
        """Yield every reason to plan the rest anew."""
        if self.book.work.state is not WorkState.OPEN:
            return
        yield from (flag.words for flag in self.flags.values())
        yield from _outdated(self.judged)
        missing = [f"{each.missing} × {each.part.mark}" for each in tally.parts if each.missing]
        if missing:
            yield f"On no layout: {listed(missing)}."

    def layout(self, slots: Sequence[Slot]) -> LayoutAtSaw:
        """Return one layout with its sticks."""
        head = slots[0]
        held = [slot for slot in slots if slot.state is not SlotState.VOID]
        cut = replace(head.cut, quantity=max(len(held), 1))
        parts = {part.mark: part for part in head.parts}
        sticks = tuple(self._stick(slot) for slot in slots)
        view = layout_view(replace(self.job, unit=head.unit), head.number, cut, head.stick, parts)
        alike = ", cut alike" if len(held) > 1 else ""
        return LayoutAtSaw(
            number=head.number,
            heading=f"{many(cut.quantity, 'stick')} of {view.section}, {view.length.full}{alike}",
            view=view,
            since=revision_mark(head.revision),
            sticks=sticks,
            gone="" if held else f"Layout {head.number} was replaced. Saw nothing to it.",
            left=sum(stick.state is SlotState.OPEN for stick in sticks),
        )

    def _stick(self, slot: Slot) -> StickAtSaw:
        bar = self.book.bar(slot.bar)
        left = drop_of(self.book, slot)
        return StickAtSaw(
            id=slot.id,
            copy=slot.copy,
            bar=bar.name,
            state=slot.state,
            facts=tuple(self._facts(slot, bar)),
            said=self._said(slot),
            drop="" if left is None else left.name,
            drop_length="" if left is None else self.tape.text(left.length),
            watch=self.flags[slot.id].words if slot.id in self.flags else "",
            locked=slot.state is not SlotState.OPEN or slot.id in self.flags,
            parts=slot.sawn,
            made=tuple(
                made.position for made in self.book.made if made.slot == slot.id and made.state is MadeState.GOOD
            ),
        )

    def _facts(self, slot: Slot, bar: Bar) -> Iterator[str]:
        if bar.heat:
            yield f"heat {bar.heat}"
        if bar.length != slot.cut.length:
            yield f"measured {self.tape.text(bar.length)}"
        if slot.state is SlotState.OPEN and not slot.sawn:
            if bar.state is BarState.EXPECTED:
                yield "not come yet"
            elif bar.place:
                yield bar.place
        if bar.remark:
            yield bar.remark

    def _said(self, slot: Slot) -> str:
        if slot.state is SlotState.SAWN:
            return "sawn"
        if slot.state is SlotState.STOPPED:
            return f"given up after {many(slot.sawn, 'part')}: saw no more from it here"
        if slot.state is SlotState.VOID:
            now = self.now.get(slot.bar)
            return "not sawn any more" if now is None else f"sawn to layout {now} now, not to this one"
        return f"{slot.sawn} of {many(len(slot.cut.pieces), 'part')} sawn" if slot.sawn else ""


def outdated_paper(book: WorkBook) -> tuple[str, ...]:
    """Say which layouts still fit while their paper says something wrong, such as dimensions for another blade."""
    return tuple(_outdated(judged(book))) if book.work.state is WorkState.OPEN else ()


def _outdated(judgements: Sequence[Judged]) -> Iterator[str]:
    for why, numbers in _by_reason(judgements).items():
        yield f"{_named(numbers).capitalize()}: {why}."


def _by_reason(judgements: Sequence[Judged]) -> dict[str, list[int]]:
    """Layouts that still fit but whose paper says something wrong, by what is wrong."""
    found: dict[str, Counter[int]] = {}
    for each in judgements:
        if each.standing is Standing.REPRINT:
            found.setdefault(each.why, Counter())[each.slot.number] += 1
    return {why: sorted(numbers) for why, numbers in found.items()}
