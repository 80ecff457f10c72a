"""What reading a pasted list gives: parts, what else is needed, questions, and every line as understood."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from cutting.question.job import Break, Ends, Price, Section, Source, Substitute
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.reading.text.sure import ASIDE, COUNTS, SAID_ASIDE, SAID_COUNTS, SAID_WORDS
from shared.reading.values.account import Taken

__all__ = [
    "COUNTING",
    "AlsoNeeded",
    "Choice",
    "Kind",
    "LineRead",
    "OfferList",
    "OfferRead",
    "PartRead",
    "PartsList",
    "Question",
    "shape_of",
]


class Kind(StrEnum):
    """What a line turned out to be."""

    PART = "part"
    TAKE_OFF = "take-off"
    OFFER = "offer"
    ALSO = "also needed"
    ADDITION = "addition"
    HEADING = "heading"
    HEADER = "header"
    TOTAL = "total"
    REMARK = "remark"
    BLANK = "blank"
    QUESTION = "question"


COUNTING: Final = frozenset({Kind.PART, Kind.OFFER})
"""Lines that were read as a part or a stick."""


_DIGITS: Final = re.compile(r"\d+(?:[.,/ -]*\d+)*")
_SET_ASIDE: Final = frozenset({Kind.REMARK, Kind.ALSO, Kind.TOTAL})


@dataclass(frozen=True, kw_only=True, slots=True)
class Choice:
    """One reading of a line that has several.

    Attributes
    ----------
    reading : str
        The reading, for people.
    line : str
        The whole line rewritten so that it has this reading only.
    makes : str
        The part or stick that the line then is, for people; empty where something else stays open, or it wasn't read.
    """

    reading: str
    line: str
    makes: str = ""


def shape_of(said: str) -> str:
    """Return what is said without its numbers.

    Examples
    --------
    >>> shape_of('1200 mm of 3-1/2" tube')
    '# mm of #" tube'
    """
    return _DIGITS.sub("#", said)


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """A line that can't be taken as it stands.

    Attributes
    ----------
    line : int
        Line of the text, or row of the sheet, from 1; 0 where it concerns the whole list.
    text : str
        The line as given.
    message : str
        What is wrong or open, and what to write instead.
    position : int or None
        Index into `text` for a caret.
    choices : tuple of Choice
        The readings offered; empty where there are none.
    """

    line: int
    text: str
    message: str
    position: int | None = None
    choices: tuple[Choice, ...] = ()

    @property
    def alike(self) -> str:
        """What is asked, without the numbers: questions that are alike can have one answer."""
        return shape_of(self.message)

    @property
    def problem(self) -> Problem:
        """The same as a problem of the job."""
        offered = f" ({' | '.join(choice.reading for choice in self.choices)})" if self.choices else ""
        return Problem(
            where=f"line {self.line}" if self.line else "list",
            text=self.text,
            message=self.message + offered,
            position=self.position,
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class PartRead:
    """One part as read.

    Attributes
    ----------
    line : int
        The line it came from.
    mark : str
        Its label, as given or numbered; unique within the list.
    section : Section
        What it is cut from.
    length : Fraction
        mm, above 0.
    unit : Unit
        The unit it was written in.
    quantity : int
        Pieces in all, sets multiplied.
    note : str
        What else the line says.
    assembly : str
        The assembly it belongs to.
    ends : Ends or None
        None where both ends are square.
    derived : str
        How a take-off came to it; empty for a part that was listed.
    substitutes : tuple of Substitute
        Sections that the list accepts in place of its own.
    """

    line: int
    mark: str
    section: Section
    length: Fraction
    unit: Unit
    quantity: int
    note: str = ""
    assembly: str = ""
    ends: Ends | None = None
    derived: str = ""
    substitutes: tuple[Substitute, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class AlsoNeeded:
    """A line that is no bar stock (plates, bolts, hinges) and goes to the buy list as it stands.

    Attributes
    ----------
    line : int
        The line it came from.
    text : str
        What is needed, without the quantity.
    quantity : int or None
        None where none is given.
    """

    line: int
    text: str
    quantity: int | None


@dataclass(frozen=True, kw_only=True, slots=True)
class LineRead:
    """One line of the list as understood.

    Attributes
    ----------
    line : int
        From 1.
    text : str
        As given.
    kind : Kind
        What it turned out to be.
    understood : tuple of str
        The reading, ready to be shown; one entry per part that a take-off gives.
    notes : tuple of str
        What was settled by the rest of the list, and anything else worth saying.
    questions : tuple of Question
        What is open about it.
    account : tuple of Taken
        What each piece of its text was taken for, in order; only spaces belong to none.
    """

    line: int
    text: str
    kind: Kind
    understood: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    account: tuple[Taken, ...] = ()

    @property
    def set_aside(self) -> bool:
        """Whether nothing is planned of this line, and it says more than nothing."""
        return self.kind in _SET_ASIDE and bool(self.text.strip())

    @property
    def brought_back(self) -> str:
        """The line rewritten so that it counts; empty where it isn't set aside."""
        if not self.set_aside:
            return ""
        bare = ASIDE.sub("", self.text).rstrip()
        return bare if bare != self.text.rstrip() or COUNTS.search(bare) else f"{bare}{SAID_COUNTS}"

    @property
    def put_aside(self) -> str:
        """The line rewritten so that it is set aside."""
        return f"{SAID_WORDS.sub('', self.text).rstrip()}{SAID_ASIDE}"


@dataclass(frozen=True, kw_only=True, slots=True)
class PartsList:
    """A parts list as read.

    Attributes
    ----------
    parts : tuple of PartRead
        In the order of the list.
    also : tuple of AlsoNeeded
        What is no bar stock.
    lines : tuple of LineRead
        Every line, for the echo.
    unit : Unit
        The unit that most of the list is in.
    """

    parts: tuple[PartRead, ...]
    also: tuple[AlsoNeeded, ...]
    lines: tuple[LineRead, ...]
    unit: Unit


@dataclass(frozen=True, kw_only=True, slots=True)
class OfferRead:
    """One line of a price list, a rack list or one's own drops.

    Attributes
    ----------
    line : int
        The line it came from.
    section : Section
        What it is.
    length : Fraction
        mm, above 0.
    unit : Unit
        The unit it was written in.
    source : Source
        Yard's sticks, yard's rack, or own.
    price : Price or None
        None where there is none.
    available : int or None
        None is as many as you like.
    note : str
        What else the line says.
    yard : str
        The yard that the list says it is from; empty where it says none.
    breaks : tuple of Break
        Prices by quantity.
    """

    line: int
    section: Section
    length: Fraction
    unit: Unit
    source: Source
    price: Price | None
    available: int | None
    note: str = ""
    yard: str = ""
    breaks: tuple[Break, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class OfferList:
    """A list of sticks as read.

    Attributes
    ----------
    offers : tuple of OfferRead
        In the order of the list.
    lines : tuple of LineRead
        Every line, for the echo.
    currency : str or None
        ISO 4217 code that the list's signs or codes say; None where they say nothing, or a sign such as ``$`` has
        several meanings and nothing else settles it.
    unit : Unit
        The unit that most of the list is in.
    """

    offers: tuple[OfferRead, ...]
    lines: tuple[LineRead, ...]
    currency: str | None
    unit: Unit
