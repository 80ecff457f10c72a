"""The packing question itself: parts still to be cut and the sticks there are to cut them from."""

from __future__ import annotations

from dataclasses import dataclass

from cutting.fit.knapsack import Pattern

__all__ = ["Bag", "Stick"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stick:
    """Some sticks of one capacity cut alike.

    Attributes
    ----------
    kind
        Index into the capacities of the bag.
    pattern
        Pieces of each part on every one of these sticks.
    times
        How many sticks, at least 1.
    """

    kind: int
    pattern: Pattern
    times: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Bag:
    """Parts to be cut from exactly these sticks (not all sticks need be used).

    Attributes
    ----------
    sizes
        Size of each part in grid units, distinct and descending.
    demands
        Pieces of each part, at least 0.
    capacities
        Capacity of each kind of stick, distinct and descending.
    counts
        Sticks of each kind, at least 0.
    """

    sizes: tuple[int, ...]
    demands: tuple[int, ...]
    capacities: tuple[int, ...]
    counts: tuple[int, ...]

    @property
    def slack(self) -> int:
        """Total capacity less total size of the parts."""
        room = sum(c * n for c, n in zip(self.capacities, self.counts, strict=True))
        return room - sum(w * d for w, d in zip(self.sizes, self.demands, strict=True))

    @property
    def done(self) -> bool:
        """Whether nothing is left to be cut."""
        return not any(self.demands)

    def without(self, kind: int, pattern: Pattern, times: int) -> Bag:
        """Return what is left after some sticks are cut; overlong cuts count as wanted ones."""
        demands = tuple(max(d - times * a, 0) for d, a in zip(self.demands, pattern, strict=True))
        counts = list(self.counts)
        counts[kind] -= times
        return Bag(sizes=self.sizes, demands=demands, capacities=self.capacities, counts=tuple(counts))
