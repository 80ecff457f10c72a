"""How often a stick is cut to one pattern: the answer in the engine's whole numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Load", "merged"]


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


def merged(loads: Iterable[Load]) -> tuple[Load, ...]:
    """Make equal loads one."""
    times: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for load in loads:
        times[load.kind, load.pattern] += load.times
    return tuple(Load(kind=kind, pattern=pattern, times=count) for (kind, pattern), count in times.items())
