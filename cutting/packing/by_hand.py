"""A first plan at once: stick after stick, longest part first, from whichever kind is cheapest for what it holds."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from operator import neg

from cutting.answer.load import Load
from cutting.fit.instance import Instance

__all__ = ["fill_greedily", "longest_first"]


def longest_first(instance: Instance, left: Sequence[int], capacity: int, first: int = 0) -> tuple[int, ...]:
    """Fill one stick with what is left, longest first (first fit decreasing), or `first` before all others."""
    sizes = instance.sizes
    pattern = [0] * len(left)
    pattern[first] = min(left[first], capacity // sizes[first])
    capacity -= pattern[first] * sizes[first]
    part = 0
    # Sizes descend, so what is too long for the room left is stepped over at once.
    while (part := bisect_left(sizes, -capacity, lo=part, key=neg)) < len(left):
        if part != first:
            pattern[part] = min(left[part], capacity // sizes[part])
            capacity -= pattern[part] * sizes[part]
        part += 1
    return tuple(pattern)


def fill_greedily(instance: Instance, begun: Iterable[Load] = ()) -> tuple[Load, ...] | None:
    """Plan by hand's rule.

    Parameters
    ----------
    instance : Instance
        The section.
    begun : iterable of Load
        Loads to keep as they are; they must not exceed demands or limits.

    Returns
    -------
    tuple of Load or None
        None where the limited sticks ran out; that proves nothing.
    """
    if instance.rows is not None:
        from cutting.packing.angled.by_hand import fill_rows  # noqa: PLC0415 - only where ends are angled

        rows = fill_rows(instance)
        return None if rows is None else tuple(Load(kind=k, pattern=p, times=t) for k, p, t in rows)
    left = list(instance.demands)
    sticks = list(instance.limits)
    loads = list(begun)
    for load in loads:
        for part, pieces in enumerate(load.pattern):
            left[part] -= pieces * load.times
        sticks[load.kind] -= load.times
    rest = _Left(instance, left)
    while rest.parts:
        found = _cheapest_fill(instance, rest, sticks)
        if found is None:
            return None
        kind, pattern = found
        times = min(sticks[kind], *(left[part] // pieces for part, pieces in pattern))
        row = [0] * len(left)
        for part, pieces in pattern:
            row[part] = pieces
        loads.append(Load(kind=kind, pattern=tuple(row), times=times))
        sticks[kind] -= times
        rest.take(pattern, times)
    return tuple(loads)


class _Left:
    """The pieces left, and the sizes of which there are any, so that a stick is filled without looking at the rest."""

    def __init__(self, instance: Instance, left: list[int]) -> None:
        self.instance = instance
        self.left = left
        self.parts = [part for part, pieces in enumerate(left) if pieces]
        self.lengths = [-instance.sizes[part] for part in self.parts]  # ascending, as bisection wants them

    def take(self, pattern: Sequence[tuple[int, int]], times: int) -> None:
        """Take the pieces of so many sticks."""
        for part, pieces in pattern:
            self.left[part] -= pieces * times
            if not self.left[part]:
                at = bisect_left(self.parts, part)
                del self.parts[at], self.lengths[at]

    def filled(self, capacity: int) -> tuple[list[tuple[int, int]], int]:
        """Fill one stick, longest first: (part, pieces) of each part on it, and the length that they take."""
        pattern, room, at = [], capacity, 0
        while (at := bisect_left(self.lengths, -room, lo=at)) < len(self.parts):
            part, size = self.parts[at], -self.lengths[at]
            pieces = min(room // size, self.left[part])
            pattern.append((part, pieces))
            room -= pieces * size
            at += 1
        return pattern, capacity - room


def _cheapest_fill(instance: Instance, rest: _Left, sticks: Sequence[int]) -> tuple[int, list[tuple[int, int]]] | None:
    """The kind whose stick costs least per length it holds of what is left."""
    best: tuple[float, int] | None = None
    chosen: tuple[int, list[tuple[int, int]]] | None = None
    for kind, available in enumerate(sticks):
        if not available:
            continue
        pattern, held = rest.filled(instance.capacities[kind])
        rank = (instance.costs[kind] / max(held, 1), -held)
        if held and (best is None or rank < best):
            best, chosen = rank, (kind, pattern)
    return chosen
