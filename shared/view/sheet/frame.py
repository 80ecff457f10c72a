"""What all parts of one cut sheet need: the plan, how lengths are written, the sticks' numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby
from typing import Final

from cutting.answer.plan import Cut, Plan
from cutting.question.job import Job, Part, Source, Stick
from shared.view.drawing import stick_ranges
from shared.view.issue import Issue
from shared.view.sheet.model import Box
from shared.wording.runs import runs
from shared.wording.tape import Tape, tape_of

__all__ = ["SOURCES", "Frame", "Numbered", "plan_layouts", "spans"]

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
        )
        for cut, (named, numbers) in zip(plan.cuts, stick_ranges(plan), strict=True)
    )


def spans(numbers: Iterable[int]) -> str:
    """Write numbers briefly.

    Examples
    --------
    >>> spans([1, 2, 3, 9])
    '1–3, 9'
    """
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs(numbers))
