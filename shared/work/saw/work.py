"""A plan taken in hand: its revisions, the sticks to saw, the parts made, and what an event answers."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from fractions import Fraction

from cutting.answer.plan import Cut, Piece
from cutting.question.job import Job, Part, Stick
from cutting.question.lengths import Unit
from shared.work.rack.bars import Bar

__all__ = [
    "Entry",
    "Flag",
    "Made",
    "MadeState",
    "Outcome",
    "PlanInHand",
    "Revision",
    "Slot",
    "SlotState",
    "WorkBook",
    "WorkState",
    "revision_mark",
]

_LETTERS = 26


def revision_mark(number: int) -> str:
    """Write a revision as a letter.

    Examples
    --------
    >>> revision_mark(1), revision_mark(26), revision_mark(27), revision_mark(53)
    ('A', 'Z', 'AA', 'BA')
    """
    mark = ""
    while number > 0:
        number, letter = divmod(number - 1, _LETTERS)
        mark = chr(ord("A") + letter) + mark
    return mark


class WorkState(StrEnum):
    """How far a work is."""

    OPEN = "open"
    DONE = "done"
    DROPPED = "dropped"
    """Given up; what was reserved for it is free again."""


class SlotState(StrEnum):
    """How far one stick is."""

    OPEN = "open"
    SAWN = "sawn"
    STOPPED = "stopped"
    """Given up part way."""
    VOID = "void"
    """Replaced by a later revision before its first cut."""


class MadeState(StrEnum):
    """What has become of a part that was sawn."""

    GOOD = "good"
    SPOILT = "spoilt"
    SURPLUS = "surplus"
    """No longer asked for."""
    BACK = "back"
    """Went to the rack as a bar."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanInHand:
    """A plan taken in hand.

    Attributes
    ----------
    id : str
        The job's.
    title : str
        For people.
    state : WorkState
        How far it is.
    revision : int
        In force; 1 is A, see `revision_mark`.
    kerf : Fraction
        mm that the blade takes now.
    keep_from : Fraction
        mm, the shortest drop that goes back to the rack.
    job : Job
        In force: the parts asked for now, the saw with `kerf`.
    document : bytes
        The same as a job file, its saw as first stated.
    version : int
        Counts every change of anything that belongs to the work, its bars included.
    made : datetime
        UTC, when it was taken in hand.
    """

    id: str
    title: str
    state: WorkState
    revision: int
    kerf: Fraction
    keep_from: Fraction
    job: Job
    document: bytes
    version: int
    made: datetime

    @property
    def mark(self) -> str:
        """The revision in force as a letter."""
        return revision_mark(self.revision)


@dataclass(frozen=True, kw_only=True, slots=True)
class Revision:
    """One revision of a work.

    Attributes
    ----------
    work : str
        Which.
    number : int
        From 1.
    document : bytes
        Job file of what was planned new in it.
    plan : bytes
        Plan file of what was planned new in it; of revision 1 the whole plan. Empty where nothing was left to plan.
    reason : str
        Why, in words.
    made : datetime
        UTC.
    """

    work: str
    number: int
    document: bytes
    plan: bytes
    reason: str
    made: datetime

    @property
    def mark(self) -> str:
        """As a letter."""
        return revision_mark(self.number)


