"""The finished view of a cut sheet: every text ready, so that the template only sets type."""

from __future__ import annotations

from dataclasses import dataclass

from shared.view.drawing import Bar
from shared.view.model import StrokeView

__all__ = [
    "AssemblyLine",
    "Box",
    "CutSheet",
    "FetchLine",
    "LayoutSheet",
    "PieceLine",
    "RevisionNote",
    "SectionSheet",
    "StopLine",
    "TitleBlock",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class TitleBlock:
    """The title block (fields as in ISO 7200) at the foot of every page.

    Attributes
    ----------
    document : str
        What it is: ``Cut sheet``.
    job : str
        The job's title.
    plan : str
        The plan's id.
    revision : str
        ``-`` for a first issue.
    date : str
        ISO 8601.
    replaces : str
        Which revision it replaces, such as ``replaces A``; empty where none.
    large : bool
        The revision is set large, so that nobody takes old paper for new.
    by : str
        Name of the field to sign in.
    """

    document: str
    job: str
    plan: str
    revision: str
    date: str
    replaces: str = ""
    large: bool = False
    by: str = "Cut and checked by"


@dataclass(frozen=True, kw_only=True, slots=True)
class RevisionNote:
    """What a revision of a plan in hand says at the head of its sheets.

    Attributes
    ----------
    mark : str
        Its letter, set large on every page.
    words : str
        ``Revision B, 2026-11-25, replaces A``.
    lines : tuple of str
        Which layouts to throw away, which still hold, which are new: a sentence each.
    """

    mark: str
    words: str
    lines: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Box:
    """A box to tick for one stick.

    Attributes
    ----------
    label : str
        The stick: its number, or ``3.2`` for the second stick of layout 3.
    bar : str
        Which bar it is and what is known of it: ``D17, heat 48213``; empty where bars aren't known.
    state : str
        ``open``, ``sawn`` (printed ticked) or ``stopped`` (printed crossed out).
    said : str
        What has become of it so far: ``2 of 5 parts sawn``; empty for nothing.
    """

    label: str
    bar: str = ""
    state: str = "open"
    said: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class FetchLine:
    """One kind of stick to fetch: what, how long, from where, how many, what one weighs."""

    section: str
    length: str
    source: str
    quantity: str
    weight: str
    sticks: str


@dataclass(frozen=True, kw_only=True, slots=True)
class StopLine:
    """One setting of the stop: number, length, ends, what the first piece may measure, what is cut at it."""

    number: str
    length: str
    ends: str
    band: str
    pieces: str
    marks: str
    sticks: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PieceLine:
    """One part on a stick: number, mark, length, running dimensions, its ends, its note."""

    number: str
    mark: str
    length: str
    start: str
    end: str
    ends: str
    note: str


@dataclass(frozen=True, kw_only=True, slots=True)
class LayoutSheet:
    """One layout.

    Attributes
    ----------
    title : str
        Which sticks: ``Sticks 1 to 6``.
    alike : str
        ``6 alike``, or empty for a single one.
    sticks : tuple of Box
        A box to tick for each.
    facts : str
        What the stick is, where from, and its weight.
    bar : Bar
        What its drawing shows.
    rows : tuple of PieceLine
        Parts in cutting order.
    lines : tuple of PieceLine
        The same as printed: equal parts in a row on one line, ``28 × B2``, ``every 66``.
    strokes : tuple of StrokeView
        Where ends are angled: every stroke of the saw.
    edge : str
        Along which edge their running dimensions count.
    changed : str
        That parts on it are cut from another section than the one drawn; empty where none is.
    before : tuple of str
        What to do before the first cut: trim, measure the stick.
    rest : str
        What is left and what to do with it.
    warnings : tuple of str
        What to watch at this stick.
    narrow : bool
        Many parts and little to say of each: their table is set in two columns.
    since : str
        Of a plan in hand, since which revision it holds: ``new in revision B``; empty elsewhere.
    hold : tuple of str
        Why which sticks are not to be sawn as printed here, said before everything else.
    columns : int
        Where boxes have bars with names: how many of them side by side; 0 elsewhere.
    below : bool
        So many boxes that they stand below the parts, and may go on overleaf.
    """

    title: str
    alike: str
    sticks: tuple[Box, ...]
    facts: str
    bar: Bar
    rows: tuple[PieceLine, ...]
    lines: tuple[PieceLine, ...]
    strokes: tuple[StrokeView, ...]
    edge: str
    changed: str
    before: tuple[str, ...]
    rest: str
    warnings: tuple[str, ...]
    narrow: bool
    since: str = ""
    hold: tuple[str, ...] = ()
    columns: int = 0
    below: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class SectionSheet:
    """One section: the saw's set-up, the stops, the layouts.

    Attributes
    ----------
    title : str
        The section with its material.
    set_up : tuple of (str, str)
        Kerf, trim, the shortest piece that can be held: name and text.
    check : str
        What to do with the first piece at each stop.
    stops : tuple of StopLine
        In an order that moves the stop seldom (least where each length is set once).
    stops_note : str
        How to use that order.
    ends : bool
        Whether any part has an angled end.
    layouts : tuple of LayoutSheet
        In the order in which they should be sawn.
    """

    title: str
    set_up: tuple[tuple[str, str], ...]
    check: str
    stops: tuple[StopLine, ...]
    stops_note: str
    ends: bool
    layouts: tuple[LayoutSheet, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class AssemblyLine:
    """One assembly: its parts, their weight and surface. Prices are in the workbook, not on paper for the saw."""

    name: str
    parts: str
    pieces: str
    weight: str
    surface: str


@dataclass(frozen=True, kw_only=True, slots=True)
class CutSheet:
    """The whole cut sheet.

    Attributes
    ----------
    block : TitleBlock
        At the foot of every page.
    paper : str
        ``a4`` or ``letter``.
    lead : str
        How much there is to cut.
    changes : tuple of str
        Which parts are cut from another section than the one drawn, and that the designer must confirm.
    unit : str
        Heading of every column of lengths: ``in`` or ``mm [in]``.
    notes : tuple of str
        How to read the sheet: running dimensions, rounded lengths, letters that the fonts lack.
    cautions : tuple of str
        For whoever saws.
    fetch : tuple of FetchLine
        Sticks to fetch.
    sections : tuple of SectionSheet
        In the order of the plan.
    assemblies : tuple of AssemblyLine
        Empty where the job names none.
    assemblies_note : str
        What weight and surface are those of.
    limits : tuple of str
        What the plan does not vouch for.
    counted : str
        What the numbers beside sticks to fetch and stops are: ``sticks``, or ``layouts`` of a plan in hand.
    revision : RevisionNote or None
        For a plan in hand: its revision.
    """

    block: TitleBlock
    paper: str
    lead: str
    changes: tuple[str, ...]
    unit: str
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    fetch: tuple[FetchLine, ...]
    sections: tuple[SectionSheet, ...]
    assemblies: tuple[AssemblyLine, ...]
    assemblies_note: str
    limits: tuple[str, ...]
    counted: str = "sticks"
    revision: RevisionNote | None = None
