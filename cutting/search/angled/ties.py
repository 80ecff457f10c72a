"""Ties go to the person, for parts with angled ends: least steel of one's own, then fewest layouts, then long drops."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import islice

from cutting.answer.load import Load
from cutting.fit.angled.order import Orders
from cutting.search.loop import Answer, Search
from cutting.search.ties import sparing

__all__ = ["tidy_rows"]

_EXCHANGES = 100


def tidy_rows(search: Search, answer: Answer, own_lengths: Sequence[int]) -> Answer:
    """Replace the loads by ones of the same cost that are easier on the shop."""
    assert answer.loads is not None
    assert search.instance.rows is not None
    loads = sparing(search, answer.loads, own_lengths) if any(own_lengths) else answer.loads
    loads = _longer_drops(search, Orders(search.instance.rows), _merged(loads))
    cost = sum(search.instance.costs[load.kind] * load.times for load in loads)
    return Answer(loads=loads, cost=cost, bound=answer.bound, rests=answer.rests, work=answer.work)


def _merged(loads: Sequence[Load]) -> tuple[Load, ...]:
    times: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for load in loads:
        times[load.kind, load.pattern] += load.times
    return tuple(Load(kind=kind, pattern=pattern, times=count) for (kind, pattern), count in times.items())


def _longer_drops(search: Search, orders: Orders, loads: tuple[Load, ...]) -> tuple[Load, ...]:
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
        if search.clock.over():
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
    return _merged([*kept, *single])
