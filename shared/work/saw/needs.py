"""What a work still needs, and which of its sticks no longer answer to that."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from cutting.question.job import Part
from cutting.question.tape import told_length
from shared.work.rack.bars import BarState, bar_name
from shared.work.saw.sawing import shortage
from shared.work.saw.work import Flag, Made, Slot, SlotState, WorkBook

__all__ = ["flags_of", "missing", "needed", "same_piece", "sawn_part"]

_NOTHING = Fraction(0)
_GONE = {
    BarState.LOST: "wasn't found",
    BarState.SCRAP: "was scrapped",
    BarState.CANCELLED: "won't come",
    BarState.CUT: "was cut up",
}


def same_piece(one: Part, other: Part) -> bool:
    """Whether a piece cut for one part serves as the other: length, ends and section, or an accepted substitute."""
    accepted = {other.section.key, *(each.section.key for each in other.substitutes)}
    return (one.length, one.ends) == (other.length, other.ends) and one.section.key in accepted


def sawn_part(book: WorkBook, made: Made) -> Part:
    """Return the part that a piece was cut for, as it was asked for then."""
    slot = next(slot for slot in book.slots if slot.id == made.slot)
    return slot.parts[made.position - 1]


def needed(book: WorkBook) -> dict[str, int]:
    """Pieces of each mark that are asked for and not made yet, in the order of the parts list; 0 where all are."""
    good = book.good()
    return {part.mark: max(part.quantity - good.get(part.mark, 0), 0) for part in book.work.job.parts}


def missing(book: WorkBook) -> dict[str, int]:
    """Pieces of each mark that are needed and that no open slot makes, as far as there are any."""
    planned = Counter(piece.mark for slot in book.slots for piece in slot.left)
    return {mark: count - planned[mark] for mark, count in needed(book).items() if count > planned[mark]}


def flags_of(book: WorkBook) -> tuple[Flag, ...]:
    """Find every open slot that can't be sawn as printed: its stick too short or gone, its parts not wanted.

    Of more sticks for a part than are needed the later ones are flagged.
    """
    look = _Look(
        book=book, asked={part.mark: part for part in book.work.job.parts}, lacking=needed(book), planned=Counter()
    )
    found = ((slot, look.wrong(slot)) for slot in book.slots if slot.state is SlotState.OPEN)
    return tuple(_flag(slot, *wrong) for slot, wrong in found if wrong is not None)


def _flag(slot: Slot, words: str, short: Fraction) -> Flag:
    where = f"Layout {slot.number}, stick {slot.copy} ({bar_name(slot.bar)})"
    return Flag(
        work=slot.work,
        slot=slot.id,
        number=slot.number,
        copy=slot.copy,
        bar=slot.bar,
        short=short,
        words=f"{where} {words}.",
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Look:
    """One look over the open slots in their order."""

    book: WorkBook
    asked: Mapping[str, Part]
    lacking: Mapping[str, int]
    planned: Counter[str]

    def wrong(self, slot: Slot) -> tuple[str, Fraction] | None:
        """What is wrong with a slot, and by how much its stick is short."""
        wrong = next(iter([*self._steel(slot), *self._unwanted(slot)]), None)
        if wrong is None:
            self.planned.update(piece.mark for piece in slot.left)
        return wrong

    def _steel(self, slot: Slot) -> Iterator[tuple[str, Fraction]]:
        bar = self.book.bar(slot.bar)
        if bar.state in _GONE:
            yield f"has no steel: {bar.name} {_GONE[bar.state]}", _NOTHING
        short = shortage(slot, bar, self.book.work.kerf)
        if short > 0:
            yield f"is short by {told_length(short, self.book.work.job.unit)}", short

    def _unwanted(self, slot: Slot) -> Iterator[tuple[str, Fraction]]:
        counts = Counter(piece.mark for piece in slot.left)
        for piece, part in zip(slot.left, slot.parts[slot.sawn :], strict=True):
            wanted = self.asked.get(piece.mark)
            if wanted is None:
                yield f"cuts {piece.mark}, which is no longer asked for", _NOTHING
            elif not same_piece(part, wanted):
                yield f"cuts {piece.mark} as it was before the drawing changed", _NOTHING
            elif self.planned[piece.mark] + counts[piece.mark] > self.lacking[piece.mark]:
                yield f"cuts more of {piece.mark} than are still needed", _NOTHING