@dataclass(frozen=True, kw_only=True, slots=True)
class Slot:
    """One stick to be sawn.

    Attributes
    ----------
    id : int
        Its own, over all works.
    work : str
        Which.
    number : int
        Of the layout as printed; a layout that is planned anew gets a number never used before in that work.
    copy : int
        From 1, among sticks sawn alike.
    revision : int
        In which it was planned.
    cut : Cut
        The layout, quantity 1, a yard-cut stick's piece as a stick of its own. Without pieces: only to be received.
    stick : Stick
        The kind of stick.
    parts : tuple of Part
        For each piece of `cut` the part as it was asked for when this was planned.
    kerf : Fraction
        mm, with which it was planned.
    unit : Unit
        Of the job it was planned in: how irrational amounts were rounded.
    bar : int
        The steel it is sawn from.
    state : SlotState
        How far it is.
    sawn : int
        Parts cut from it so far.
    used : Fraction
        mm of the bar, along the mid-depth line from its raw first end, that are cut up so far, the last kerf included.
    reached : Fraction
        mm from the trimmed end to the far measured point of the part sawn last, by the blade as it was then.
    """

    id: int
    work: str
    number: int
    copy: int
    revision: int
    cut: Cut
    stick: Stick
    parts: tuple[Part, ...]
    kerf: Fraction
    unit: Unit
    bar: int
    state: SlotState = SlotState.OPEN
    sawn: int = 0
    used: Fraction = Fraction(0)
    reached: Fraction = Fraction(0)

    @property
    def left(self) -> tuple[Piece, ...]:
        """The pieces that are still to be sawn."""
        return self.cut.pieces[self.sawn :] if self.state is SlotState.OPEN else ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Made:
    """One part that was sawn.

    Attributes
    ----------
    id : int
        Its own, over all works.
    work : str
        Which.
    mark : str
        Which part.
    slot : int
        The stick's slot.
    position : int
        From 1, on the stick.
    bar : int
        The bar it was sawn from, hence its heat number.
    length : Fraction
        mm along the centre line.
    state : MadeState
        What has become of it.
    became : int or None
        Number of the bar it went to the rack as.
    """

    id: int
    work: str
    mark: str
    slot: int
    position: int
    bar: int
    length: Fraction
    state: MadeState = MadeState.GOOD
    became: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class WorkBook:
    """Everything the shop knows of one work.

    Attributes
    ----------
    work : PlanInHand
        The work itself.
    slots : tuple of Slot
        By layout number and copy, void ones included.
    bars : tuple of Bar
        By number: all that belong or belonged to it, those its parts were sawn from, and the drops it left.
    made : tuple of Made
        In the order sawn.
    revisions : tuple of Revision
        From the first on.
    """

    work: PlanInHand
    slots: tuple[Slot, ...] = ()
    bars: tuple[Bar, ...] = ()
    made: tuple[Made, ...] = ()
    revisions: tuple[Revision, ...] = ()
    _bars: dict[int, Bar] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_bars", {bar.number: bar for bar in self.bars})

    def bar(self, number: int) -> Bar:
        """Return one of its bars; raises KeyError where it isn't one."""
        return self._bars[number]

    def good(self) -> dict[str, int]:
        """Good parts made, by mark."""
        counts: dict[str, int] = {}
        for each in self.made:
            if each.state is MadeState.GOOD:
                counts[each.mark] = counts.get(each.mark, 0) + 1
        return counts


@dataclass(frozen=True, kw_only=True, slots=True)
class Flag:
    """A slot whose stick no longer suffices, or that cuts what nobody needs.

    Attributes
    ----------
    work : str
        Of which work.
    slot : int
        Which.
    number, copy : int
        Its layout as printed.
    bar : int
        Its stick.
    short : Fraction
        mm that lack; 0 where length isn't what is wrong.
    words : str
        A sentence for people.
    """

    work: str
    slot: int
    number: int
    copy: int
    bar: int
    short: Fraction
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """The answer to an event.

    Attributes
    ----------
    entry : int
        The journal's entry.
    words : str
        What happened, in a sentence.
    flags : tuple of Flag
        Open slots that can't be sawn as printed, of every work that the event touched: time to plan anew.
    missing : tuple of (str, int)
        Parts of the event's work that are still needed and that no open slot makes: mark and count, in the order of
        the parts list. Not empty: time to plan anew.
    bars : tuple of int
        Numbers of bars that came into the books by it and want a label.
    repeated : bool
        The event had been told before, under the same key; this is what was answered then.
    """

    entry: int
    words: str
    flags: tuple[Flag, ...] = ()
    missing: tuple[tuple[str, int], ...] = ()
    bars: tuple[int, ...] = ()
    repeated: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """One line of the shop's journal.

    Attributes
    ----------
    id : int
        In the order written.
    at : datetime
        UTC.
    who : str
        Who or which device said so.
    kind : str
        What kind of event, one word.
    words : str
        What happened, in a sentence.
    work : str or None
        Which work it belongs to.
    bars : tuple of int
        Numbers of the bars it touched.
    undoes, undone_by : int or None
        The entry that this one takes back; the entry that took this one back.
    """

    id: int
    at: datetime
    who: str
    kind: str
    words: str
    work: str | None
    bars: tuple[int, ...] = ()
    undoes: int | None = None
    undone_by: int | None = None
