"""Words that the shop's journal is written in."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from cutting.question.lengths import Unit
from cutting.question.tape import told_length
from shared.wording.runs import runs
from shared.work.rack.bars import bar_name

__all__ = ["bar_spans", "because", "names", "said"]


def because(words: str) -> str:
    """Set what somebody remarked behind a sentence."""
    return f" ({words.strip()})" if words.strip() else ""


def names(numbers: Iterable[int]) -> str:
    """List label numbers."""
    return ", ".join(bar_name(number) for number in numbers)


def bar_spans(numbers: Iterable[int]) -> str:
    """Write bars' numbers briefly.

    Examples
    --------
    >>> bar_spans([17, 5, 18, 19])
    'D5, D17–D19'
    """
    return ", ".join(
        bar_name(first) if first == last else f"{bar_name(first)}–{bar_name(last)}" for first, last in runs(numbers)
    )


def said(mm: Fraction) -> str:
    """Write a length for a shop whose unit isn't known: in mm, and in inches where a tape shows them.

    Examples
    --------
    >>> said(Fraction(990)), said(Fraction(635))
    ('990 mm', '635 mm (25 in)')
    """
    inches = mm / Unit.IN.mm
    metric = told_length(mm, Unit.MM)
    return f"{metric} ({told_length(mm, Unit.IN)})" if inches.denominator in {1, 2, 4, 8, 16, 32, 64} else metric
