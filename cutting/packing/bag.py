"""The packing question itself: parts still to be cut and the sticks there are to cut them from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from cutting.answer.load import Load
from cutting.fit.knapsack import Pattern

__all__ = ["Bag", "without_surplus"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Bag:
    """Parts to be cut from exactly these sticks (not all sticks need be used).

    Attributes
    ----------
    sizes
        Size of each part in grid units; with angled ends what it takes at least.
    demands
        Pieces of each part, at least 0.
    capacities
        Capacity of each kind of stick, descending.
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


def without_surplus(loads: Iterable[Load], demands: Sequence[int]) -> Iterator[Load]:
    """Name loads stick by stick without the pieces that nobody wants; what else is on a stick stays where it is."""
    left = list(demands)
    for load in loads:
        for _ in range(load.times):
            pattern = tuple(min(a, d) for a, d in zip(load.pattern, left, strict=True))
            if any(pattern):
                left = [d - a for d, a in zip(left, pattern, strict=True)]
                yield Load(kind=load.kind, pattern=pattern, times=1)
    if any(left):
        raise AssertionError("a packing must hold every part")
