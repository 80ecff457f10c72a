"""Lengths as a person with a tape needs them: exact where a tape shows them, rounded and marked so where it doesn't.

A running dimension behind several kerfs of 2.4 mm is no fraction of an inch that anyone can lay off. It is rounded to
the nearest 1/64 in or 0.1 mm and carries ``≈``, so that nobody takes it for the exact one. Running dimensions are
each rounded from the exact value: the error doesn't add up along a stick.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from cutting.question.job import Job
from cutting.question.lengths import Unit, format_length

__all__ = ["ROUNDED", "Tape", "is_mixed", "is_plain", "tape_of"]

ROUNDED: Final = "≈"
"""Stands before a length that was rounded."""

_INCH: Final = Unit.IN.mm
_FINEST: Final = 64
_MILL_FEET: Final = 10
_SCALE: Final = {Unit.MM: 1, Unit.CM: 10, Unit.M: 1000}


@dataclass(frozen=True, kw_only=True, slots=True)
class Tape:
    """How lengths are written on one job's paper.

    Attributes
    ----------
    unit : Unit
        The job's unit.
    other : Unit or None
        The second unit, where the job mixes both systems; None where it doesn't.
    """

    unit: Unit
    other: Unit | None = None

    def bare(self, mm: Fraction) -> str:
        """Write a length without its unit, as a drawing does; the second unit stands in brackets (ISO 129-1 style).

        Examples
        --------
        >>> Tape(unit=Unit.IN).bare(Fraction(20447, 10)), Tape(unit=Unit.IN).bare(Fraction(2000))
        ('80 1/2', '≈78 47/64')
        >>> Tape(unit=Unit.MM, other=Unit.IN).bare(Fraction(254))
        '254 [10]'
        """
        text = _bare(mm, self.unit)
        return text if self.other is None else f"{text} [{_bare(mm, self.other)}]"

    def text(self, mm: Fraction) -> str:
        """Write a length with its unit.

        Examples
        --------
        >>> Tape(unit=Unit.IN).text(Fraction(20447, 10)), Tape(unit=Unit.MM, other=Unit.IN).text(Fraction(254))
        ('80 1/2 in', '254 mm [10 in]')
        """
        text = _with_unit(mm, self.unit)
        return text if self.other is None else f"{text} [{_with_unit(mm, self.other)}]"

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
        return f"{feet} ft" if self.other is None else f"{feet} ft [{_with_unit(mm, self.other)}]"

    @property
    def heading(self) -> str:
        """The unit's name for the head of a column or a drawing: ``in`` or ``mm [in]``."""
        return str(self.unit) if self.other is None else f"{self.unit} [{self.other}]"

    @property
    def metric(self) -> bool:
        """Whether the job's own unit is a metric one."""
        return self.unit in _SCALE


def tape_of(job: Job) -> Tape:
    """Return how a job's lengths are written: in its unit, and in the other system too where it mixes both."""
    if not is_mixed(job):
        return Tape(unit=job.unit)
    return Tape(unit=job.unit, other=Unit.IN if job.unit in _SCALE else Unit.MM)


def is_mixed(job: Job) -> bool:
    """Whether some length of the job was plainly not measured in the job's unit."""
    return any(not is_plain(mm, job.unit) for mm in _lengths(job))


def is_plain(mm: Fraction, unit: Unit) -> bool:
    """Whether a tape or a vernier in this unit's system shows the length exactly.

    Inches and feet: 1/64 in, or a decimal of up to three places. Metric: a decimal of up to two places in mm.

    Examples
    --------
    >>> is_plain(Fraction(20447, 10), Unit.IN), is_plain(Fraction(12, 5), Unit.IN), is_plain(Fraction(12, 5), Unit.MM)
    (True, False, True)
    """
    if unit in _SCALE:
        return (mm * 100).denominator == 1
    inches = mm / _INCH
    return (inches * _FINEST).denominator == 1 or (inches * 1000).denominator == 1


def _lengths(job: Job) -> Iterator[Fraction]:
    yield job.saw.kerf
    for part in job.parts:
        yield part.length
    for stick in job.sticks:
        yield stick.length
        yield from stick.trims


def _bare(mm: Fraction, unit: Unit) -> str:
    if is_plain(mm, unit):
        return format_length(mm, unit)
    step = Fraction(1, 10) if unit in _SCALE else _INCH / _FINEST
    return ROUNDED + format_length(round(mm / step) * step, unit)


def _with_unit(mm: Fraction, unit: Unit) -> str:
    text = _bare(mm, unit)
    return text if text.endswith('"') else f"{text} {unit}"
