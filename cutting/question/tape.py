"""Lengths as a tape shows them: exact where it has such a mark, otherwise the nearest mark, and marked so.

What is computed is seldom a mark on a tape: behind several kerfs of 2.4 mm nobody lays off 66 290/381 in. Such a length
is rounded once, from its exact value, so that errors never add up along a stick, and carries ``≈``.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from cutting.question.lengths import Unit, format_length, show_length

__all__ = ["ROUNDED", "is_imperial", "is_plain", "mark_fault", "near_length", "step_of", "told_length"]

ROUNDED: Final = "≈"
"""Stands before a length that was rounded."""

_INCH: Final = Unit.IN.mm
_FINEST: Final = 64
_METRIC_STEP: Final = Fraction(1, 10)
_WIDEST_METRIC: Final = Fraction(10)
_MOST_MARKS: Final = 1000


def is_imperial(unit: Unit) -> bool:
    """Whether a unit is the inch or the foot."""
    return unit in {Unit.IN, Unit.FT}


def is_plain(mm: Fraction, unit: Unit, mark: Fraction | None = None) -> bool:
    """Whether a tape shows the length exactly.

    Parameters
    ----------
    mm : Fraction
        Millimetres.
    unit : Unit
        Which system the tape is of.
    mark : Fraction or None
        Its finest mark in mm; None for what any tape or vernier shows: 1/64 in or a decimal of three places of an inch,
        0.01 mm.

    Examples
    --------
    >>> is_plain(Fraction(20447, 10), Unit.IN), is_plain(Fraction(12, 5), Unit.IN), is_plain(Fraction(12, 5), Unit.MM)
    (True, False, True)
    >>> is_plain(Unit.IN.mm / 32, Unit.IN, mark=Unit.IN.mm / 16)
    False
    """
    if mark is not None:
        return (mm / mark).denominator == 1
    if not is_imperial(unit):
        return (mm * 100).denominator == 1
    inches = mm / _INCH
    return (inches * _FINEST).denominator == 1 or (inches * 1000).denominator == 1


def step_of(unit: Unit, mark: Fraction | None = None) -> Fraction:
    """What a length that no tape shows is rounded to, in mm: the tape's finest mark, else 1/64 in or 0.1 mm."""
    return mark or (_INCH / _FINEST if is_imperial(unit) else _METRIC_STEP)


def near_length(mm: Fraction, unit: Unit, mark: Fraction | None = None) -> str:
    """Write a length without its unit: exactly where it is plain, else the nearest mark of the tape behind ``≈``.

    Examples
    --------
    >>> near_length(Fraction(20447, 10), Unit.IN), near_length(Fraction(2000), Unit.IN)
    ('80 1/2', '≈78 47/64')
    >>> near_length(Fraction(2000), Unit.IN, mark=Unit.IN.mm / 16), near_length(Fraction(2, 3), Unit.MM, Fraction(1, 2))
    ('≈78 3/4', '≈0.5')
    """
    if mm < 0:
        return "-" + near_length(-mm, unit, mark)
    if is_plain(mm, unit, mark):
        return format_length(mm, unit)
    step = step_of(unit, mark)
    return ROUNDED + format_length(round(mm / step) * step, unit)


def told_length(mm: Fraction, unit: Unit, mark: Fraction | None = None, *, feet: bool = False) -> str:
    """Write a length with its unit, inches as feet and inches where `feet` asks for it; see `near_length`.

    Examples
    --------
    >>> told_length(Fraction(20447, 10), Unit.IN), told_length(Fraction(1, 3), Unit.MM)
    ('80 1/2 in', '≈0.3 mm')
    """
    if feet and is_plain(mm, unit, mark):
        return show_length(mm, unit, feet=True)
    text = near_length(mm, unit, mark)
    return text if text.endswith('"') else f"{text} {unit}"


def mark_fault(mark: Fraction, unit: Unit) -> str:
    """Say what is wrong with a tape's finest mark, empty where nothing is: it must divide what the tape is numbered by.

    Examples
    --------
    >>> mark_fault(Unit.IN.mm / 16, Unit.IN), mark_fault(Fraction(1, 2), Unit.MM)
    ('', '')
    >>> mark_fault(Fraction(1, 2), Unit.IN)
    'no inch tape has such marks; write 1/16, 1/32 or 1/64'
    """
    kind, whole, examples = ("inch", _INCH, "1/16, 1/32 or 1/64")
    if not is_imperial(unit):
        kind, whole, examples = ("metric", _WIDEST_METRIC, '"1 mm" or "0.5 mm"')
    steps = whole / mark if mark > 0 else Fraction(0)
    good = steps.denominator == 1 and 1 <= steps <= _MOST_MARKS
    return "" if good else f"no {kind} tape has such marks; write {examples}"
