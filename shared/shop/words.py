"""Words that the shop's journal is written in."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from cutting.lengths import Unit, show_length
from shared.shop.bars import bar_name

__all__ = ["because", "names", "pieces", "said"]

_RANGE: Final = 3


def because(words: str) -> str:
    """Set what somebody remarked behind a sentence."""
    return f" ({words.strip()})" if words.strip() else ""


def pieces(count: int, one: str = "piece") -> str:
    """Count things.

    Examples
    --------
    >>> pieces(1), pieces(3, "stick")
    ('1 piece', '3 sticks')
    """
    return f"1 {one}" if count == 1 else f"{count} {one}s"


def names(numbers: Iterable[int]) -> str:
    """List label numbers, three or more in a row as a range.

    Examples
    --------
    >>> names([4, 1, 2, 3, 9, 10])
    'D1 to D4, D9, D10'
    """
    rows: list[list[int]] = []
    for number in sorted(numbers):
        if rows and rows[-1][-1] + 1 == number:
            rows[-1].append(number)
        else:
            rows.append([number])
    return ", ".join(_row(row) for row in rows)


def _row(row: list[int]) -> str:
    if len(row) < _RANGE:
        return ", ".join(map(bar_name, row))
    return f"{bar_name(row[0])} to {bar_name(row[-1])}"


def said(mm: Fraction) -> str:
    """Write a length for a shop whose unit isn't known: in mm, and in inches where a tape shows them.

    Examples
    --------
    >>> said(Fraction(990)), said(Fraction(635))
    ('990 mm', '635 mm (25 in)')
    """
    inches = mm / Unit.IN.mm
    metric = show_length(mm, Unit.MM)
    return f"{metric} ({show_length(mm, Unit.IN)})" if inches.denominator in {1, 2, 4, 8, 16, 32, 64} else metric
