"""In which unit a piece of the rack is shown: nobody states one for the shop, its steel does."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from cutting.question.job import Section
from cutting.question.lengths import Unit
from shared.wording.tape import is_plain
from shared.work.rack.bars import Bar

__all__ = ["unit_of_bar", "unit_of_steel", "usual_unit"]

_HALF_MM: Final = 2


def usual_unit(bars: Iterable[Bar]) -> Unit:
    """Return the unit that most pieces were plainly measured in, inches or millimetres.

    Examples
    --------
    >>> usual_unit([])
    <Unit.MM: 'mm'>
    """
    return Unit.IN if sum(_leaning(bar.section, bar.length) for bar in bars) > 0 else Unit.MM


def unit_of_bar(bar: Bar, usual: Unit) -> Unit:
    """Return the unit in which one piece is shown: its own where that is plain, else the usual one."""
    return unit_of_steel(bar.section, bar.length, usual)


def unit_of_steel(section: Section, length: Fraction, usual: Unit) -> Unit:
    """Return the unit in which so much (mm) of a section is shown.

    Examples
    --------
    >>> unit_of_steel(Section(name="tube"), Fraction(20447, 10), Unit.MM)
    <Unit.IN: 'in'>
    >>> unit_of_steel(Section(name="tube"), Fraction(254), Unit.MM)
    <Unit.MM: 'mm'>
    """
    leaning = _leaning(section, length)
    if not leaning:
        return usual
    return Unit.IN if leaning > 0 else Unit.MM


def _leaning(section: Section, length: Fraction) -> int:
    """Return how much speaks for inches: above 0 for inches, below for millimetres."""
    return sum(_inch(mm) - _metric(mm) for mm in (length, *section.sides))


def _inch(mm: Fraction) -> int:
    """Whether nobody with a metric tape would have written this."""
    return int((mm * _HALF_MM).denominator != 1)


def _metric(mm: Fraction) -> int:
    """Whether nobody with an inch tape would have written this."""
    return int(not is_plain(mm, Unit.IN))
