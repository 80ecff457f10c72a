"""A first plan at once: stick after stick, longest part first, from whichever kind is cheapest for what it holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cutting.fit.instance import Instance
from cutting.packing.load import Load

__all__ = ["fill_greedily", "longest_first"]


Ints = NDArray[Any]


def longest_first(instance: Instance, left: Sequence[int], capacity: int, first: int = 0) -> tuple[int, ...]:
    """Fill one stick with what is left, longest first (first fit decreasing), or `first` before all others."""
    pattern = [0] * len(left)
    for part in (first, *range(first), *range(first + 1, len(left))):
        size = instance.sizes[part]
        take = min(left[part], capacity // size)
        pattern[part] = take
        capacity -= take * size
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
    left = np.array(instance.demands, dtype=np.int64)
    sticks = np.array(instance.limits, dtype=np.int64)
    loads = list(begun)
    for load in loads:
        left -= np.array(load.pattern, dtype=np.int64) * load.times
        sticks[load.kind] -= load.times
    while left.any():
        found = _cheapest_fill(instance, left, sticks)
        if found is None:
            return None
        kind, pattern = found
        times = min(int(sticks[kind]), int((left[pattern > 0] // pattern[pattern > 0]).min()))
        loads.append(Load(kind=kind, pattern=tuple(pattern.tolist()), times=times))
        sticks[kind] -= times
        left -= pattern * times
    return tuple(loads)


def _cheapest_fill(instance: Instance, left: Ints, sticks: Ints) -> tuple[int, Ints] | None:
    """The kind whose stick costs least per length it holds of what is left, all kinds filled at once."""
    kinds = np.flatnonzero(sticks)
    capacities = np.array(instance.capacities, dtype=np.int64)[kinds]
    room = capacities.copy()
    patterns = np.zeros((len(kinds), len(left)), dtype=np.int64)
    for part in np.flatnonzero(left):
        take = np.minimum(room // instance.sizes[part], left[part])
        patterns[:, part] = take
        room -= take * instance.sizes[part]
    held = capacities - room
    if not held.any():
        return None
    costs = np.array(instance.costs, dtype=np.float64)[kinds]
    rate = np.where(held > 0, costs / np.maximum(held, 1), np.inf)
    best = int(np.lexsort((-held, rate))[0])
    return int(kinds[best]), patterns[best]
