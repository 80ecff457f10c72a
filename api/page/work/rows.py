"""What the page shows of a work in hand: plain rows of texts."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "Awaited",
    "Kind",
    "Layout",
    "MarkRow",
    "PieceRow",
    "RevisionRow",
    "StickRow",
    "Surplus",
    "WorkRow",
    "WorkView",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class WorkRow:
    """A work in a line.

    Attributes
    ----------
    id, title, mark : str
        Its name, what it is for, the revision in force.
    words : str
        How far it is.
    open : bool
        It is in hand.
    since : str
        When it was taken in hand.
    """

    id: str
    title: str
    mark: str
    words: str
    open: bool
    since: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Awaited:
    """A stick that was bought and hasn't come."""

    number: int
    name: str
    layouts: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    """Awaited sticks that are alike.

    Attributes
    ----------
    key : str
        Of the group within the form.
    what : str
        Section, length, how many.
    yard : str
        From where.
    bars : tuple of Awaited
        One by one.
    """

    key: str
    what: str
    yard: str
    bars: tuple[Awaited, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class PieceRow:
    """One part on a stick."""

    position: int
    words: str
    sawn: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class StickRow:
    """One stick of a layout.

    Attributes
    ----------
    slot : int
        Its slot.
    which : str
        Stick 1 of 3.
    bar, bar_number : str, int
        The steel.
    about : str
        Where it stands, heat number, measured length where it differs.
    state : str
        How far it is.
    open, come : bool
        It is to be sawn; its steel is here.
    pieces : tuple of PieceRow
        Its parts.
    measure : str
        Its length now, for a blank.
    """

    slot: int
    which: str
    bar: str
    bar_number: int
    about: str
    state: str
    open: bool
    come: bool
    pieces: tuple[PieceRow, ...]
    measure: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Layout:
    """Sticks sawn alike.

    Attributes
    ----------
    number : int
        As printed.
    mark : str
        The revision in which it was planned.
    heading : str
        What stick, for which parts.
    sticks : tuple of StickRow
        One by one.
    done : bool
        Nothing of it is to be sawn any more.
    """

    number: int
    mark: str
    heading: str
    sticks: tuple[StickRow, ...]
    done: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class MarkRow:
    """How far one part is."""

    mark: str
    section: str
    length: str
    asked: int
    good: int
    planned: int
    missing: int
    other: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Surplus:
    """A part that was cut for nothing."""

    id: int
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class RevisionRow:
    """One revision."""

    mark: str
    reason: str
    when: str
    in_force: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class WorkView:
    """Everything about a work.

    Attributes
    ----------
    id, title, mark : str
        Its name, what it is for, the revision in force.
    version : int
        Of the work.
    open : bool
        It is in hand.
    headline : str
        How far it is, in a sentence.
    sentences : tuple of str
        What else is to be known at a glance.
    share : tuple of int
        Parts made and asked for.
    wants : tuple of str
        What no longer fits: time to plan anew.
    missing : str
        Parts that no layout gives, empty where there are none.
    awaited : tuple of Kind
        What hasn't come.
    layouts : tuple of Layout
        What is to be sawn and was.
    replaced : str
        Layouts whose paper is to be thrown away.
    marks : tuple of MarkRow
        The parts.
    surplus : tuple of Surplus
        Parts cut for nothing, still lying about.
    revisions : tuple of RevisionRow
        The latest first.
    unit, kerf : str
        Of the job; what the blade takes now, for a blank.
    changed : bool
        A later revision than the first is in force.
    """

    id: str
    title: str
    mark: str
    version: int
    open: bool
    headline: str
    sentences: tuple[str, ...]
    share: tuple[int, int]
    wants: tuple[str, ...]
    missing: str
    awaited: tuple[Kind, ...]
    layouts: tuple[Layout, ...]
    replaced: str
    marks: tuple[MarkRow, ...]
    surplus: tuple[Surplus, ...]
    revisions: tuple[RevisionRow, ...]
    unit: str
    kerf: str
    changed: bool

    @property
    def done_layouts(self) -> tuple[Layout, ...]:
        """Layouts of which nothing is to be sawn any more."""
        return tuple(layout for layout in self.layouts if layout.done)

    @property
    def done_bar(self) -> int:
        """Share of the parts that are made, in 300ths: how far the little bar is filled."""
        return 0 if not self.share[1] else 300 * self.share[0] // self.share[1]
