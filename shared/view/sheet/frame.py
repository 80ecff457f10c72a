"""What all parts of one cut sheet need: the plan, how lengths are written, the sticks' numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import groupby
from typing import Final

from cutting.answer.plan import Cut, Plan
from cutting.question.job import Job, Part, Section, Source, Stick
from shared.view.drawing import stick_ranges
from shared.view.issue import Issue
from shared.view.sheet.model import Box
from shared.wording.cautions import CONFIRM
from shared.wording.runs import runs
from shared.wording.tape import Tape, tape_of

__all__ = ["SOURCES", "Frame", "Numbered", "drawn_sections", "plan_layouts", "spans", "substituted"]

SOURCES: Final = {Source.STICKS: "yard", Source.RACK: "yard's rack", Source.OWN: "own drops"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Numbered:
    """One layout on its way to paper.

    Attributes
    ----------
    cut : Cut
        The layout; its quantity counts all sticks that have a box.
    stick : Stick
        The line its sticks come from.
    parts : mapping of str to Part
        The parts on it by mark, as they were asked for when it was laid out.
    named : str
        Its name: ``Sticks 1 to 6``, ``Layout 3``.
    numbers : tuple of int
        What stands for it in a table: its sticks' numbers, or the layout's own.
    boxes : tuple of Box
        One for each stick.
    left : int
        Sticks that are still to be sawn.
    since : str
        Since which revision it holds, in words; empty in a plan that isn't in hand.
    hold : tuple of str
        Why which of its sticks are not to be sawn as printed.
    drawn : mapping of str to str
        By mark, the section that was drawn for a part which is cut from another here.
    """

    cut: Cut
    stick: Stick
    parts: Mapping[str, Part]
    named: str
    numbers: tuple[int, ...]
    boxes: tuple[Box, ...]
    left: int
    since: str = ""
    hold: tuple[str, ...] = ()
    drawn: Mapping[str, str] = field(default_factory=dict)

    @property
    def mass(self) -> Fraction | None:
        """Weight of one stick in kg; None where unknown."""
        return None if self.cut.section.mass is None else self.cut.section.mass * self.cut.length / 1000


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Layouts on their way to paper.

    Attributes
    ----------
    job, issue
        As given to `shared.view.sheet.cut_sheet`.
    layouts : tuple of Numbered
        In cutting order.
    name : str
        The plan's id.
    """

    job: Job
    issue: Issue
    layouts: tuple[Numbered, ...]
    name: str

    @cached_property
    def tape(self) -> Tape:
        """How lengths are written."""
        return tape_of(self.job)

    @cached_property
    def usual_trims(self) -> Mapping[tuple[str, str], tuple[Fraction, Fraction]]:
        """By section what most of its sticks are trimmed by, the earlier ones where as many say otherwise."""
        count: dict[tuple[str, str], dict[tuple[Fraction, Fraction], int]] = {}
        for layout in self.layouts:
            trims = count.setdefault(layout.cut.section.key, {})
            trims[layout.stick.trims] = trims.get(layout.stick.trims, 0) + layout.cut.quantity
        return {section: max(trims, key=lambda pair: trims[pair]) for section, trims in count.items()}

    def sections(self) -> Iterator[tuple[Numbered, ...]]:
        """Yield the layouts of each section, in the order of the plan."""
        for _, group in groupby(self.layouts, key=lambda layout: layout.cut.section.key):
            yield tuple(group)


def plan_layouts(job: Job, plan: Plan) -> tuple[Numbered, ...]:
    """Return a plan's layouts in cutting order, their sticks numbered through."""
    sticks = {stick.id: stick for stick in job.sticks}
    parts = {part.mark: part for part in job.parts}
    return tuple(
        Numbered(
            cut=cut,
            stick=sticks[cut.stick],
            parts=parts,
            named=named,
            numbers=numbers,
            boxes=tuple(Box(label=str(number)) for number in numbers),
            left=cut.quantity,
            drawn=drawn_sections(cut, {change.mark: change.wanted for change in plan.changes}),
        )
        for cut, (named, numbers) in zip(plan.cuts, stick_ranges(plan), strict=True)
    )


def drawn_sections(cut: Cut, wanted: Mapping[str, Section]) -> dict[str, str]:
    """Return, by mark, what was drawn for the parts of a layout that are cut from another section."""
    return {
        piece.mark: wanted[piece.mark].label
        for piece in cut.pieces
        if piece.mark in wanted and wanted[piece.mark].key != cut.section.key
    }


def substituted(layouts: Iterable[Numbered]) -> Iterator[str]:
    """Say which parts are cut from another section than the one drawn, and that the designer must confirm."""
    said = {(mark, drawn, layout.cut.section.label) for layout in layouts for mark, drawn in layout.drawn.items()}
    for mark, drawn, taken in sorted(said):
        yield f"{mark} is cut from {taken} instead of {drawn}. {CONFIRM}"


def spans(numbers: Iterable[int]) -> str:
    """Write numbers briefly.

    Examples
    --------
    >>> spans([1, 2, 3, 9])
    '1–3, 9'
    """
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs(numbers))
