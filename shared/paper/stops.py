"""In which order to set the stop, so that it is moved least.

Every stick fixes the order of its own parts. Working through all sticks of a section at one setting before moving the
stop, the settings are a common supersequence of the sticks' orders; the shortest is wanted. Where each length can wait
until every stick that still needs it has come to it, every length is set once and nothing shorter exists. Where the
sticks contradict each other, the length that most sticks have come to is set first (majority merge), a good order
without a promise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

__all__ = ["Setting", "stop_order"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Setting:
    """One setting of the stop.

    Attributes
    ----------
    length : Fraction
        mm.
    runs : tuple of (int, int, int)
        For each layout that is cut at it: its index, its first part here (from 0), and how many parts in a row.
    """

    length: Fraction
    runs: tuple[tuple[int, int, int], ...]


def stop_order(layouts: Sequence[Sequence[Fraction]]) -> tuple[Setting, ...]:
    """Return the settings of the stop for layouts of one section.

    Parameters
    ----------
    layouts : sequence of sequence of Fraction
        For each layout the lengths of its parts in cutting order.

    Examples
    --------
    >>> [int(s.length) for s in stop_order([[Fraction(9), Fraction(5)], [Fraction(9), Fraction(7), Fraction(5)]])]
    [9, 7, 5]
    """
    at = [0] * len(layouts)
    settings: list[Setting] = []
    while any(place < len(lengths) for place, lengths in zip(at, layouts, strict=True)):
        length = _next(layouts, at)
        runs = []
        for index, lengths in enumerate(layouts):
            count = _run(lengths, at[index], length)
            if count:
                runs.append((index, at[index], count))
                at[index] += count
        settings.append(Setting(length=length, runs=tuple(runs)))
    return tuple(settings)


def _next(layouts: Sequence[Sequence[Fraction]], at: Sequence[int]) -> Fraction:
    """Choose the next length: one that no stick needs again later, the longest; else what most sticks have come to."""
    heads = Counter(lengths[place] for place, lengths in zip(at, layouts, strict=True) if place < len(lengths))
    later = {
        length
        for place, lengths in zip(at, layouts, strict=True)
        for length in lengths[place + _run(lengths, place, lengths[place] if place < len(lengths) else Fraction(0)) :]
    }
    free = [length for length in heads if length not in later]
    return max(free) if free else max(heads, key=lambda length: (heads[length], length))


def _run(lengths: Sequence[Fraction], begin: int, length: Fraction) -> int:
    """Count how many parts in a row from `begin` have this length."""
    end = begin
    while end < len(lengths) and lengths[end] == length:
        end += 1
    return end - begin
