"""A packing by simple rules, in next to no time: the longest part first into the best place."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import Counter

from cutting.answer.load import Load
from cutting.packing.bag import Bag

__all__ = ["best_fit"]


def best_fit(bag: Bag) -> tuple[Load, ...] | None:
    """Put each part, longest first, where it leaves least; None where one does not fit any more.

    References
    ----------
    Johnson, D. S. (1974). Fast algorithms for bin packing. Journal of Computer and System
    Sciences 8 (best fit decreasing).
    """
    sticks = [kind for kind, count in enumerate(bag.counts) for _ in range(count)]
    rooms = sorted((bag.capacities[kind], at) for at, kind in enumerate(sticks))
    held: list[list[int]] = [[0] * len(bag.sizes) for _ in sticks]
    for i, (size, demand) in enumerate(zip(bag.sizes, bag.demands, strict=True)):
        for _ in range(demand):
            place = bisect_left(rooms, (size, -1))
            if place == len(rooms):
                return None
            room, at = rooms.pop(place)
            held[at][i] += 1
            insort(rooms, (room - size, at))
    alike = Counter((kind, tuple(pattern)) for kind, pattern in zip(sticks, held, strict=True) if any(pattern))
    return tuple(Load(kind=kind, pattern=pattern, times=times) for (kind, pattern), times in alike.items())
