"""The cutting room for parts with angled ends: can all rows be cut from exactly these sticks?

The same stages as `cutting.packing`, over rows instead of plain patterns.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from random import Random

from cutting.angled.pricing import RowPricer, Rows
from cutting.bag import Bag, Stick
from cutting.dive import dive
from cutting.instance import Instance
from cutting.knapsack import Pattern
from cutting.packing import Infeasible, Packed, Unknown
from cutting.plan import Rests
from cutting.relaxation import Relaxation, Work

__all__ = ["pack_rows"]


class _Packing:
    """One question to the cutting room."""

    def __init__(self, instance: Instance, counts: Sequence[int], rows: Rows, seed: int) -> None:
        self.instance = instance
        self.counts = counts
        self.rng = Random(seed)
        self.work = Work()
        capacities = rows.automaton.capacities
        merged: Counter[int] = Counter()
        for kind, count in enumerate(counts):
            if count:
                merged[capacities[kind]] += count
        self.bag = Bag(
            sizes=rows.automaton.sizes,
            demands=instance.demands,
            capacities=tuple(sorted(merged, reverse=True)),
            counts=tuple(merged[c] for c in sorted(merged, reverse=True)),
        )
        self.kinds_of = {c: [k for k, n in enumerate(counts) if n and capacities[k] == c] for c in merged}
        self.pricer = RowPricer(rows, instance.demands, self.bag.capacities)

    def layouts(self, sticks: Sequence[Stick]) -> tuple[tuple[int, Pattern, int], ...]:
        """Drop surplus pieces (the others stay where they are) and give every stick a kind of the instance."""
        left = list(self.instance.demands)
        room = {kind: self.counts[kind] for kinds in self.kinds_of.values() for kind in kinds}
        layouts: Counter[tuple[int, Pattern]] = Counter()
        for stick in sticks:
            for _ in range(stick.times):
                pattern = tuple(min(a, d) for a, d in zip(stick.pattern, left, strict=True))
                if not any(pattern):
                    continue
                left = [d - a for d, a in zip(left, pattern, strict=True)]
                kind = next(k for k in self.kinds_of[self.bag.capacities[stick.kind]] if room[k])
                room[kind] -= 1
                layouts[kind, pattern] += 1
        return tuple((kind, pattern, times) for (kind, pattern), times in layouts.items())


def pack_rows(
    instance: Instance,
    counts: Sequence[int],
    *,
    rows: Rows,
    seed: int,
    should_stop: Callable[[], bool],
    effort: int,
) -> Packed | Infeasible | Unknown:
    """Cut all parts of a section with angled ends from exactly these sticks, or prove that it can't be done.

    Parameters
    ----------
    instance : Instance
        The section.
    counts : sequence of int
        Sticks of each kind.
    rows : Rows
        Its rows.
    seed : int
        For the random choices of the dives.
    should_stop : callable
        The caller's clock.
    effort : int
        Most linear programs solved.
    """
    packing = _Packing(instance, counts, rows, seed)
    work = packing.work
    relaxation = Relaxation(packing.bag, packing.pricer, work)  # type: ignore[arg-type]  a pricer answers like a knapsack
    root = relaxation.solve(packing.bag, should_stop)
    if root.violated:
        return Infeasible(rests=Rests.EXACT, values=root.values, work=work)

    def tired() -> bool:
        return work.lp_solves >= effort or should_stop()

    while not tired():
        packed = dive(relaxation, packing.bag, packing.rng, tired)
        if packed is not None:
            return Packed(layouts=packing.layouts(packed), work=work)
    return Unknown(work=work)
