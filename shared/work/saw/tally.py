"""How far a work is: of every part so many asked for, made, still on sticks to be sawn, missing."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from cutting.question.job import Part
from shared.work.saw.work import MadeState, SlotState, WorkBook

__all__ = ["PartTally", "Tally", "tally_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class PartTally:
    """How far one part is, in pieces.

    Attributes
    ----------
    part : Part
        As asked for now.
    good : int
        Made and good.
    planned : int
        Still to be sawn from sticks that have a layout.
    spoilt, surplus : int
        Made and spoilt; made and no longer asked for.
    """

    part: Part
    good: int
    planned: int
    spoilt: int
    surplus: int

    @property
    def missing(self) -> int:
        """Asked for, not made and on no layout: to be planned anew."""
        return max(0, self.part.quantity - self.good - self.planned)

    @property
    def unasked(self) -> int:
        """On layouts and asked for no more."""
        return max(0, self.good + self.planned - self.part.quantity)


@dataclass(frozen=True, kw_only=True, slots=True)
class Tally:
    """How far a work is.

    Attributes
    ----------
    parts : tuple of PartTally
        In the order of the parts list in force.
    sawn, sticks : int
        Sticks done, and all that are or were to be sawn; those that were replaced aside.
    """

    parts: tuple[PartTally, ...]
    sawn: int
    sticks: int

    @property
    def good(self) -> int:
        """Parts made that are asked for."""
        return sum(min(each.good, each.part.quantity) for each in self.parts)

    @property
    def asked(self) -> int:
        """Parts asked for."""
        return sum(each.part.quantity for each in self.parts)

    @property
    def missing(self) -> int:
        """Parts that no layout gives."""
        return sum(each.missing for each in self.parts)


def tally_of(book: WorkBook) -> Tally:
    """Count how far a work is.

    Parameters
    ----------
    book : WorkBook
        Everything known of it.
    """
    good = book.good()
    planned = Counter(piece.mark for slot in book.slots for piece in slot.left)
    others = Counter((made.mark, made.state) for made in book.made)
    sticks = [slot for slot in book.slots if slot.cut.pieces and slot.state is not SlotState.VOID]
    return Tally(
        parts=tuple(
            PartTally(
                part=part,
                good=good.get(part.mark, 0),
                planned=planned[part.mark],
                spoilt=others[part.mark, MadeState.SPOILT],
                surplus=others[part.mark, MadeState.SURPLUS],
            )
            for part in book.work.job.parts
        ),
        sawn=sum(1 for slot in sticks if slot.state is not SlotState.OPEN),
        sticks=len(sticks),
    )
