"""The linear relaxation of a section whose drops are worth something: sticks with and without a kept drop together.

A pattern on a stick whose drop is kept costs the stick, less the drop's worth; that depends on the pieces, so the part
values of such sticks are the dual values less what each piece takes off the drop.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from cutting.answer.load import held
from cutting.fit.instance import Instance
from cutting.fit.knapsack import Pattern
from cutting.packing.relaxation import Relaxation, RelaxedPoint, floors_of
from cutting.search.rooms.room import RoomCutter

__all__ = ["joint_values"]

MORE_PATTERNS = 4


def joint_values(
    cutters: Sequence[RoomCutter],
    demands: tuple[int, ...],
    shares: Sequence[tuple[Sequence[int], Sequence[int]]],
    should_stop: Callable[[], bool],
) -> list[tuple[int, ...]]:
    """Return part values for each room, from the relaxation of all of them together.

    Parameters
    ----------
    cutters : sequence of RoomCutter
        The rooms of one section.
    demands : tuple of int
        Pieces of each size of the section.
    shares : sequence of (costs, limits)
        For each room.
    should_stop : callable
        Ends it early.
    """
    first = cutters[0].room.instance
    instance = replace(
        first,
        demands=demands,
        capacities=tuple(each for cutter in cutters for each in cutter.room.instance.capacities),
        costs=tuple(max(0, cost) for costs, _ in shares for cost in costs),
        limits=tuple(limit for _, limits in shares for limit in limits),
    )
    relaxation = _Joint(instance, cutters, should_stop)
    point = relaxation.generate(should_stop)
    return [relaxation.values_in(cutter, point) for cutter in cutters]


class _Joint(Relaxation):
    """Column generation over all rooms of a section."""

    def __init__(self, instance: Instance, cutters: Sequence[RoomCutter], should_stop: Callable[[], bool]) -> None:
        self.cutters = list(cutters)
        self._starts = [sum(len(cutter.room.ways) for cutter in cutters[:at]) for at in range(len(cutters))]
        super().__init__(instance, cutters[0].fit, seeded=False)
        for cutter, start in zip(self.cutters, self._starts, strict=True):
            self._begin(cutter, start, should_stop)

    def _begin(self, cutter: RoomCutter, start: int, should_stop: Callable[[], bool]) -> None:
        """Begin with one column for each part on each kind of stick that holds it."""
        demands = self.instance.demands
        for kind, way in enumerate(cutter.room.ways):
            for part, size in enumerate(self.instance.sizes):
                if should_stop():
                    return
                if way.windows is None and demands[part] and size <= cutter.room.instance.capacities[kind]:
                    self.add(start + kind, cutter.fit.filled(kind, demands, part))

    def add(self, kind: int, pattern: Pattern) -> bool:
        """Add a column at what its stick costs, with what its pieces take off the drop's worth."""
        takes = self._bench(kind).room.takes
        worth = sum(takes[size] * pieces for size, pieces in held(pattern))
        return self.master.add(kind, pattern, self.costs[kind] + worth)

    def _bench(self, kind: int) -> RoomCutter:
        return next(b for b, start in zip(reversed(self.cutters), reversed(self._starts), strict=True) if kind >= start)

    def values_in(self, cutter: RoomCutter, point: RelaxedPoint) -> tuple[int, ...]:
        """Return the part values of one room at a point."""
        takes = cutter.room.takes
        return tuple(max(0, value - round(take * point.scale)) for value, take in zip(point.values, takes, strict=True))

    def price(self, point: RelaxedPoint) -> bool:
        """Add the columns that improve on `point`; say whether there was one."""
        added = []
        floors = floors_of(point, self.costs)
        for cutter, start in zip(self.cutters, self._starts, strict=True):
            beaten = floors[start : start + len(cutter.room.ways)]
            best, more = cutter.fit.several(self.values_in(cutter, point), floors=beaten, most=MORE_PATTERNS)
            added += [self.add(start + k, pattern) for k, pattern in enumerate(best.patterns) if pattern is not None]
            added += [self.add(start + kind, pattern) for kind, pattern in more]
        return any(added)
