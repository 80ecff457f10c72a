"""The unit that a section is dimensioned in, as its canonical name shows."""

from __future__ import annotations

from cutting.question.job import Section
from cutting.question.lengths import Unit
from shared.sections import System

__all__ = ["system_in"]


def system_in(section: Section) -> System | None:
    """Return the unit of a section's dimensions as its canonical name shows it."""
    if not section.family or not section.sides:
        return System.INCH if "/" in section.name else None
    if section.name.startswith(("PIPE", "C")) and section.family in {"pipe", "channel"}:
        return System.INCH
    larger = section.sides[0]
    return System.INCH if "/" in section.name or (larger / Unit.IN.mm * 8).denominator == 1 else System.MM
