"""Ties go to the person: the same parts with angled ends on the same sticks, easier on the shop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import islice

from cutting.answer.load import Load
from cutting.fit.angled.order import Orders
from cutting.search.ties import merged

__all__ = ["tidy_rows"]

_EXCHANGES = 100


def tidy_rows(orders: Orders, loads: Sequence[Load], should_stop: Callable[[], bool]) -> tuple[Load, ...]:
    """Replace loads by others of the same parts on the same sticks that are easier on the shop."""
    return _longer_drops(orders, merged(loads), should_stop)


def _longer_drops(orders: Orders, loads: tuple[Load, ...], should_stop: Callable[[], bool]) -> tuple[Load, ...]:
    """Move parts from sticks with much left to such with little, where that makes no layout more.

    Only sticks with a layout of their own are looked at; a part moves where it fits and the squares of what is left
    grow.
    """
    kept = [load for load in loads if load.times > 1]
    single = [load for load in loads if load.times == 1]
    capacities = orders.model.capacities

    def left(kind: int, pattern: Sequence[int]) -> int:
        return capacities[kind] - orders.span(pattern) if any(pattern) else capacities[kind]

    pairs = ((a, b) for a in range(len(single)) for b in range(len(single)) if a != b)
    for a, b in islice(pairs, _EXCHANGES):
        if should_stop():
            break
        full, other = single[a], single[b]
        before = left(full.kind, full.pattern) ** 2 + left(other.kind, other.pattern) ** 2
        for part, pieces in enumerate(other.pattern):
            if not pieces or sum(other.pattern) == 1:
                continue
            taken = (*full.pattern[:part], full.pattern[part] + 1, *full.pattern[part + 1 :])
            given = (*other.pattern[:part], pieces - 1, *other.pattern[part + 1 :])
            rest = left(full.kind, taken)
            if rest >= 0 and rest**2 + left(other.kind, given) ** 2 > before:
                single[a] = full = Load(kind=full.kind, pattern=taken, times=1)
                single[b] = other = Load(kind=other.kind, pattern=given, times=1)
                before = rest**2 + left(other.kind, given) ** 2
    return merged([*kept, *single])
