"""The search for the cheapest plan of one section: buying proposes, cutting lays out or says why it can't.

Each round the buying room names the cheapest set of sticks that everything learned so far allows. The fractional test
answers first: where not even a fractional layout exists, its dual values become one more inequality. Otherwise the
packing room tries to lay every part out, or proves that it can't. The first set that can be cut is the cheapest there
is; a set that could be neither cut nor ruled out ends the rise of the bound, and from then on the search only looks
for a plan.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from cutting.buying import Buying, NoGood, Proposal
from cutting.clock import Clock
from cutting.columns import Relaxation
from cutting.greedy import fill_greedily
from cutting.inequality import price_out
from cutting.instance import Instance
from cutting.knapsack import Knapsack
from cutting.layouts import Load
from cutting.packing import Infeasible, Packed, pack
from cutting.plan import Rests

__all__ = ["Answer", "Search", "Work"]

Report = Callable[[int | None, int | None], None]


@dataclass(kw_only=True, slots=True)
class Work:
    """Deterministic counts of what was done.

    Attributes
    ----------
    proposals, lp_solves, dives, nodes : int
        Sets of sticks proposed, linear programs solved, dives made, proof nodes visited.
    """

    proposals: int = 0
    lp_solves: int = 0
    dives: int = 0
    nodes: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """What the search of one section found.

    Attributes
    ----------
    loads : tuple of Load or None
        The best plan's loads; None where none was found.
    cost : int or None
        Its cost in the instance's units.
    bound : int or None
        No plan costs less; None where proven that no plan exists.
    rests : Rests
        On what the bound rests.
    work : Work
        How much was done.
    """

    loads: tuple[Load, ...] | None
    cost: int | None
    bound: int | None
    rests: Rests
    work: Work


class Search:
    """One section's search.

    Parameters
    ----------
    instance : Instance
        The section.
    seed : int
        For every random choice.
    clock : Clock
        Ends the search.
    report : callable
        Hears (cost of the best plan, bound) whenever one of them improves.
    """

    def __init__(self, instance: Instance, *, seed: int, clock: Clock, report: Report) -> None:
        self.instance = instance
        self.seed = seed
        self.clock = clock
        self.report = report
        self.knapsack = Knapsack(instance.sizes, instance.demands, instance.capacities)
        self.buying = Buying(instance, seed)
        self.work = Work()
        self.loads: tuple[Load, ...] | None = None
        self.cost: int | None = None
        self.bound: int | None = 0
        self.rests = Rests.EXACT
        self.proven = True  # every row of the buying model is proven, so its optimum is a bound
        self._relaxation = Relaxation(instance, self.knapsack)
        self._fit: Relaxation | None = None

    def run(self) -> Answer:
        """Search until the plan is proven, no plan is proven to exist, or the clock ends it."""
        self._take(fill_greedily(self.instance))
        point = self._relaxation.generate(self.clock.over)
        self.buying.require(price_out(self.instance, self.knapsack, point.values))
        while not self.clock.over() and not self._closed():
            if not self._round():
                break
        self.work.lp_solves += self._relaxation.lp_solves + (self._fit.lp_solves if self._fit else 0)
        return Answer(loads=self.loads, cost=self.cost, bound=self.bound, rests=self.rests, work=self.work)

    def _closed(self) -> bool:
        return self.bound is None or (self.cost is not None and self.bound >= self.cost)

    def _round(self) -> bool:
        """Propose once and deal with the proposal; say whether to go on."""
        proposal = self.buying.propose(seconds_left=self.clock.left)
        if proposal is False:
            return False
        if proposal is None:
            self._exhausted()
            return False
        assert isinstance(proposal, Proposal)
        self.work.proposals += 1
        self._raise_bound(proposal.cost)
        if self.cost is not None and proposal.cost >= self.cost:
            return False
        if self._fits_fractionally(proposal):
            self._take(self._try_to_cut(proposal))
        return True

    def _exhausted(self) -> None:
        """No further set of sticks is allowed: what was found is the best, or nothing exists."""
        if self.proven:
            self.bound = self.cost
            self.report(self.cost, self.bound)

    def _raise_bound(self, cost: int) -> None:
        if self.proven and self.bound is not None:
            capped = cost if self.cost is None else min(cost, self.cost)
            if capped > self.bound:
                self.bound = capped
                self.report(self.cost, self.bound)

    def _fits_fractionally(self, proposal: Proposal) -> bool:
        """Ask for a fractional layout; where there is none, teach buying the inequality that says why."""
        if self._fit is None:
            self._fit = Relaxation(self.instance, self.knapsack, fit=True)
            for kind, pattern in self._relaxation.columns:
                self._fit.add(kind, pattern)
        self._fit.limit(proposal.counts)
        point = self._fit.generate(self.clock.over)
        if not point.missing:
            return True
        inequality = price_out(self.instance, self.knapsack, point.values)
        if inequality.allows(proposal.counts):
            return True
        self.buying.require(inequality)
        return False

    def cut_lighter(self, weights: Sequence[int], below: int) -> tuple[Load, ...] | None:
        """Try one further set of sticks that costs no more but weighs less than `below`.

        Returns
        -------
        tuple of Load or None
            Its loads; empty where it turned out that it can't be cut; None where there is no such set.
        """
        if self.cost is None or self.clock.over():
            return None
        proposal = self.buying.propose(
            weights=weights, below=below, most=self.cost, seconds_left=self.clock.left
        )
        if not isinstance(proposal, Proposal):
            return None
        if not self._fits_fractionally(proposal):
            return ()
        return self._try_to_cut(proposal) or ()

    def _try_to_cut(self, proposal: Proposal) -> tuple[Load, ...] | None:
        outcome = pack(
            self.instance, proposal.counts, knapsack=self.knapsack, seed=self.seed, should_stop=self.clock.over
        )
        self.work.lp_solves += outcome.work.lp_solves
        self.work.dives += outcome.work.dives
        self.work.nodes += outcome.work.nodes
        if isinstance(outcome, Packed):
            return tuple(Load(kind=k, pattern=p, times=t) for k, p, t in outcome.layouts)
        if isinstance(outcome, Infeasible):
            self._learn(proposal, outcome)
        else:
            self.buying.forget(proposal.counts)
            self.proven = False
        return None

    def _learn(self, proposal: Proposal, outcome: Infeasible) -> None:
        if outcome.rests is Rests.FLOATING:
            self.rests = Rests.FLOATING
        if outcome.values is not None:
            self.buying.require(price_out(self.instance, self.knapsack, outcome.values))
        else:
            self.buying.exclude(NoGood(counts=proposal.counts))

    def _take(self, loads: tuple[Load, ...] | None) -> None:
        if loads is None:
            return
        cost = sum(self.instance.costs[load.kind] * load.times for load in loads)
        if self.cost is None or cost < self.cost:
            self.loads, self.cost = loads, cost
            self.report(self.cost, self.bound)
