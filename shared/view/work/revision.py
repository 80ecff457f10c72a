"""What a revision says at the head of its sheets: which paper to throw away, which still holds, which is new."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shared.view.sheet.frame import spans
from shared.view.sheet.model import RevisionNote
from shared.view.work.bars import stick_name
from shared.view.work.layouts import by_layout, changed, given_up, held_back
from shared.wording.plurals import listed, plural
from shared.work.saw.work import Revision, Slot, SlotState, WorkBook, WorkState, revision_mark

__all__ = ["replaces", "revision_note"]

_ENDED = {
    WorkState.DONE: "This work is finished: nothing is to be sawn from these sheets.",
    WorkState.DROPPED: "This work was given up: saw nothing from these sheets.",
}


def replaces(book: WorkBook) -> str:
    """Say which revision the one in force replaces: ``replaces A``; empty for the first."""
    return f"replaces {revision_mark(book.work.revision - 1)}" if book.work.revision > 1 else ""


def revision_note(book: WorkBook, *, changed_only: bool) -> RevisionNote:
    """Return the head of a work's sheets.

    Parameters
    ----------
    book : WorkBook
        The work.
    changed_only : bool
        Only layouts that are new in this revision are printed with it.
    """
    made = _made(book)
    day = [] if made is None else [made.made.date().isoformat()]
    words = ", ".join([f"Revision {book.work.mark}", *day, *([replaces(book)] if replaces(book) else [])])
    return RevisionNote(mark=book.work.mark, words=words, lines=tuple(_lines(book, changed_only=changed_only)))


def _made(book: WorkBook) -> Revision | None:
    return next((each for each in book.revisions if each.number == book.work.revision), None)


def _lines(book: WorkBook, *, changed_only: bool) -> Iterator[str]:
    if book.work.state in _ENDED:
        yield _ENDED[book.work.state]
    if book.work.revision == 1:
        return
    layouts = by_layout(book)
    void = {number: group for number, group in layouts.items() if _all_void(group)}
    held = {number: group for number, group in layouts.items() if number not in void}
    yield _thrown_away(book, void, changed_only=changed_only)
    old = {number: group for number, group in held.items() if not changed(book, group[0])}
    yield from _still_good(book, old, "Still good" if changed_only else "As before")
    yield from _struck_out(held)
    new = [number for number in held if number not in old]
    yield f"New in revision {book.work.mark}: {_named(new)}." if new else "Nothing new is to be sawn."


def _all_void(group: Sequence[Slot]) -> bool:
    return all(slot.state is SlotState.VOID for slot in group)


def _thrown_away(book: WorkBook, void: dict[int, tuple[Slot, ...]], *, changed_only: bool) -> str:
    by_revision: dict[int, list[int]] = {}
    for number, group in void.items():
        by_revision.setdefault(group[0].revision, []).append(number)
    which = "; ".join(
        f"{_named(numbers)} of revision {revision_mark(revision)}" for revision, numbers in sorted(by_revision.items())
    )
    if changed_only:
        return f"Throw away: {which}." if which else "Throw away: nothing."
    earlier = listed([revision_mark(number) for number in range(1, book.work.revision)])
    every = f"Throw away: every sheet of revision {earlier}; this is the whole cut sheet."
    return f"{every} Void: {which}." if which else every


def _still_good(book: WorkBook, old: dict[int, tuple[Slot, ...]], word: str) -> Iterator[str]:
    """Say which layouts on earlier paper hold, and which of them are sawn already."""
    back = held_back(book)
    fallen = {slot.number for slot in book.slots if slot.id in back}
    good = [number for number in old if number not in fallen]
    done = [number for number in good if not any(slot.state is SlotState.OPEN for slot in old[number])]
    sawn = f" (nothing is left to saw of {spans(done)})" if done else ""
    yield f"{word}: {_named(good)}{sawn}." if good else f"{word}: none of the earlier layouts."
    if fallen & set(old):
        yield f"To be planned anew, don't saw from it as printed: {_named(sorted(fallen & set(old)))}."


def _struck_out(held: dict[int, tuple[Slot, ...]]) -> Iterator[str]:
    """Say which sticks of layouts that still hold are not to be sawn, or not to their end."""
    gone = [stick_name(slot) for group in held.values() for slot in group if slot.state is SlotState.VOID]
    if gone:
        yield f"Strike out, not to be sawn any more: {plural(len(gone), 'stick')} {listed(gone)}."
    for group in held.values():
        for slot in group:
            if slot.state is SlotState.STOPPED and slot.sawn < len(slot.cut.pieces):
                yield f"Saw no more from stick {stick_name(slot)}: it was {given_up(slot)}."


def _named(numbers: Sequence[int]) -> str:
    return f"{plural(len(numbers), 'layout')} {spans(numbers)}"
