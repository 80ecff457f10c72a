"""Whether all parts of a section can be cut from exactly this bag of sticks: the cutting room.

`pack` answers with a packing, with a proof that there is none, or that it could not tell.  The
stages, each dearer than the one before: best fit by hand's rule; the fractional test, which may
end in an inequality in whole numbers; dives; and the choice among all patterns that survive
several inequalities (`cutting.packing.listing`), which finds a packing or proves that there is none.

A failed heuristic is never a proof.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

from cutting.answer.plan import Rests
from cutting.fit.knapsack import Knapsack, Pattern
from cutting.packing.bag import Bag, Stick
from cutting.packing.best_fit import best_fit
from cutting.packing.dive import dive
from cutting.packing.listing import Effort, among, settle
from cutting.packing.relaxation import Relaxation, Work
from cutting.packing.selecting import Choice
from cutting.packing.survivors import Test

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from cutting.fit.instance import Instance
    from cutting.fit.pricer import Pricer

__all__ = ["Infeasible", "Packed", "Unknown", "pack"]

_EFFORT = 1_000_000
_WIDE = 250  # so many parts make the linear programs slow
_EXACT = Effort(patterns=15_000, nodes=1, proof=5.0)
_ROUNDS = (  # dives, then a listing
    (1, Effort(patterns=3_000, nodes=500, proof=10.0)),
    (2, Effort(patterns=30_000, nodes=5_000, proof=60.0)),
    (10, Effort(patterns=50_000, nodes=50_000, proof=600.0)),
    (1_000, Effort(patterns=50_000, nodes=1_000_000, proof=6_000.0)),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Packed:
    """A packing: every part exactly as often as wanted.

    Attributes
    ----------
    layouts
        (kind of stick, pattern, how many sticks), kinds numbered as in the instance.
    work
        What it took.
    """

    layouts: tuple[tuple[int, Pattern, int], ...]
    work: Work


@dataclass(frozen=True, kw_only=True, slots=True)
class Infeasible:
    """A proof that the parts cannot be cut from these sticks, nor from fewer of them.

    Attributes
    ----------
    rests
        On what the proof rests: whole numbers, or a floating-point solver's word.
    values
        Part values whose inequality sum_s V_s y_s >= sum_i v_i d_i these sticks violate; None
        where only the whole-number packing fails.
    work
        What it took.
    """

    rests: Rests
    values: tuple[int, ...] | None
    work: Work


@dataclass(frozen=True, kw_only=True, slots=True)
class Unknown:
    """Neither a packing nor a proof was found within the effort allowed."""

    work: Work


def pack(
    instance: Instance,
    counts: Sequence[int],
    *,
    knapsack: Pricer,
    seed: int = 0,
    should_stop: Callable[[], bool] = lambda: False,
    seconds_left: Callable[[], float] = lambda: 5.0,
    effort: int = _EFFORT,
    columns: Iterable[tuple[int, Pattern]] = (),
) -> Packed | Infeasible | Unknown:
    """Cut all parts of a section from exactly these sticks, or prove that it cannot be done.

    Parameters
    ----------
    instance
        The section.
    counts
        Sticks of each kind.
    knapsack
        Knapsack over the instance's sizes, demands and capacities.
    seed
        For the random choices of the dives.
    should_stop
        Ends the search early (the clock of the caller).
    seconds_left
        How long a solver that cannot be interrupted may take at most.
    effort
        Most linear programs solved, over all stages.
    columns
        (kind of stick, pattern) already known to be useful, to start column generation from.

    Raises
    ------
    ValueError
        Where there are not as many counts as kinds of stick, or one is negative.
    """
    if len(counts) != len(instance.capacities) or min(counts, default=0) < 0:
        msg = "a count of at least 0 is needed for each kind of stick"
        raise ValueError(msg)
    return _Packing(
        instance,
        counts,
        knapsack=knapsack,
        seed=seed,
        should_stop=should_stop,
        seconds_left=seconds_left,
        effort=effort,
        columns=columns,
    ).run()


class _Packing:
    """One call of `pack`."""

    def __init__(
        self,
        instance: Instance,
        counts: Sequence[int],
        *,
        knapsack: Pricer,
        seed: int,
        should_stop: Callable[[], bool],
        seconds_left: Callable[[], float],
        effort: int,
        columns: Iterable[tuple[int, Pattern]],
    ) -> None:
        self.instance = instance
        self.counts = tuple(counts)
        self.knapsack = knapsack
        self.rng = Random(seed)
        self.clock = should_stop
        self.seconds_left = seconds_left
        self.effort = effort
        self.columns = columns
        self.work = Work()
        self.bag = _bag(instance, self.counts)

    def should_stop(self) -> bool:
        return self.work.lp_solves >= self.effort or self.clock()

    def run(self) -> Packed | Infeasible | Unknown:
        if self.bag.slack < 0 or not self.bag.capacities or self.bag.capacities[0] < self.bag.sizes[0]:
            return self._violated(self._simple_values())
        packed = best_fit(self.bag)
        if packed is not None:
            return self._packed(packed)
        if self.bag.slack == 0 and len(self.bag.sizes) >= _WIDE:
            outcome = self._by_size()
            if outcome is not None:
                return outcome
        knapsack = Knapsack(self.bag.sizes, self.bag.demands, self.bag.capacities)
        self.relaxation = Relaxation(self.bag, knapsack, self.work)
        self._seed_columns()
        root = self.relaxation.solve(self.bag, self.should_stop)
        if root.violated:
            return self._violated(root.values)
        return self._rounds() or Unknown(work=self.work)

    def _rounds(self) -> Packed | Infeasible | None:
        """Dive and list by turns, each round with more effort."""
        for dives, effort in _ROUNDS:
            outcome = self._dives(dives) or self._prove(effort)
            if outcome is not None:
                return outcome
        return None

    def _by_size(self) -> Packed | Infeasible | None:
        """Where nothing may be wasted, list what fills a stick exactly, with no linear program."""
        test = Test(values=self.bag.sizes, best=self.bag.capacities)
        return self._told(
            among(
                self.bag,
                [test],
                work=self.work,
                effort=_EXACT,
                should_stop=self.should_stop,
                seconds_left=self.seconds_left,
            ).choice
        )

    def _seed_columns(self) -> None:
        """Start column generation from what the caller knows, where it is within this bag."""
        kinds = {capacity: kind for kind, capacity in enumerate(self.bag.capacities)}
        for kind, pattern in self.columns:
            own = kinds.get(self.instance.capacities[kind])
            if own is not None and all(a <= d for a, d in zip(pattern, self.bag.demands, strict=True)):
                self.relaxation.add(own, tuple(pattern))

    def _dives(self, most: int) -> Packed | None:
        for _ in range(most):
            if self.should_stop():
                return None
            packed = dive(self.relaxation, self.bag, self.rng, self.should_stop, self.seconds_left)
            if packed is not None:
                return self._packed(packed)
        return None

    def _prove(self, effort: Effort) -> Packed | Infeasible | None:
        """List the patterns that can matter and choose from them."""
        listing = settle(self.relaxation, self.bag, effort, self.should_stop, self.seconds_left)
        if listing.violated is not None:
            outcome = self._violated(listing.violated)
            return outcome if isinstance(outcome, Infeasible) else None
        return self._told(listing.choice)

    def _told(self, choice: Choice) -> Packed | Infeasible | None:
        if choice.sticks is not None:
            return self._packed(choice.sticks)
        if choice.none:
            return Infeasible(rests=choice.rests, values=None, work=self.work)
        return None

    def _simple_values(self) -> tuple[int, ...]:
        """Values that show a shortage at a glance: the sizes, or 1 for a part that fits nowhere."""
        longest = self.bag.capacities[0] if self.bag.capacities else 0
        if self.bag.sizes[0] > longest:
            return (1, *(0 for _ in self.bag.sizes[1:]))
        return self.bag.sizes

    def _violated(self, values: tuple[int, ...]) -> Infeasible | Unknown:
        """Check the inequality once more, on the instance itself."""
        best = self.knapsack.best(values)
        held = sum(v * n for v, n in zip(best.values, self.counts, strict=True))
        worth = sum(v * d for v, d in zip(values, self.instance.demands, strict=True))
        if held >= worth:
            return Unknown(work=self.work)
        return Infeasible(rests=Rests.EXACT, values=values, work=self.work)

    def _packed(self, sticks: Sequence[Stick]) -> Packed:
        """Drop surplus pieces and give each stick a kind of the instance."""
        layouts: Counter[tuple[int, Pattern]] = Counter()
        supply = _supply(self.instance, self.counts)
        for capacity, pattern in _without_surplus(self.bag, sticks):
            kinds = supply[capacity]
            kind, left = kinds[-1]
            layouts[kind, pattern] += 1
            if left == 1:
                kinds.pop()
            else:
                kinds[-1] = (kind, left - 1)
        return Packed(
            layouts=tuple((kind, pattern, times) for (kind, pattern), times in layouts.items()),
            work=self.work,
        )


def _bag(instance: Instance, counts: Sequence[int]) -> Bag:
    """Merge kinds of equal capacity and leave out those that hold no part."""
    merged: Counter[int] = Counter()
    for capacity, count in zip(instance.capacities, counts, strict=True):
        if count and capacity >= instance.sizes[-1]:
            merged[capacity] += count
    capacities = tuple(sorted(merged, reverse=True))
    return Bag(
        sizes=instance.sizes,
        demands=instance.demands,
        capacities=capacities,
        counts=tuple(merged[capacity] for capacity in capacities),
    )


def _supply(instance: Instance, counts: Sequence[int]) -> dict[int, list[tuple[int, int]]]:
    """Return for each capacity the kinds of the instance that have it, with their counts."""
    supply: dict[int, list[tuple[int, int]]] = {}
    for kind in reversed(range(len(counts))):
        if counts[kind]:
            supply.setdefault(instance.capacities[kind], []).append((kind, counts[kind]))
    return supply


def _without_surplus(bag: Bag, sticks: Sequence[Stick]) -> list[tuple[int, Pattern]]:
    """List the sticks one by one as (capacity, pattern) with exactly the pieces wanted."""
    left = list(bag.demands)
    result = []
    for stick in sticks:
        for _ in range(stick.times):
            pattern = tuple(min(a, d) for a, d in zip(stick.pattern, left, strict=True))
            if any(pattern):
                left = [d - a for d, a in zip(left, pattern, strict=True)]
                result.append((bag.capacities[stick.kind], pattern))
    if any(left):
        msg = "a packing must hold every part"
        raise AssertionError(msg)
    return result
