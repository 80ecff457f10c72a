"""What all parts of one cut sheet need: the plan, how lengths are written, the sticks' numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby
from typing import Final

from cutting.job import Job, Part, Source, Stick
from cutting.plan import Cut, Plan
from shared.drawing import stick_ranges
from shared.issue import Issue
from shared.tape import Tape, tape_of

__all__ = ["SOURCES", "Frame", "Numbered", "counted", "spans"]

SOURCES: Final = {Source.STICKS: "yard", Source.RACK: "yard's rack", Source.OWN: "own drops"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Numbered:
    """One layout with the line its sticks come from, its name and its sticks' numbers."""

    cut: Cut
    stick: Stick
    named: str
    numbers: tuple[int, ...]

    @property
    def mass(self) -> Fraction | None:
        """Weight of one stick in kg; None where unknown."""
        return None if self.cut.section.mass is None else self.cut.section.mass * self.cut.length / 1000


@dataclass(frozen=True, kw_only=True)
class Frame:
    """One plan on its way to paper.

    Attributes
    ----------
    job, plan, issue
        As given to `shared.paper.cut_sheet`, every text of them printable.
    name : str
        The plan's id.
    lost : bool
        Some characters have no letterform and are written as numbers.
    """

    job: Job
    plan: Plan
    issue: Issue
    name: str
    lost: bool

    @cached_property
    def tape(self) -> Tape:
        """How lengths are written."""
        return tape_of(self.job)

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """The job's parts by mark."""
        return {part.mark: part for part in self.job.parts}

    @cached_property
    def layouts(self) -> tuple[Numbered, ...]:
        """The plan's layouts in cutting order."""
        sticks = {stick.id: stick for stick in self.job.sticks}
        return tuple(
            Numbered(cut=cut, stick=sticks[cut.stick], named=named, numbers=numbers)
            for cut, (named, numbers) in zip(self.plan.cuts, stick_ranges(self.plan), strict=True)
        )

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


def counted(number: int, word: str) -> str:
    """Write how many of what: ``1 part``, ``2 parts``."""
    return f"{number} {word}{'' if number == 1 else 's'}"


def spans(numbers: Iterable[int]) -> str:
    """Write numbers briefly.

    Examples
    --------
    >>> spans([1, 2, 3, 9])
    '1–3, 9'
    """
    runs: list[Sequence[int]] = []
    for number in sorted(set(numbers)):
        if runs and runs[-1][1] == number - 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs)
