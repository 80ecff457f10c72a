"""In which order to set the stop, so that it is moved seldom.

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

__all__ = ["Setting", "Stop", "stop_order"]

Stop = tuple[Fraction, str]
"""Length in mm, and ends."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Setting:
    """One setting of the stop.

    Attributes
    ----------
    length : Fraction
        mm.
    ends : str
        What else parts must have in common to be cut at it: their ends; empty for square ones.
    runs : tuple of (int, int, int)
        For each layout that is cut at it: its index, its first part here (from 0), and how many parts in a row.
    """

    length: Fraction
    ends: str
    runs: tuple[tuple[int, int, int], ...]


def stop_order(layouts: Sequence[Sequence[Stop]]) -> tuple[Setting, ...]:
    """Return the settings of the stop for layouts of one section.

    Parameters
    ----------
    layouts : sequence of sequence of (Fraction, str)
        For each layout length and ends of its parts in cutting order.

    Examples
    --------
    >>> nine, seven, five = (Fraction(9), ""), (Fraction(7), ""), (Fraction(5), "")
    >>> [int(setting.length) for setting in stop_order([[nine, five], [nine, seven, five]])]
    [9, 7, 5]
    """
    at = [0] * len(layouts)
    settings: list[Setting] = []
    while any(place < len(stops) for place, stops in zip(at, layouts, strict=True)):
        stop = _next(layouts, at)
        runs = []
        for index, stops in enumerate(layouts):
            count = _run(stops, at[index], stop)
            if count:
                runs.append((index, at[index], count))
                at[index] += count
        settings.append(Setting(length=stop[0], ends=stop[1], runs=tuple(runs)))
    return tuple(settings)


def _next(layouts: Sequence[Sequence[Stop]], at: Sequence[int]) -> Stop:
    """Choose the next stop: one that no stick needs again later, the longest; else what most sticks have come to."""
    here = [(stops, place) for place, stops in zip(at, layouts, strict=True) if place < len(stops)]
    heads = Counter(stops[place] for stops, place in here)
    later = {stop for stops, place in here for stop in stops[place + _run(stops, place, stops[place]) :]}
    free = [stop for stop in heads if stop not in later]
    return max(free) if free else max(heads, key=lambda stop: (heads[stop], stop))


def _run(stops: Sequence[Stop], begin: int, stop: Stop) -> int:
    """Count how many parts in a row from `begin` are cut at this stop."""
    end = begin
    while end < len(stops) and stops[end] == stop:
        end += 1
    return end - begin
