"""Which open layouts of a work still stand: their sticks suffice, their parts are asked for, their paper is right."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from cutting.question.job import Job, Part
from shared.wording.tape import tape_of
from shared.work.rack.bars import Bar, BarState
from shared.work.saw.needs import same_piece
from shared.work.saw.sawing import saw, shortage
from shared.work.saw.work import Slot, SlotState, WorkBook

__all__ = ["Judged", "Standing", "judged", "open_slots", "standing", "wider_trim"]


_FATES: Final = {
    BarState.LOST: "lost",
    BarState.SCRAP: "scrapped",
    BarState.CANCELLED: "not coming",
    BarState.CUT: "cut up",
}


class Standing(StrEnum):
    """What can be made of an open layout."""

    STAYS = "stays"
    """It can be sawn as it is printed."""
    REPRINT = "reprint"
    """The same parts still fit on the same stick, but what its paper says of them has changed."""
    FALLS = "falls"
    """It can't be sawn any more, or nobody needs all of its parts."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Judged:
    """One open layout and what can be made of it.

    Attributes
    ----------
    slot : Slot
        The layout on its stick.
    bar : Bar
        Its steel as it is now.
    standing : Standing
        What can be made of it.
    why : str
        Why it doesn't stay, to be set behind its name; empty where it stays.
    """

    slot: Slot
    bar: Bar
    standing: Standing
    why: str = ""

    @property
    def marks(self) -> Counter[str]:
        """Parts still to be sawn from it, by mark."""
        return Counter(piece.mark for piece in self.slot.left)


def open_slots(book: WorkBook) -> tuple[Slot, ...]:
    """Return the sticks that still have parts to be sawn from them, in the order of the book."""
    return tuple(slot for slot in book.slots if slot.state is SlotState.OPEN and slot.left)


def judged(book: WorkBook) -> tuple[Judged, ...]:
    """Look at every open layout by itself: at its stick, the blade, and the parts asked for now."""
    parts = {part.mark: part for part in book.work.job.parts}
    return tuple(_judge(slot, book.bar(slot.bar), book.work.job, parts) for slot in open_slots(book))


def _judge(slot: Slot, bar: Bar, job: Job, parts: dict[str, Part]) -> Judged:
    reasons = list(_failures(slot, bar, job, parts))
    if reasons:
        return Judged(slot=slot, bar=bar, standing=Standing.FALLS, why=reasons[0])
    moved = _moved(slot, bar, job, parts)
    if moved:
        return Judged(slot=slot, bar=bar, standing=Standing.REPRINT, why=moved)
    return Judged(slot=slot, bar=bar, standing=Standing.STAYS)


def _failures(slot: Slot, bar: Bar, job: Job, parts: dict[str, Part]) -> Iterator[str]:
    if bar.state not in {BarState.EXPECTED, BarState.RESERVED} or bar.work != slot.work:
        yield f"the stick is {_FATES.get(bar.state, 'no longer held for it')}"
        return
    for old in dict.fromkeys(slot.parts[slot.sawn :]):
        now = parts.get(old.mark)
        if now is None:
            yield f"{old.mark} is no longer asked for"
        elif not same_piece(old, now):
            yield f"{old.mark} is another part since the drawing changed"
    lack = shortage(slot, bar, job.saw.kerf) + wider_trim(slot, job.saw.kerf)
    if lack > 0:
        yield f"the stick is {tape_of(job).text(lack)} too short"


def wider_trim(slot: Slot, kerf: Fraction) -> Fraction:
    """Return what the first trim takes more (mm) where the blade has become wider than what was to be trimmed."""
    trim = slot.stick.trims[0]
    return max(Fraction(0), kerf - max(trim, slot.kerf)) if trim and not slot.sawn else Fraction(0)


def _moved(slot: Slot, bar: Bar, job: Job, parts: dict[str, Part]) -> str:
    """Say what the printed layout says wrongly of parts that still fit; empty where all of it holds."""
    for number, piece in enumerate(slot.left, start=slot.sawn + 1):
        if saw(slot, bar, job.saw.kerf, number).reached != piece.end:
            return "the blade takes another width now, which moves the running dimensions"
    for old in dict.fromkeys(slot.parts[slot.sawn :]):
        now = parts[old.mark]
        if (now.note, now.assembly) != (old.note, old.assembly):
            return f"what is noted for {old.mark} has changed"
    return ""


def standing(judgements: Iterable[Judged], wanted: Counter[str]) -> tuple[Judged, ...]:
    """Choose layouts whose parts are all needed: those begun first, then those that stay, then in the book's order.

    Parameters
    ----------
    judgements : iterable of Judged
        All open layouts.
    wanted : Counter of str
        Parts still to be made, by mark.

    Returns
    -------
    tuple of Judged
        In the order given; none of them falls, and together they cut no more of any part than is wanted.
    """
    listed = list(judgements)
    fit = [each for each in listed if each.standing is not Standing.FALLS]
    left = Counter(wanted)
    chosen = []
    for each in sorted(fit, key=lambda each: (not each.slot.sawn, each.standing is not Standing.STAYS)):
        if all(left[mark] >= count for mark, count in each.marks.items()):
            left -= each.marks
            chosen.append(each.slot.id)
    return tuple(each for each in listed if each.slot.id in chosen)
