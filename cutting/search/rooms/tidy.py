"""Ties go to the person: the same parts on the same sticks, easier on the shop.

In this order, best effort: fewest distinct layouts; leftovers in few long drops (largest sum of squares); fewest
sticks. Every budget here counts work, never time, so that the outcome repeats.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import islice

from cutting.answer.load import Load, merged
from cutting.fit.fit import Best, Fit

__all__ = ["tidy"]

EXCHANGES = 200


def tidy(fit: Fit, loads: Sequence[Load], should_stop: Callable[[], bool]) -> tuple[Load, ...]:
    """Replace loads by others of the same parts on no other sticks that are easier on the shop.

    Parameters
    ----------
    fit : Fit
        What their parts do on their sticks.
    loads : sequence of Load
        As they are.
    should_stop : callable
        Ends it.
    """
    loads = _fewer_layouts(fit, merged(loads), should_stop)
    return _longer_drops(fit, loads, should_stop)


def _score(fit: Fit, loads: Sequence[Load]) -> tuple[int, int]:
    """Smaller is better: layouts (a pattern on another kind of stick is another layout), then short drops."""
    # Squares by waste: the last kerf that the drop loses is the same everywhere.
    return (len(loads), -sum(load.times * fit.waste(load.kind, load.pattern) ** 2 for load in loads))


def _fewer_layouts(fit: Fit, loads: tuple[Load, ...], should_stop: Callable[[], bool]) -> tuple[Load, ...]:
    """Keep the plan, or a run-by-run refill of the same sticks where that has fewer layouts."""
    refilled = _refill(fit, loads, should_stop)
    if refilled is not None and _score(fit, refilled) < _score(fit, loads):
        return refilled
    return loads


def _refill(fit: Fit, loads: Sequence[Load], should_stop: Callable[[], bool]) -> tuple[Load, ...] | None:
    """Fill the same sticks again in long runs of one pattern each.

    The sequential heuristic of Haessler (AIIE Transactions 7, 1975): the pattern that can be repeated most often while
    it wastes no more than its share of what may be wasted goes first.
    """
    left = [0] * len(fit.sizes)
    sticks = Counter[int]()
    spare = 0
    for load in loads:
        sticks[load.kind] += load.times
        spare += fit.waste(load.kind, load.pattern) * load.times
        left = [pieces + count * load.times for pieces, count in zip(left, load.pattern, strict=True)]
    done: list[Load] = []
    while any(left):
        if len(done) + 1 >= len(loads) or should_stop():
            return None
        found = _longest_run(fit, left, sticks, spare)
        if found is None:
            return None
        done.append(found)
        sticks[found.kind] -= found.times
        spare -= fit.waste(found.kind, found.pattern) * found.times
        left = [have - need * found.times for have, need in zip(left, found.pattern, strict=True)]
    return merged(done)


def _longest_run(fit: Fit, left: list[int], sticks: Counter[int], spare: int) -> Load | None:
    share = spare / max(1, sum(sticks.values()))
    for run in _runs(max(sticks.values())):
        demands = [count // run for count in left]
        if not any(demands):
            continue
        best = _fullest(fit, demands)
        fits: list[tuple[float, Load]] = []
        for kind, count in sticks.items():
            pattern = best.patterns[kind]
            if count >= run and pattern is not None and any(pattern):
                load = Load(kind=kind, pattern=pattern, times=run)
                fits.append((fit.waste(load.kind, load.pattern), load))
        if fits:
            waste, load = min(fits, key=lambda entry: entry[0])
            if waste <= share or (run == 1 and waste <= spare):
                return load
    return None


def _fullest(fit: Fit, demands: Sequence[int]) -> Best:
    """Fill a stick of every kind; rows of angled parts not quite as full as they may be."""
    if fit.rows is None:
        return fit.best(fit.sizes, demands=demands)
    return fit.rough[0].several(fit.sizes, demands=demands, floors=[0] * len(fit.capacities), most=0)[0]


def _runs(most: int) -> Iterable[int]:
    """Run lengths to try, longest first, thinning out so that a long job stays cheap."""
    run = most
    while run >= 1:
        yield run
        run = min(run - 1, run * 9 // 10) if run > 1 else 0


def _longer_drops(fit: Fit, loads: tuple[Load, ...], should_stop: Callable[[], bool]) -> tuple[Load, ...]:
    """Repack pairs of single sticks so that one is as full as it can be and the other keeps the long drop."""
    kept = [load for load in loads if load.times > 1]
    known = {(load.kind, load.pattern) for load in kept}
    ones = sorted((load for load in loads if load.times == 1), key=lambda load: fit.waste(load.kind, load.pattern))
    single: list[Load | None] = [*ones]
    for first, second in _pairs(len(single)):
        if should_stop():
            break
        full, other = single[first], single[second]
        if full is None or other is None or not fit.waste(full.kind, full.pattern):
            continue
        better = _repack(fit, full, other)
        fresh = sum((load.kind, load.pattern) not in known for load in better)
        before = fit.waste(full.kind, full.pattern) ** 2 + fit.waste(other.kind, other.pattern) ** 2
        after = sum(fit.waste(load.kind, load.pattern) ** 2 for load in better)
        if better and (fresh - 2, -after) < (0, -before):
            single[first], single[second] = better[0], (better[1] if len(better) > 1 else None)
    return merged([*kept, *(load for load in single if load is not None)])


def _pairs(count: int) -> Iterator[tuple[int, int]]:
    """Fullest stick with emptiest stick first; so many pairs as the budget allows."""
    pairs = ((first, second) for first in range(count) for second in range(count - 1, first, -1))
    return islice(pairs, EXCHANGES)


def _repack(fit: Fit, full: Load, other: Load) -> tuple[Load, ...]:
    """Fill `full` as far as the pieces of both allow; the rest goes on `other` (nothing where it doesn't fit)."""
    union = [a + b for a, b in zip(full.pattern, other.pattern, strict=True)]
    pattern = fit.fullest(full.kind, union)
    rest = tuple(a - b for a, b in zip(union, pattern, strict=True))
    if not any(rest):
        return (Load(kind=full.kind, pattern=pattern, times=1),)
    moved = Load(kind=other.kind, pattern=rest, times=1)
    if not fit.holds(moved.kind, moved.pattern):
        return ()
    return (Load(kind=full.kind, pattern=pattern, times=1), moved)
