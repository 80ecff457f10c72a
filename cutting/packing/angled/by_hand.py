"""A first plan at once for parts with angled ends: hand's rule, every row filled up as far as nesting allows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from cutting.fit.angled.order import Orders
from cutting.fit.instance import Instance

__all__ = ["fill_rows", "filled"]

Pattern = tuple[int, ...]


def filled(orders: Orders, pattern: Sequence[int], left: Sequence[int], capacity: int) -> Pattern:
    """Add to a row that fits whatever still does, in the order of the parts (`capacity`: clear length)."""
    row = list(pattern)
    items, type_of = orders.model.items, orders.type_of
    stated = sum(n * item.length for n, item in zip(row, items, strict=True) if n)
    counts = list(orders.counts(row))
    beyond: dict[int, int] = {}  # with one more of a type, as long as nothing is added
    for part, have in enumerate(left):
        kind = type_of[part]
        while row[part] < have:
            if kind not in beyond:
                counts[kind] += 1
                beyond[kind] = orders.beyond_types(counts)
                counts[kind] -= 1
            if stated + items[part].length + beyond[kind] > capacity:
                break
            row[part] += 1
            stated += items[part].length
            counts[kind] += 1
            beyond.clear()
    return tuple(row)


def fill_rows(
    instance: Instance, orders: Orders | None = None, begun: Iterable[tuple[int, Pattern, int]] = ()
) -> list[tuple[int, Pattern, int]] | None:
    """Plan by hand's rule: (kind, row, sticks), those begun kept; None where the limited sticks ran out (no proof)."""
    assert instance.rows is not None
    orders = orders or Orders(instance.rows)
    left, sticks = list(instance.demands), list(instance.limits)
    loads = list(begun)
    for kind, pattern, times in loads:
        left = [have - need * times for have, need in zip(left, pattern, strict=True)]
        sticks[kind] -= times
    while any(left):
        found = _cheapest(instance, orders, left, sticks)
        if found is None:
            return None
        kind, pattern = found
        times = min([sticks[kind], *(have // need for have, need in zip(left, pattern, strict=True) if need)])
        loads.append((kind, pattern, times))
        sticks[kind] -= times
        left = [have - need * times for have, need in zip(left, pattern, strict=True)]
    return loads


def _cheapest(
    instance: Instance, orders: Orders, left: Sequence[int], sticks: Sequence[int]
) -> tuple[int, Pattern] | None:
    """Fill the kind whose stick costs least per length it holds of what is left."""
    best: tuple[float, int] | None = None
    chosen: tuple[int, Pattern] | None = None
    for kind, available in enumerate(sticks):
        if not available:
            continue
        pattern = _longest_first(instance, orders, left, kind)
        held = sum(size * count for size, count in zip(instance.sizes, pattern, strict=True))
        if held and (best is None or (instance.costs[kind] / held, -held) < best):
            best, chosen = (instance.costs[kind] / held, -held), (kind, pattern)
    if chosen is None or instance.rows is None:
        return None
    kind, pattern = chosen
    return kind, filled(orders, pattern, left, instance.rows.capacities[kind])


def _longest_first(instance: Instance, orders: Orders, left: Sequence[int], kind: int) -> Pattern:
    """Fill one stick longest first by safe sizes; where not even one part fits by those, with the first that does."""
    assert instance.rows is not None
    pattern, room = [0] * len(left), instance.capacities[kind]
    for part, have in enumerate(left):
        pattern[part] = min(have, room // instance.sizes[part])
        room -= pattern[part] * instance.sizes[part]
    if any(pattern):
        return tuple(pattern)
    for part, have in enumerate(left):
        if have:
            pattern[part] = 1
            if orders.span(pattern) <= instance.rows.capacities[kind]:
                return tuple(pattern)
            pattern[part] = 0
    return tuple(pattern)
