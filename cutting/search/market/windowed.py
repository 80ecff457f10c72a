"""The search of a section some of whose sticks the yard may cut: patterns respect the windows between its marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.fit.marked.pricing import WindowKnapsack
from cutting.fit.marked.windows import Windows, assign
from cutting.packing.bag import Bag, Stick
from cutting.packing.by_hand import longest_first
from cutting.packing.columns import Columns
from cutting.packing.dive import dive
from cutting.packing.relaxation import Relaxation as Packing
from cutting.packing.relaxation import Work
from cutting.packing.selecting import choose, refute
from cutting.packing.survivors import Pool, Test, survivors
from cutting.search.loop import Outcome, Search

__all__ = ["WindowSearch"]

FIRST_DIVES = 2
MOST_DIVES = 30
POOL = 30_000  # most patterns to choose from
NODES = 5_000  # most nodes of one branch and bound
REFUTE = 60.0  # deterministic time for verifying what HiGHS calls infeasible


class WindowRelaxation(Columns):
    """The linear relaxation whose first columns respect windows too."""

    def __init__(self, instance: Instance, knapsack: WindowKnapsack, *, fit: bool = False) -> None:
        self.pricer = knapsack
        super().__init__(instance, knapsack, fit=fit)

    def _seed_columns(self) -> None:
        """For every part begin with one column on each kind of stick that holds it."""
        for load in fill_windows(self.instance, self.pricer) or ():
            self.add(load.kind, load.pattern)
        for part in range(len(self.instance.sizes)):
            for kind in range(len(self.instance.capacities)):
                pattern = _filled(self.instance, self.pricer, self.instance.demands, kind, first=part)
                if pattern[part]:
                    self.add(kind, pattern)


class WindowSearch(Search):
    """The search of one section with windowed kinds of stick.

    Parameters
    ----------
    instance : Instance
        The section.
    windows : sequence of Windows or None
        For each kind of stick.
    seed : int
        For every random choice.
    clock : Clock
        Ends the search.
    """

    def __init__(self, instance: Instance, windows: Sequence[Windows | None], *, seed: int, clock: Clock) -> None:
        self.windows = tuple(windows)
        super().__init__(instance, seed=seed, clock=clock)

    def _pricer(self) -> WindowKnapsack:
        inst = self.instance
        return WindowKnapsack(inst.sizes, inst.demands, inst.capacities, self.windows)

    def _relaxed(self, instance: Instance, *, fit: bool) -> Columns:
        return WindowRelaxation(instance, self._pricer(), fit=fit)

    def _by_hand(self, instance: Instance, begun: Sequence[Load] = ()) -> tuple[Load, ...] | None:
        return fill_windows(instance, self._pricer(), begun)

    def cut(self, counts: tuple[int, ...], effort: int) -> Outcome:
        """Cut all parts from these sticks with so much effort, or say what became of it."""
        packing = _Packing(self, counts, effort)
        outcome = packing.run()
        self._count(lp_solves=packing.work.lp_solves, dives=packing.work.dives, nodes=packing.work.nodes)
        return outcome


class _Packing:
    """All parts from exactly these sticks: dives, then the complete list of patterns that can matter."""

    def __init__(self, search: WindowSearch, counts: Sequence[int], effort: int) -> None:
        inst = search.instance
        self.clock = search.clock
        self.seed = search.seed
        self.effort = effort
        self.work = Work()
        self.rng = Random(search.seed)
        self.kinds = [kind for kind, count in enumerate(counts) if count]
        self.bag = Bag(
            sizes=inst.sizes,
            demands=inst.demands,
            capacities=tuple(inst.capacities[kind] for kind in self.kinds),
            counts=tuple(counts[kind] for kind in self.kinds),
        )
        self.pricer = WindowKnapsack(
            inst.sizes, inst.demands, self.bag.capacities, [search.windows[kind] for kind in self.kinds]
        )

    def should_stop(self) -> bool:
        return self.work.lp_solves >= self.effort or self.clock.over()

    def run(self) -> Outcome:
        if self.bag.slack < 0 or not self.kinds:
            return Outcome(impossible=True)
        self.relaxation = Packing(self.bag, self.pricer, self.work)  # type: ignore[arg-type]
        root = self.relaxation.solve(self.bag, self.should_stop)
        if root.violated:
            return self._verdict(root.values)
        found = self._dives(FIRST_DIVES) or self._proof() or self._dives(MOST_DIVES)
        return found or Outcome()

    def _verdict(self, values: tuple[int, ...]) -> Outcome:
        """Check once more, in whole numbers, that these part values rule the sticks out."""
        held = sum(v * n for v, n in zip(self.pricer.best(values).values, self.bag.counts, strict=True))
        worth = sum(v * d for v, d in zip(values, self.bag.demands, strict=True))
        return Outcome(impossible=held < worth)

    def _dives(self, most: int) -> Outcome | None:
        for _ in range(most):
            if self.should_stop():
                return None
            sticks = dive(self.relaxation, self.bag, self.rng, self.should_stop, self.clock.left)
            if sticks is not None:
                return self._loads(sticks)
        return None

    def _proof(self) -> Outcome | None:
        """List the patterns that can matter and choose from them."""
        root = self.relaxation.solve(self.bag, self.should_stop, enough=0.0)
        if root.violated:
            return self._verdict(root.values)
        values = [each for each in (root.values, self.bag.sizes) if root.finished]
        tests = [Test(values=each, best=self.pricer.best(each).values) for each in values]
        if not tests or any(test.slack(self.bag) < 0 for test in tests):
            return Outcome(impossible=True) if tests else None
        listed = survivors(self.bag, tests, POOL, self.should_stop)
        if listed is None:
            return None
        pool = listed.only(self._fitting(listed))
        self.work.patterns += len(pool)
        if not len(pool):
            return Outcome(impossible=True)
        choice = choose(self.bag, pool, nodes=NODES, seconds=max(0.01, self.clock.left()))
        self.work.nodes += choice.nodes
        if choice.none:
            again = refute(self.bag, pool, seed=self.seed, effort=REFUTE, should_stop=self.clock.over)
            self.work.nodes += again.nodes
            choice = again if again.none or again.sticks is not None else replace(choice, rests=Rests.FLOATING)
        if choice.sticks is not None:
            return self._loads(choice.sticks)
        return Outcome(impossible=True, rests=choice.rests) if choice.none else None

    def _fitting(self, pool: Pool) -> NDArray[Any]:
        """Mask the patterns that respect the windows of their kind."""
        rows = zip(pool.kinds.tolist(), pool.patterns.tolist(), strict=True)
        return np.array([self.pricer.fits(kind, tuple(pattern)) for kind, pattern in rows], dtype=np.bool_)

    def _loads(self, sticks: Sequence[Stick]) -> Outcome:
        """Leave out surplus pieces and go back to the instance's kinds."""
        left = list(self.bag.demands)
        loads = []
        for stick in sticks:
            for _ in range(stick.times):
                pattern = tuple(min(a, d) for a, d in zip(stick.pattern, left, strict=True))
                left = [d - a for d, a in zip(left, pattern, strict=True)]
                if any(pattern):
                    loads.append(Load(kind=self.kinds[stick.kind], pattern=pattern, times=1))
        assert not any(left)
        alike: dict[tuple[int, tuple[int, ...]], int] = {}
        for load in loads:
            alike[load.kind, load.pattern] = alike.get((load.kind, load.pattern), 0) + 1
        return Outcome(loads=tuple(Load(kind=k, pattern=p, times=n) for (k, p), n in alike.items()))


