"""Usual mill lengths, offered as lines to complete with a price.

Common practice of the trade, not a standard: hollow sections in the US 20, 24 and 40 ft, bar and angle 20 ft, pipe
21 ft; metric 6 m generally, 7.5 and 12 m for hollow sections. 6 m is not 20 ft, so each system has its own.
"""

from __future__ import annotations

from typing import Final

from cutting.question.job import Section
from cutting.question.lengths import Unit

__all__ = ["usual_lengths"]

_HOLLOW: Final = {"shs", "rhs", "chs"}
_IMPERIAL: Final = {Unit.IN, Unit.FT}


def usual_lengths(section: Section, unit: Unit) -> tuple[str, ...]:
    """Return the usual mill lengths of a section, in the system of a unit.

    Examples
    --------
    >>> usual_lengths(Section(name="PIPE 2 sch 40", family="pipe"), Unit.IN)
    ('21 ft',)
    """
    if unit in _IMPERIAL:
        if section.family in _HOLLOW:
            return ("20 ft", "24 ft", "40 ft")
        return ("21 ft",) if section.family == "pipe" else ("20 ft",)
    return ("6 m", "7.5 m", "12 m") if section.family in _HOLLOW else ("6 m",)
