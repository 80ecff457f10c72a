"""The unit that a section is dimensioned in, as its canonical name shows."""

from __future__ import annotations

import re
from typing import Final

from cutting.question.job import Section
from cutting.question.lengths import Unit
from shared.sections import System
from shared.sections.rolled import rolled

__all__ = ["system_in"]

_ROLLED: Final = frozenset({"beam", "channel", "tee", "round"})
_AMERICAN: Final = re.compile(r"[A-Z]+\d|REBAR #")
"""Tables in inches write series and depth in one (``W6x9``); the others put a blank between (``IPE 100``)."""


def system_in(section: Section) -> System | None:
    """Return the unit of a section's dimensions as its canonical name shows it."""
    if section.family in _ROLLED and rolled(section.name) is not None:
        return System.INCH if _AMERICAN.match(section.name) else System.MM
    if not section.family or not section.sides:
        return System.INCH if "/" in section.name else None
    if section.name.startswith(("PIPE", "C")) and section.family in {"pipe", "channel"}:
        return System.INCH
    larger = section.sides[0]
    return System.INCH if "/" in section.name or (larger / Unit.IN.mm * 8).denominator == 1 else System.MM
