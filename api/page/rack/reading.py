"""Read lines for the rack as people write them. Runs in a child: everything here is as somebody sent it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from api.service.runner.child import Line
from api.sheet.one_list import OneList
from cutting.question.job import Source
from cutting.question.lengths import Unit
from shared.reading import Kind, OfferRead, read_offers
from shared.wording.plurals import many
from shared.work.rack.bars import NewBar

__all__ = ["MOST_PIECES", "About", "RackLines", "read_rack_task"]

MOST_PIECES: Final = 2_000
"""Pieces that one list may put on the rack."""

_SAWN: Final = (Fraction(0), Fraction(0))


@dataclass(frozen=True, kw_only=True, slots=True)
class About:
    """What is said about all pieces of a list.

    Attributes
    ----------
    place, heat : str
        Where they stand; heat number.
    sawn : bool
        Both ends are sawn square, so nothing is to be trimmed.
    """

    place: str = ""
    heat: str = ""
    sawn: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class RackLines(OneList):
    """Lines for the rack as understood.

    Attributes
    ----------
    text : str
        As written, or the lines of a file.
    offers : tuple of OfferRead
        The pieces.
    """

    text: str
    offers: tuple[OfferRead, ...]

    @property
    def pieces(self) -> int:
        """How many pieces these are."""
        return sum(offer.available or 1 for offer in self.offers)

    @property
    def settled(self) -> bool:
        """Whether nothing is open, and there is something to put on the rack."""
        return bool(self.offers) and not self.say

    @property
    def say(self) -> str:
        """Say why the pieces can't go on the rack yet."""
        if self._asking or self.questions:
            return "The pieces wait for the lines in question."
        unread = [line for line in self.lines if line.text.strip() and line.kind in {Kind.ALSO, Kind.REMARK}]
        if unread and not self.offers:
            return "No line of these is a piece of steel; write section and length."
        if self.pieces > MOST_PIECES:
            return f"At most {MOST_PIECES} pieces at once; put the rest on the rack after them."
        return ""

    @property
    def button(self) -> str:
        """What the button does next."""
        if not self.settled:
            return "Read the lines"
        return f"Put {many(self.pieces, 'piece')} on the rack"

    def bars(self, about: About) -> tuple[NewBar, ...]:
        """Return the pieces, with what is said about all of them."""
        return tuple(
            NewBar(
                section=offer.section,
                length=offer.length,
                trims=_SAWN if about.sawn else None,
                place=about.place,
                remark=offer.note,
                heat=about.heat,
            )
            for offer in self.offers
            for _ in range(offer.available or 1)
        )


def read_rack_task(_line: Line, source: str | bytes, unit: Unit | None) -> RackLines:
    """Read lines for the rack, or a file of them."""
    read, questions = read_offers(source, kind=Source.OWN, unit=unit)
    text = "\n".join(line.text for line in read.lines) if isinstance(source, bytes) else source
    whole = tuple(question for question in questions if not question.line)
    return RackLines(text=text, lines=read.lines, questions=whole, offers=read.offers)
