"""Square parts on a stick: they fit if and only if their sizes come to no more than its capacity."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import compress
from operator import mul
from typing import Final

from cutting.fit.knapsack import Knapsack, Pattern
from cutting.fit.marked.windows import Windows, assign

__all__ = ["Square", "fullest"]


class Square(Knapsack):
    """What square parts do on a stick; see `cutting.fit.fit.Fit`, and `Knapsack` for the parameters."""

    rows: Final = None

    def holds(self, kind: int, pattern: Pattern) -> bool:
        """Whether a stick of a kind holds these pieces."""
        return self.waste(kind, pattern) >= 0

    def filled(self, kind: int, left: Sequence[int], first: int | None = None) -> Pattern:
        """Fill one stick longest first (first fit decreasing), or with all of `first` before the others."""
        pattern, room = [0] * len(left), self.capacities[kind]
        if first is not None:
            pattern[first] = min(left[first], room // self.sizes[first])
            room -= pattern[first] * self.sizes[first]
        # Sizes descend, so what is too long for the room left is stepped over at once.
        waiting = list(compress(range(len(left)), left))
        at = bisect_left(waiting, -room, key=self._below)
        while at < len(waiting):
            part = waiting[at]
            if part != first:
                pattern[part] = min(left[part], room // self.sizes[part])
                room -= pattern[part] * self.sizes[part]
            at = bisect_left(waiting, -room, lo=at + 1, key=self._below)
        return tuple(pattern)

    def _below(self, part: int) -> int:
        return -self.sizes[part]

    def fullest(self, kind: int, counts: Sequence[int]) -> Pattern:
        """Fill one stick as far as these pieces allow."""
        return fullest(self.sizes, counts, self.capacities[kind])

    def waste(self, kind: int, pattern: Pattern) -> int:
        """What these pieces leave of a stick."""
        held: int = sum(map(mul, self.sizes, pattern))
        return self.capacities[kind] - held

    def split(self, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
        """Distribute pieces over the windows between a yard's marks."""
        return assign(self.sizes, pattern, windows)

    def alike(self, kind: int) -> int:
        """Return what sticks that hold the same have in common: their capacity."""
        return self.capacities[kind]

    def on(self, kinds: Sequence[int]) -> Square:
        """Only these kinds of stick."""
        return Square(self.sizes, self.demands, [self.capacities[kind] for kind in kinds])

    def among(self, parts: Sequence[int], demands: Sequence[int]) -> Square:
        """Only these parts, so many of each."""
        return Square([self.sizes[part] for part in parts], demands, self.capacities)

    def cut_to(self, lengths: Sequence[int]) -> Square:
        """The same parts on sticks of these lengths."""
        return Square(self.sizes, self.demands, lengths)


def fullest(sizes: Sequence[int], counts: Sequence[int], capacity: int) -> tuple[int, ...]:
    """Choose pieces whose sizes add up to as much as a capacity allows.

    Reachable sums are the bits of one whole number, so the grid may be fine.

    Parameters
    ----------
    sizes, counts : sequence of int
        The pieces there are.
    capacity : int
        Not to be exceeded.

    Returns
    -------
    tuple of int
        Pieces of each size.

    Examples
    --------
    >>> fullest((7, 5, 3), (2, 1, 3), 13)
    (1, 0, 2)
    """
    within = (1 << (capacity + 1)) - 1
    reach = 1
    stages: list[tuple[int, int]] = []
    for part, size in enumerate(sizes):
        for _ in range(counts[part]):
            stages.append((part, reach))
            reach |= (reach << size) & within
    total = reach.bit_length() - 1
    pattern = [0] * len(sizes)
    for part, before in reversed(stages):
        if not before >> total & 1:
            pattern[part] += 1
            total -= sizes[part]
    return tuple(pattern)
