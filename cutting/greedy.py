"""A first plan at once: fill stick after stick, longest part first, from whichever kind is cheapest for what it holds."""

from __future__ import annotations

from collections.abc import Sequence

from cutting.instance import Instance
from cutting.layouts import Load

__all__ = ["fill_greedily", "longest_first"]


def longest_first(instance: Instance, left: Sequence[int], capacity: int, first: int = 0) -> tuple[int, ...]:
    """Fill one stick with what is left, longest first (first fit decreasing), or `first` before all others."""
    pattern = [0] * len(left)
    for part in (first, *range(first), *range(first + 1, len(left))):
        size = instance.sizes[part]
        take = min(left[part], capacity // size)
        pattern[part] = take
        capacity -= take * size
    return tuple(pattern)


def fill_greedily(instance: Instance) -> tuple[Load, ...] | None:
    """Plan by hand's rule.

    Returns
    -------
    tuple of Load or None
        None where the limited sticks ran out; that proves nothing.
    """
    left = list(instance.demands)
    sticks = list(instance.limits)
    loads: list[Load] = []
    while any(left):
        found = _cheapest_fill(instance, left, sticks)
        if found is None:
            return None
        kind, pattern = found
        times = min([sticks[kind], *(have // need for have, need in zip(left, pattern, strict=True) if need)])
        loads.append(Load(kind=kind, pattern=pattern, times=times))
        sticks[kind] -= times
        left = [have - need * times for have, need in zip(left, pattern, strict=True)]
    return tuple(loads)


def _cheapest_fill(instance: Instance, left: list[int], sticks: list[int]) -> tuple[int, tuple[int, ...]] | None:
    """The kind whose stick costs least per length it holds of what is left."""
    best: tuple[float, int] | None = None
    chosen: tuple[int, tuple[int, ...]] | None = None
    for kind, capacity in enumerate(instance.capacities):
        if not sticks[kind]:
            continue
        pattern = longest_first(instance, left, capacity)
        held = sum(size * count for size, count in zip(instance.sizes, pattern, strict=True))
        if held:
            score = (instance.costs[kind] / held, -held)
            if best is None or score < best:
                best, chosen = score, (kind, pattern)
    return chosen
