"""What the page shows of the rack: plain rows of texts."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BarLine", "BarPage", "EntryLine", "Group", "Notice", "PlaceGroup", "RackView"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Notice:
    """What a change did, said once after it.

    Attributes
    ----------
    words : str
        In a sentence.
    undo : int or None
        The journal's entry, where it can be undone from here.
    """

    words: str
    undo: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class BarLine:
    """One piece in a list.

    Attributes
    ----------
    number, name, version
        As of the bar.
    section, length, place, remark, heat : str
        As shown.
    what : str
        Remark and heat number together, and what trims are due.
    state : str
        Free, or for which work.
    work : str
        Id of that work, empty for none.
    unit, bare : str
        Unit and length for a blank.
    """

    number: int
    name: str
    version: int
    section: str
    length: str
    place: str
    remark: str
    heat: str
    what: str
    state: str
    work: str
    unit: str
    bare: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Group:
    """Pieces of one section.

    Attributes
    ----------
    section : str
        Its label.
    sum : str
        So many pieces, so much length, so much weight.
    bars : tuple of BarLine
        The longest first.
    """

    section: str
    sum: str
    bars: tuple[BarLine, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class RackView:
    """The whole rack, or what was asked for of it.

    Attributes
    ----------
    headline : str
        How much stands there.
    groups : tuple of Group
        By section.
    choices : tuple of str
        Sections to choose from.
    section : str
        The one chosen.
    free : bool
        Only free pieces are shown.
    """

    headline: str
    groups: tuple[Group, ...]
    choices: tuple[str, ...]
    section: str
    free: bool

    @property
    def nothing(self) -> str:
        """What to say where no piece is shown."""
        return "No such piece stands there." if self.choices else "Write down what leans in the corner; it is steel."


@dataclass(frozen=True, kw_only=True, slots=True)
class PlaceGroup:
    """Pieces that stand in one place, as a stock-take meets them."""

    place: str
    bars: tuple[BarLine, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class EntryLine:
    """One line of the journal.

    Attributes
    ----------
    id : int
        Its own.
    at, when : str
        For machines, for people.
    words, who : str
        What happened; who said so.
    undone : bool
        It was taken back.
    can_undo : bool
        It may be asked to be taken back.
    """

    id: int
    at: str
    when: str
    words: str
    who: str
    undone: bool
    can_undo: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class BarPage:
    """One piece with all that is said about it.

    Attributes
    ----------
    line : BarLine
        The piece.
    sentences : tuple of str
        What has become of it, where it came from.
    here, lost : bool
        It is in the shop; it can't be found.
    parent : int or None
        The piece it was cut from.
    """

    line: BarLine
    sentences: tuple[str, ...]
    here: bool
    lost: bool
    parent: int | None