def fill_windows(instance: Instance, pricer: WindowKnapsack, begun: Sequence[Load] = ()) -> tuple[Load, ...] | None:
    """Plan by hand's rule, window by window, loads begun kept; None where the limited sticks ran out."""
    left, limits = list(instance.demands), list(instance.limits)
    loads = list(begun)
    for load in loads:
        limits[load.kind] -= load.times
        left = [d - n * load.times for d, n in zip(left, load.pattern, strict=True)]
    while any(left):
        best: tuple[float, int, tuple[int, ...]] | None = None
        for kind, limit in enumerate(limits):
            pattern = _filled(instance, pricer, left, kind) if limit else ()
            held = sum(size * n for size, n in zip(instance.sizes, pattern, strict=False))
            if held and (best is None or instance.costs[kind] / held < best[0]):
                best = (instance.costs[kind] / held, kind, pattern)
        if best is None:
            return None
        _, kind, pattern = best
        times = min(limits[kind], *(d // n for d, n in zip(left, pattern, strict=True) if n))
        loads.append(Load(kind=kind, pattern=pattern, times=times))
        limits[kind] -= times
        left = [d - n * times for d, n in zip(left, pattern, strict=True)]
    return tuple(loads)


def _filled(
    instance: Instance, pricer: WindowKnapsack, left: Sequence[int], kind: int, first: int = 0
) -> tuple[int, ...]:
    """Fill one stick, longest first, window after window."""
    windows = pricer.windows[kind]
    if windows is None:
        return longest_first(instance, left, instance.capacities[kind], first=first)
    pattern = (0,) * len(left)
    rest = list(left)
    for cap in windows.caps:
        here = longest_first(instance, rest, cap, first=first)
        trial = tuple(a + b for a, b in zip(pattern, here, strict=True))
        if assign(instance.sizes, trial, windows) is not None:
            pattern = trial
            rest = [d - n for d, n in zip(rest, here, strict=True)]
    return pattern
