"""How often a stick is cut to one pattern: the answer in the engine's whole numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import compress

__all__ = ["Load", "held", "in_order", "merged"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Load:
    """So many sticks of one kind, all cut to one pattern.

    Attributes
    ----------
    kind : int
        Kind of stick, by its number in the instance.
    pattern : tuple of int
        Pieces of each size on one stick.
    times : int
        Sticks, at least 1.
    """

    kind: int
    pattern: tuple[int, ...]
    times: int


def held(pattern: Sequence[int]) -> list[tuple[int, int]]:
    """List what a pattern holds as (size, pieces): a stick has room for few of thousands of sizes.

    Examples
    --------
    >>> held((0, 2, 0, 1))
    [(1, 2), (3, 1)]
    """
    return [(size, pattern[size]) for size in compress(range(len(pattern)), pattern)]


def in_order(loads: Iterable[Load]) -> list[Load]:
    """Sort loads: the most sticks first, then those with most of the longest parts, then by kind of stick."""
    by_kind = sorted(loads, key=lambda load: load.kind)
    return sorted(by_kind, key=lambda load: (load.times, load.pattern), reverse=True)  # which keeps ties in order


def merged(loads: Iterable[Load]) -> tuple[Load, ...]:
    """Make equal loads one."""
    times: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for load in loads:
        times[load.kind, load.pattern] += load.times
    return tuple(Load(kind=kind, pattern=pattern, times=count) for (kind, pattern), count in times.items())
