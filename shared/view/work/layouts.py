"""From the slots of a plan in hand to layouts on their way to paper, each under the number that it keeps."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from shared.view.sheet.frame import Numbered, drawn_sections
from shared.view.sheet.model import Box
from shared.view.work.bars import bar_text, stick_name
from shared.wording.plurals import listed, many, plural
from shared.wording.tape import Tape
from shared.work.replan.standing import Standing, judged
from shared.work.saw.work import MadeState, Slot, SlotState, WorkBook, revision_mark

__all__ = ["by_layout", "changed", "given_up", "held_back", "work_layouts"]


def by_layout(book: WorkBook) -> dict[int, tuple[Slot, ...]]:
    """Return the slots that parts are cut from, void ones included, by layout number, copies in order.

    Raises
    ------
    ValueError
        One number stands for layouts of two revisions: on paper nobody could tell them apart.
    """
    slots = sorted((slot for slot in book.slots if slot.cut.pieces), key=lambda slot: (slot.number, slot.copy))
    found = {number: tuple(group) for number, group in groupby(slots, key=lambda slot: slot.number)}
    for number, group in found.items():
        if len({slot.revision for slot in group}) > 1:
            raise ValueError(f"layout {number} was planned in two revisions; a layout number is never used again")
    return found


def held_back(book: WorkBook) -> Mapping[int, str]:
    """Return the open slots, by id, that aren't to be sawn as they are printed, and why."""
    return {each.slot.id: each.why for each in judged(book) if each.standing is not Standing.STAYS}


def changed(book: WorkBook, slot: Slot) -> bool:
    """Whether a stick's layout is new in the revision in force."""
    return slot.revision == book.work.revision


def work_layouts(book: WorkBook, tape: Tape, *, changed_only: bool = False) -> tuple[Numbered, ...]:
    """Return the layouts in force, those of one section together, by number.

    Parameters
    ----------
    book : WorkBook
        The work; its texts are printed as they are.
    tape : Tape
        How lengths are written.
    changed_only : bool
        Leave out what was on paper before the revision in force.
    """
    back = held_back(book)
    layouts = [
        _layout(book, tape, held, back)
        for group in by_layout(book).values()
        if (held := [slot for slot in group if slot.state is not SlotState.VOID])
        and (changed(book, held[0]) or not changed_only)
    ]
    first: dict[tuple[str, str], int] = {}
    for layout in layouts:
        first.setdefault(layout.cut.section.key, len(first))
    return tuple(sorted(layouts, key=lambda layout: (first[layout.cut.section.key], layout.numbers)))


def _layout(book: WorkBook, tape: Tape, slots: Sequence[Slot], back: Mapping[int, str]) -> Numbered:
    head = slots[0]
    return Numbered(
        cut=replace(head.cut, quantity=len(slots)),
        stick=head.stick,
        parts={part.mark: part for part in head.parts},
        named=f"Layout {head.number}",
        numbers=(head.number,),
        boxes=tuple(_box(book, slot, tape) for slot in slots),
        left=sum(slot.state is SlotState.OPEN and slot.id not in back for slot in slots),
        since=_since(book, head),
        hold=tuple(_hold(back, slots)),
        drawn=drawn_sections(head.cut, {part.mark: part.section for part in book.work.job.parts}),
    )


def _since(book: WorkBook, slot: Slot) -> str:
    if book.work.revision == 1:
        return ""
    return f"{'new' if changed(book, slot) else 'as'} in revision {revision_mark(slot.revision)}"


def _box(book: WorkBook, slot: Slot, tape: Tape) -> Box:
    states = {SlotState.SAWN: "sawn", SlotState.STOPPED: "stopped"}
    return Box(
        label=stick_name(slot),
        bar=bar_text(book, slot, tape),
        state=states.get(slot.state, "open"),
        said=_said(book, slot),
    )


def _said(book: WorkBook, slot: Slot) -> str:
    return ", ".join(_fate(book, slot))


def _fate(book: WorkBook, slot: Slot) -> Iterator[str]:
    if slot.state is SlotState.STOPPED:
        yield given_up(slot)
    elif slot.state is SlotState.OPEN and slot.sawn:
        yield f"{slot.sawn} of {many(len(slot.cut.pieces), 'part')} sawn"
    spoilt = [str(made.position) for made in book.made if made.slot == slot.id and made.state is MadeState.SPOILT]
    if spoilt:
        yield f"part {listed(spoilt)} spoilt"


def given_up(slot: Slot) -> str:
    """Say how far a stick was sawn that was given up."""
    return f"given up after part {slot.sawn}" if slot.sawn else "given up before its first part"


def _hold(back: Mapping[int, str], slots: Sequence[Slot]) -> Iterator[str]:
    """Yield why open sticks are not to be sawn as it is printed here: alike sticks for one reason together."""
    reasons: dict[str, list[str]] = {}
    for slot in slots:
        if slot.id in back:
            reasons.setdefault(back[slot.id], []).append(stick_name(slot))
    for why, sticks in reasons.items():
        which = f"{plural(len(sticks), 'stick')} {listed(sticks)}"
        yield f"Don't saw {which} as printed here, have the rest planned anew: {why}."
