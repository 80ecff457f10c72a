"""The cutting of some parts of one section: whether given sticks hold them, how, and what buying learns where not.

Which sticks to take is the loop's to propose (`cutting.search.market.loop`). The fractional test answers first: where
not even a fractional layout exists, its dual values become one more inequality. Otherwise the packing room tries to lay
every part out, or proves that it can't.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.fit.knapsack import Knapsack
from cutting.fit.pricer import Pricer
from cutting.packing.by_hand import fill_greedily
from cutting.packing.columns import Columns, Pattern
from cutting.packing.inequality import Inequality, price_out
from cutting.packing.pack import Infeasible, Packed, pack
from cutting.search.ties import tidy

__all__ = ["Covered", "Outcome", "Priced", "Search", "Work"]

WHOLE = 1e-6


@dataclass(kw_only=True, slots=True)
class Work:
    """Deterministic counts of what was done.

    Attributes
    ----------
    lp_solves, dives, nodes : int
        Linear programs solved, dives made, proof nodes visited.
    """

    lp_solves: int = 0
    dives: int = 0
    nodes: int = 0

    def plus(self, other: Work) -> Work:
        """Return this and other work together."""
        return Work(
            lp_solves=self.lp_solves + other.lp_solves,
            dives=self.dives + other.dives,
            nodes=self.nodes + other.nodes,
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """What became of one set of sticks: loads, or proven impossible, or neither."""

    loads: tuple[Load, ...] | None = None
    impossible: bool = False
    rests: Rests = Rests.EXACT


@dataclass(frozen=True, kw_only=True, slots=True)
class Priced:
    """What the linear relaxation at some prices and limits says.

    Attributes
    ----------
    inequality : Inequality
        Of its dual values.
    scale : float
        Units of part value to one unit of cost.
    rounded : tuple of Load or None
        A plan: the whole parts of the columns used, what is left by hand's rule; None where that finds none.
    """

    inequality: Inequality
    scale: float
    rounded: tuple[Load, ...] | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Covered:
    """The best choice among all rows that matter: loads where it is cheaper, and whether it is proven the best."""

    loads: tuple[Load, ...]
    proven: bool


class Search:
    """The cutting of given parts from given kinds of stick.

    Parameters
    ----------
    instance : Instance
        The parts, all of which are to be cut, and the kinds of stick.
    seed : int
        For every random choice.
    clock : Clock
        Ends it.
    """

    def __init__(self, instance: Instance, *, seed: int, clock: Clock) -> None:
        self.instance = instance
        self.seed = seed
        self.clock = clock
        self.knapsack = self._pricer()
        self._work = Work()
        self._relaxations: list[Columns] = []
        self._fit: Columns | None = None

    @property
    def work(self) -> Work:
        """All work done here."""
        relaxations = [*self._relaxations, *([] if self._fit is None else [self._fit])]
        return replace(self._work, lp_solves=self._work.lp_solves + sum(each.lp_solves for each in relaxations))

    def at(self, costs: Sequence[int], limits: Sequence[int]) -> Instance:
        """Return the instance at other prices and limits."""
        return replace(self.instance, costs=tuple(costs), limits=tuple(limits))

    def relaxed(self, costs: Sequence[int], limits: Sequence[int]) -> Priced | None:
        """Solve the linear relaxation at these prices and limits; None where time is over before."""
        instance = self.at(costs, limits)
        relaxation = self._relaxed(instance, fit=False)
        self._relaxations.append(relaxation)
        point = relaxation.generate(self.clock.over)
        if self.clock.over():
            return None
        return Priced(
            inequality=price_out(instance, self.knapsack, point.values),
            scale=point.scale,
            rounded=self._rounded(instance, relaxation),
        )

    def by_hand(self, costs: Sequence[int], limits: Sequence[int]) -> tuple[Load, ...] | None:
        """Return a plan made by hand's rule at these prices and limits; None where that doesn't find one."""
        return self._by_hand(self.at(costs, limits))

    def explain(self, counts: tuple[int, ...]) -> Inequality | None:
        """Return an inequality that these sticks violate; None where a fractional layout exists."""
        if self._fit is None:
            self._fit = self._relaxed(self.instance, fit=True)
            for kind, pattern in (column for each in self._relaxations for column in each.columns):
                self._fit.add(kind, pattern)
        self._fit.limit(counts)
        point = self._fit.generate(self.clock.over)
        if not point.missing:
            return None
        inequality = price_out(self.instance, self.knapsack, point.values)
        return None if inequality.allows(counts) else inequality

    def cut(self, counts: tuple[int, ...], effort: int) -> Outcome:
        """Cut all parts from these sticks with so much effort, or say what became of it."""
        answer = pack(
            self.instance,
            counts,
            knapsack=self.knapsack,
            seed=self.seed,
            should_stop=self.clock.over,
            seconds_left=self.clock.left,
            effort=effort,
            columns=self._columns(),
        )
        self._count(lp_solves=answer.work.lp_solves, dives=answer.work.dives, nodes=answer.work.nodes)
        if isinstance(answer, Packed):
            return Outcome(loads=tuple(Load(kind=k, pattern=p, times=t) for k, p, t in answer.layouts))
        if isinstance(answer, Infeasible):
            return Outcome(impossible=True, rests=answer.rests)
        return Outcome()

    def cover(self, priced: Priced, cost: int | None, most: int, work: float) -> Covered | None:
        """Choose among all patterns that a plan cheaper than `cost` can use; None where that isn't tried.

        Square patterns are too many for that; for angled parts see `cutting.search.angled.loop`.
        """
        del priced, cost, most, work
        return None

    def rows_worth(self, kind: int, values: Sequence[int], least: int, most: int) -> list[Pattern] | None:
        """List every row worth so much that a stick of a kind holds; None where they are too many, as square ones."""
        del kind, values, least, most
        return None

    def tidied(self, loads: Sequence[Load]) -> tuple[Load, ...]:
        """Lay the same parts on no other sticks so that it is easier on the shop; no stick is cut by a yard."""
        return tidy(self.instance, self.knapsack, loads, self.clock.over)

    def _columns(self) -> list[tuple[int, Pattern]]:
        """Patterns that are known to be good."""
        known = self._fit or (self._relaxations[-1] if self._relaxations else None)
        return [] if known is None else known.columns

    def _count(self, *, lp_solves: int, dives: int, nodes: int) -> None:
        self._work.lp_solves += lp_solves
        self._work.dives += dives
        self._work.nodes += nodes

    def _pricer(self) -> Pricer:
        return Knapsack(self.instance.sizes, self.instance.demands, self.instance.capacities)

    def _relaxed(self, instance: Instance, *, fit: bool) -> Columns:
        return Columns(instance, self.knapsack, fit=fit)

    def _by_hand(self, instance: Instance, begun: Sequence[Load] = ()) -> tuple[Load, ...] | None:
        return fill_greedily(instance, begun)

    def _rounded(self, instance: Instance, relaxation: Columns) -> tuple[Load, ...] | None:
        """The whole parts of the relaxation's columns, what is left by hand's rule."""
        left = list(instance.demands)
        loads: list[Load] = []
        for (kind, pattern), weight in zip(relaxation.columns, relaxation.weights(), strict=True):
            times = int(weight + WHOLE)
            if times:
                times = min(times, *(have // need for have, need in zip(left, pattern, strict=True) if need))
            if times:
                left = [have - need * times for have, need in zip(left, pattern, strict=True)]
                loads.append(Load(kind=kind, pattern=pattern, times=times))
        return self._by_hand(instance, loads)
