"""Lengths as a person with a tape needs them: exact where a tape shows them, rounded and marked so where it doesn't.

A running dimension behind several kerfs of 2.4 mm is no fraction of an inch that anyone can lay off. It is rounded to
the nearest mark of the reader's tape, which the job may state (else 1/64 in or 0.1 mm), and carries ``≈``, so that
nobody takes it for the exact one. Running dimensions are each rounded from the exact value: the error doesn't add up
along a stick. All that is printed for people takes its lengths from here; files take theirs exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from cutting.question.job import Job
from cutting.question.lengths import Unit, format_length
from cutting.question.tape import ROUNDED, is_imperial, is_plain, mark_fault, near_length, step_of, told_length

__all__ = ["ROUNDED", "Tape", "is_mixed", "is_plain", "tape_of"]

_MILL_FEET: Final = 10
_PLAIN_FRACTION: Final = 12
_NAMES: Final = {
    Unit.IN: "inches",
    Unit.FT: "feet",
    Unit.MM: "millimetres",
    Unit.CM: "centimetres",
    Unit.M: "metres",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Tape:
    """How lengths are written on one job's paper.

    Attributes
    ----------
    unit : Unit
        The job's unit.
    other : Unit or None
        The second unit, where the job mixes both systems; None where it doesn't.
    mark : Fraction or None
        mm, the finest mark of the reader's tape in the first unit; None for what any tape or vernier shows.
    """

    unit: Unit
    other: Unit | None = None
    mark: Fraction | None = None

    def bare(self, mm: Fraction) -> str:
        """Write a length without its unit, as a drawing does; the second unit stands in brackets (ISO 129-1 style).

        Examples
        --------
        >>> Tape(unit=Unit.IN).bare(Fraction(20447, 10)), Tape(unit=Unit.IN).bare(Fraction(2000))
        ('80 1/2', '≈78 47/64')
        >>> Tape(unit=Unit.MM, other=Unit.IN).bare(Fraction(254))
        '254 [10]'
        """
        return self._with_exact(mm, self.one(mm), near_length)

    def one(self, mm: Fraction) -> str:
        """Write a length in the first unit alone, without its name: for a column whose head names it."""
        return near_length(mm, self.unit, self.mark)

    def told(self, mm: Fraction) -> str:
        """Write a length in the first unit alone, with its name."""
        return told_length(mm, self.unit, self.mark)

    def text(self, mm: Fraction) -> str:
        """Write a length with its unit.

        Examples
        --------
        >>> Tape(unit=Unit.IN).text(Fraction(20447, 10)), Tape(unit=Unit.MM, other=Unit.IN).text(Fraction(254))
        ('80 1/2 in', '254 mm [10 in]')
        """
        return self._with_exact(mm, self.told(mm), told_length)

    def _with_exact(self, mm: Fraction, text: str, write: Callable[[Fraction, Unit], str]) -> str:
        """Set beside a length what it is exactly where the tape doesn't show it, and the second unit.

        A part that is rounded to the tape and nothing else could be cut short: its own length always stands there.
        """
        if self._has_words_for(mm):
            text = f"{text} ({format_length(mm, self.unit)})"
        return text if self.other is None else f"{text} [{write(mm, self.other)}]"

    def _has_words_for(self, mm: Fraction) -> bool:
        """Whether a length that the tape doesn't show has an exact value that people write: 33 1/32, 33 1/3."""
        if is_plain(mm, self.unit, self.mark):
            return False
        few = is_imperial(self.unit) and (mm / self.unit.mm).denominator <= _PLAIN_FRACTION
        return few or is_plain(mm, self.unit)

    def stick(self, mm: Fraction) -> str:
        """Write the length of a whole stick: mill lengths in whole feet as a yard says them.

        Examples
        --------
        >>> Tape(unit=Unit.IN).stick(Fraction(6096)), Tape(unit=Unit.IN).stick(Fraction(20447, 10))
        ('20 ft', '80 1/2 in')
        """
        feet = mm / Unit.FT.mm
        if self.unit is not Unit.IN or feet.denominator != 1 or feet < _MILL_FEET:
            return self.text(mm)
        return f"{feet} ft" if self.other is None else f"{feet} ft [{told_length(mm, self.other)}]"

    @property
    def names(self) -> tuple[str, ...]:
        """The units' names in words: ``inches``; ``millimetres`` and ``inches``."""
        return tuple(_NAMES[unit] for unit in (self.unit, self.other) if unit is not None)

    @property
    def steps(self) -> tuple[str, ...]:
        """What lengths are rounded to, in each unit: ``1/64 in``, ``0.1 mm``."""
        return tuple(
            told_length(step_of(unit, self.mark if unit is self.unit else None), unit)
            for unit in (self.unit, self.other)
            if unit is not None
        )

    @property
    def fine(self) -> Tape:
        """For what isn't measured with the tape at the saw, such as a kerf."""
        return replace(self, mark=None)

    @property
    def heading(self) -> str:
        """The unit's name for the head of a column or a drawing: ``in`` or ``mm [in]``."""
        return str(self.unit) if self.other is None else f"{self.unit} [{self.other}]"

    @property
    def metric(self) -> bool:
        """Whether the job's own unit is a metric one."""
        return not is_imperial(self.unit)


def tape_of(job: Job) -> Tape:
    """Return how a job's lengths are written: in its unit, and in the other system too where it mixes both."""
    mark = None if job.tape is None or mark_fault(job.tape, job.unit) else job.tape
    if not is_mixed(job):
        return Tape(unit=job.unit, mark=mark)
    return Tape(unit=job.unit, other=Unit.MM if is_imperial(job.unit) else Unit.IN, mark=mark)


def is_mixed(job: Job) -> bool:
    """Whether some length of the job was plainly not measured in the job's unit."""
    return any(not is_plain(mm, job.unit) for mm in _lengths(job))


def _lengths(job: Job) -> Iterator[Fraction]:
    yield job.saw.kerf
    for part in job.parts:
        yield part.length
    for stick in job.sticks:
        yield stick.length
        yield from stick.trims
