"""The search for the cheapest plan of one section: buying proposes, cutting lays out or says why it can't.

Each round the buying room names the cheapest set of sticks that everything learned so far allows. The fractional test
answers first: where not even a fractional layout exists, its dual values become one more inequality. Otherwise the
packing room tries to lay every part out, or proves that it can't. The first set that can be cut is the cheapest there
is. A set that could be neither cut nor ruled out with the effort allowed is put off, holds the bound at its cost, and
is taken up again with more effort once a good plan is at hand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.buying.sticks import Buying, NoGood, Proposal
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.fit.knapsack import Knapsack
from cutting.fit.pricer import Pricer
from cutting.packing.by_hand import fill_greedily
from cutting.packing.columns import Columns
from cutting.packing.inequality import Inequality, price_out, relaxed_bound
from cutting.packing.pack import Infeasible, Packed, pack

__all__ = ["Answer", "Outcome", "Search", "Work"]

FIRST_EFFORT = 300  # linear programs for one set of sticks in the first pass
EFFORT_GROWTH = 4
POOR = 0.002  # a plan this share above the bound is worth improving before the proof goes on
LEAP = 0.0005
WHOLE = 1e-6
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
class Outcome:
    """What became of one set of sticks: loads, or proven impossible, or neither."""

    loads: tuple[Load, ...] | None = None
    impossible: bool = False
    rests: Rests = Rests.EXACT


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
        self.knapsack = self._pricer()
        self.buying = Buying(instance, seed)
        self.work = Work()
        self.loads: tuple[Load, ...] | None = None
        self.cost: int | None = None
        self.bound: int | None = 0
        self.rests = Rests.EXACT
        self.first: tuple[Inequality, float] | None = None  # and its units of value per unit of cost
        self._undecided: list[Proposal] = []
        self._relaxation = self._relaxed(fit=False)
        self._fit: Columns | None = None

    def run(self) -> Answer:
        """Search until the plan is proven, no plan is proven to exist, or the clock ends it."""
        self._take(self._by_hand())
        point = self._relaxation.generate(self.clock.over)
        if self.clock.over():
            return self._answer()
        inequality = price_out(self.instance, self.knapsack, point.values)
        self.buying.require(inequality)
        self.first = (inequality, point.scale)
        self._take(self._rounded())
        self._raise_bound(relaxed_bound(self.instance, inequality, point.scale))
        effort = FIRST_EFFORT
        try:
            while not self._closed() and not self.clock.over():
                self._pass(effort)
                effort *= EFFORT_GROWTH
        except TimeoutError:
            pass  # the clock ended it: what was found and proven so far is the answer
        return self._answer()

    def _answer(self) -> Answer:
        self.work.lp_solves += self._relaxation.lp_solves + (self._fit.lp_solves if self._fit else 0)
        return Answer(loads=self.loads, cost=self.cost, bound=self.bound, rests=self.rests, work=self.work)

    def _pricer(self) -> Pricer:
        return Knapsack(self.instance.sizes, self.instance.demands, self.instance.capacities)

    def _relaxed(self, *, fit: bool) -> Columns:
        return Columns(self.instance, self.knapsack, fit=fit)

    def _by_hand(self, begun: Sequence[Load] = ()) -> tuple[Load, ...] | None:
        return fill_greedily(self.instance, begun)

    def _rounded(self) -> tuple[Load, ...] | None:
        """The whole parts of the relaxation's columns, what is left by hand's rule."""
        left = list(self.instance.demands)
        loads: list[Load] = []
        for (kind, pattern), weight in zip(self._relaxation.columns, self._relaxation.weights(), strict=True):
            times = int(weight + WHOLE)
            if times:
                times = min(times, *(have // need for have, need in zip(left, pattern, strict=True) if need))
            if times:
                left = [have - need * times for have, need in zip(left, pattern, strict=True)]
                loads.append(Load(kind=kind, pattern=pattern, times=times))
        return self._by_hand(loads)

    def _closed(self) -> bool:
        return self.bound is None or (self.cost is not None and self.bound >= self.cost)

    def _open(self) -> bool:
        return not self._closed() and not self.clock.over()

    def _pass(self, effort: int) -> None:
        """Settle what can be settled with so much effort for each set of sticks."""
        self._retry(effort)
        while self._open():
            proposal = self.buying.propose(seconds=self.clock.left())
            self.work.proposals += 1
            self._raise_bound(None if proposal is None else proposal.cost)
            if proposal is None or (self.cost is not None and proposal.cost >= self.cost):
                return
            loads = self._settle(proposal, effort)
            self._take(loads)
            if loads is None and self._undecided and self._poor():
                self._leap(effort)

    def _retry(self, effort: int) -> None:
        """Come back to the sets of sticks that a smaller effort left undecided, cheapest first."""
        waiting, self._undecided = sorted(self._undecided, key=lambda entry: (entry.cost, entry.counts)), []
        for number, proposal in enumerate(waiting):
            if self.cost is not None and proposal.cost >= self.cost:
                break  # the rest is no cheaper than the plan at hand
            if self.clock.over():
                self._undecided += waiting[number:]
                break
            self._take(self._settle(proposal, effort, again=True))

    def _poor(self) -> bool:
        """Whether the plan at hand costs so much above the bound that a better one should be sought first."""
        assert self.bound is not None
        return self.cost is None or self.cost > self.bound * (1 + POOR)

    def _leap(self, effort: int) -> None:
        """Find a good plan first: try dearer and dearer sets of sticks until one can be cut."""
        assert self.bound is not None
        step = max(1, int(self.bound * LEAP))
        while not self.clock.over():
            proposal = self.buying.propose(seconds=self.clock.left(), at_least=self.bound + step)
            if proposal is None or (self.cost is not None and proposal.cost >= self.cost):
                return
            self.work.proposals += 1
            loads = self._cut(proposal, effort).loads if self._fits_fractionally(proposal) else None
            if loads is not None:
                self._take(loads)
                return
            step *= 2

    def _settle(self, proposal: Proposal, effort: int, *, again: bool = False) -> tuple[Load, ...] | None:
        """Cut this set of sticks, or learn why it can't be cut, or put it off undecided."""
        if not self._fits_fractionally(proposal):
            return None
        outcome = self._cut(proposal, effort)
        if outcome.loads is not None:
            return outcome.loads
        if not outcome.impossible:
            self._undecided.append(proposal)
        elif outcome.rests is Rests.FLOATING:
            self.rests = Rests.FLOATING
        if not again:
            # Undecided or not, buying passes over it and all it contains; the bound heeds what is undecided.
            self.buying.exclude(NoGood(counts=proposal.counts))
        return None

    def _raise_bound(self, cost: int | None) -> None:
        """Heed the cost of the cheapest set of sticks that is still allowed; None where there is none."""
        open_costs = [proposal.cost for proposal in self._undecided]
        open_costs += [cost for cost in (cost, self.cost) if cost is not None]
        bound = min(open_costs, default=None)
        if bound is None or self.bound is None or bound > self.bound:
            self.bound = bound
            self.report(self.cost, self.bound)

    def _fits_fractionally(self, proposal: Proposal) -> bool:
        """Ask for a fractional layout; where there is none, teach buying the inequality that says why."""
        inequality = self.explain(proposal.counts)
        if inequality is not None:
            self.buying.require(inequality)
        return inequality is None

    def relaxed(self) -> Inequality:
        """Return the inequality of the section's linear relaxation at the instance's costs and limits."""
        point = self._relaxation.generate(self.clock.over)
        return price_out(self.instance, self.knapsack, point.values)

    def by_hand(self) -> tuple[Load, ...] | None:
        """Return a plan made by hand's rule; None where that doesn't find one."""
        return self._by_hand()

    def cut(self, counts: tuple[int, ...], effort: int) -> Outcome:
        """Cut all parts from these sticks with so much effort, or say what became of it."""
        return self._cut(Proposal(counts=counts, cost=0), effort)

    def explain(self, counts: tuple[int, ...]) -> Inequality | None:
        """Return an inequality that these sticks violate; None where a fractional layout exists."""
        if self._fit is None:
            self._fit = self._relaxed(fit=True)
            for kind, pattern in self._relaxation.columns:
                self._fit.add(kind, pattern)
        self._fit.limit(counts)
        point = self._fit.generate(self.clock.over)
        if not point.missing:
            return None
        inequality = price_out(self.instance, self.knapsack, point.values)
        return None if inequality.allows(counts) else inequality

    def cut_lighter(self, weights: Sequence[int], below: int) -> tuple[Load, ...] | None:
        """Try one further set of sticks that costs no more but weighs less than `below`.

        Returns
        -------
        tuple of Load or None
            Its loads; empty where it turned out that it can't be cut; None where there is no such set.
        """
        if self.cost is None or self.clock.over():
            return None
        try:
            proposal = self.buying.propose(seconds=self.clock.left(), at_most=self.cost, weights=weights, below=below)
        except TimeoutError:
            return None
        return None if proposal is None else self._settle(proposal, FIRST_EFFORT) or ()

    def _cut(self, proposal: Proposal, effort: int) -> Outcome:
        """Ask the packing room."""
        answer = pack(
            self.instance,
            proposal.counts,
            knapsack=self.knapsack,
            seed=self.seed,
            should_stop=self.clock.over,
            seconds_left=self.clock.left,
            effort=effort,
            columns=(self._fit or self._relaxation).columns,
        )
        self.work.lp_solves += answer.work.lp_solves
        self.work.dives += answer.work.dives
        self.work.nodes += answer.work.nodes
        if isinstance(answer, Packed):
            return Outcome(loads=tuple(Load(kind=k, pattern=p, times=t) for k, p, t in answer.layouts))
        if isinstance(answer, Infeasible):
            return Outcome(impossible=True, rests=answer.rests)
        return Outcome()

    def _take(self, loads: tuple[Load, ...] | None) -> None:
        if loads is None:
            return
        cost = sum(self.instance.costs[load.kind] * load.times for load in loads)
        if self.cost is None or cost < self.cost:
            self.loads, self.cost = loads, cost
            self.report(self.cost, self.bound)
