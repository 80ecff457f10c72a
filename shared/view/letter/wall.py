"""A section's wall or thickness as a request states it: in the unit in which the section is named."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from cutting.question.job import Section
from cutting.question.lengths import Unit

__all__ = ["wall_text"]

_WALLED: Final = frozenset({"shs", "rhs", "chs", "angle", "flat"})
_CHANNEL_NUMBERS: Final = 3
_DIMENSION: Final = re.compile(r"(?:(\d+)-)?(\d+(?:\.\d+)?)(?:/(\d+))?")
_SCHEDULE: Final = re.compile(r"sch (\w+)$")


def wall_text(section: Section) -> str:
    """Return a section's wall, thickness or schedule; empty where it has none that its name states.

    Examples
    --------
    >>> from shared.sections import understand
    >>> wall_text(understand("SHS 40x40x3")), wall_text(understand("L2x2x3/16")), wall_text(understand("pipe 1 sch 40"))
    ('3 mm', '3/16 in', 'schedule 40')
    >>> wall_text(understand("our old rail"))
    ''
    """
    schedule = _SCHEDULE.search(section.name)
    if section.family == "pipe" and schedule:
        return f"schedule {schedule[1]}"
    dimensions = list(_DIMENSION.finditer(section.name))
    walled = section.family in _WALLED or (section.family == "channel" and len(dimensions) == _CHANNEL_NUMBERS)
    if not walled or not dimensions or not section.sides:
        return ""
    return f"{dimensions[-1].group()} {_unit(dimensions[0], section.sides)}"


def _unit(first: re.Match[str], sides: tuple[Fraction, ...]) -> Unit:
    """Return the unit of the name: what its first number is of the section's sides."""
    whole, over, under = first.groups()
    value = Fraction(whole or 0) + Fraction(over) / Fraction(under or 1)
    return Unit.IN if value * Unit.IN.mm in sides else Unit.MM
