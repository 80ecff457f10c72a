"""Ties go to the person: the same square parts on the same sticks, easier on the shop.

In this order, best effort: fewest distinct layouts; leftovers in few long drops (largest sum of squares); fewest
sticks. Every budget here counts work, never time, so that the outcome repeats.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import islice
from operator import mul

from cutting.answer.load import Load
from cutting.fit.instance import Instance
from cutting.fit.pricer import Pricer

__all__ = ["merged", "tidy"]

EXCHANGES = 200


def tidy(
    instance: Instance, knapsack: Pricer, loads: Sequence[Load], should_stop: Callable[[], bool]
) -> tuple[Load, ...]:
    """Replace loads by others of the same parts on no other sticks that are easier on the shop.

    Parameters
    ----------
    instance : Instance
        Their parts and sticks.
    knapsack : Pricer
        Prices patterns of it.
    loads : sequence of Load
        On sticks that a yard doesn't cut.
    should_stop : callable
        Ends it.
    """
    loads = _fewer_layouts(instance, knapsack, merged(loads), should_stop)
    return _longer_drops(instance, loads, should_stop)


def merged(loads: Iterable[Load]) -> tuple[Load, ...]:
    """Make equal loads one."""
    times: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for load in loads:
        times[load.kind, load.pattern] += load.times
    return tuple(Load(kind=kind, pattern=pattern, times=count) for (kind, pattern), count in times.items())


def _waste(instance: Instance, load: Load) -> int:
    held: int = sum(map(mul, instance.sizes, load.pattern))
    return instance.capacities[load.kind] - held


def _score(instance: Instance, loads: Sequence[Load]) -> tuple[int, int]:
    """Smaller is better: layouts (a pattern on another kind of stick is another layout), then short drops."""
    # Squares by waste: the last kerf that the drop loses is the same everywhere.
    return (len(loads), -sum(load.times * _waste(instance, load) ** 2 for load in loads))


def _fewer_layouts(
    instance: Instance, knapsack: Pricer, loads: tuple[Load, ...], should_stop: Callable[[], bool]
) -> tuple[Load, ...]:
    """Keep the plan, or a run-by-run refill of the same sticks where that has fewer layouts."""
    refilled = _refill(instance, knapsack, loads, should_stop)
    if refilled is not None and _score(instance, refilled) < _score(instance, loads):
        return refilled
    return loads


def _refill(
    instance: Instance, knapsack: Pricer, loads: Sequence[Load], should_stop: Callable[[], bool]
) -> tuple[Load, ...] | None:
    """Fill the same sticks again in long runs of one pattern each.

    The sequential heuristic of Haessler (AIIE Transactions 7, 1975): the pattern that can be repeated most often while
    it wastes no more than its share of what may be wasted goes first.
    """
    left = [0] * len(instance.sizes)
    sticks = Counter[int]()
    for load in loads:
        sticks[load.kind] += load.times
        left = [pieces + count * load.times for pieces, count in zip(left, load.pattern, strict=True)]
    done: list[Load] = []
    while any(left):
        if len(done) + 1 >= len(loads) or should_stop():
            return None
        found = _longest_run(instance, knapsack, left, sticks)
        if found is None:
            return None
        done.append(found)
        sticks[found.kind] -= found.times
        left = [have - need * found.times for have, need in zip(left, found.pattern, strict=True)]
    return merged(done)


def _longest_run(instance: Instance, knapsack: Pricer, left: list[int], sticks: Counter[int]) -> Load | None:
    room = sum(instance.capacities[kind] * count for kind, count in sticks.items())
    spare = room - sum(size * count for size, count in zip(instance.sizes, left, strict=True))
    share = spare / max(1, sum(sticks.values()))
    for run in _runs(max(sticks.values())):
        demands = [count // run for count in left]
        if not any(demands):
            continue
        best = knapsack.best(instance.sizes, demands=demands)
        fits: list[tuple[float, Load]] = []
        for kind, count in sticks.items():
            pattern = best.patterns[kind]
            if count >= run and pattern is not None and any(pattern):
                load = Load(kind=kind, pattern=pattern, times=run)
                fits.append((_waste(instance, load), load))
        if fits:
            waste, load = min(fits, key=lambda entry: entry[0])
            if waste <= share or (run == 1 and waste <= spare):
                return load
    return None


def _runs(most: int) -> Iterable[int]:
    """Run lengths to try, longest first, thinning out so that a long job stays cheap."""
    run = most
    while run >= 1:
        yield run
        run = min(run - 1, run * 9 // 10) if run > 1 else 0


def _longer_drops(instance: Instance, loads: tuple[Load, ...], should_stop: Callable[[], bool]) -> tuple[Load, ...]:
    """Repack pairs of single sticks so that one is as full as it can be and the other keeps the long drop."""
    kept = [load for load in loads if load.times > 1]
    known = {(load.kind, load.pattern) for load in kept}
    ones = sorted((load for load in loads if load.times == 1), key=lambda load: _waste(instance, load))
    single: list[Load | None] = [*ones]
    for first, second in _pairs(len(single)):
        if should_stop():
            break
        full, other = single[first], single[second]
        if full is None or other is None or not _waste(instance, full):
            continue
        better = _repack(instance, full, other)
        fresh = sum((load.kind, load.pattern) not in known for load in better)
        before = _waste(instance, full) ** 2 + _waste(instance, other) ** 2
        after = sum(_waste(instance, load) ** 2 for load in better)
        if better and (fresh - 2, -after) < (0, -before):
            single[first], single[second] = better[0], (better[1] if len(better) > 1 else None)
    return merged([*kept, *(load for load in single if load is not None)])


def _pairs(count: int) -> Iterator[tuple[int, int]]:
    """Fullest stick with emptiest stick first; so many pairs as the budget allows."""
    pairs = ((first, second) for first in range(count) for second in range(count - 1, first, -1))
    return islice(pairs, EXCHANGES)


def _repack(instance: Instance, full: Load, other: Load) -> tuple[Load, ...]:
    """Fill `full` as far as the pieces of both allow; the rest goes on `other` (nothing where it doesn't fit)."""
    union = [a + b for a, b in zip(full.pattern, other.pattern, strict=True)]
    pattern = fullest(instance.sizes, union, instance.capacities[full.kind])
    rest = tuple(a - b for a, b in zip(union, pattern, strict=True))
    if not any(rest):
        return (Load(kind=full.kind, pattern=pattern, times=1),)
    moved = Load(kind=other.kind, pattern=rest, times=1)
    if _waste(instance, moved) < 0:
        return ()
    return (Load(kind=full.kind, pattern=pattern, times=1), moved)


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
