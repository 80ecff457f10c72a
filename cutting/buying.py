"""The buying room: the cheapest set of sticks that every inequality and no-good so far allows.

All numbers are integers and CP-SAT proves its optimum in integer arithmetic, so each proposal's cost is a lower bound
on the cheapest plan as long as every row in the model is proven. Logic-based Benders decomposition: Hooker & Ottosson,
Mathematical Programming 96 (2003).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from cutting.inequality import Inequality
from cutting.instance import Instance

__all__ = ["Buying", "NoGood", "Proposal"]


@dataclass(frozen=True, kw_only=True, slots=True)
class NoGood:
    """Sticks from which the parts cannot be cut, though an inequality doesn't show it.

    Every set of sticks that can be cut holds, for some length, more sticks of at least that length than this one.

    Attributes
    ----------
    counts : tuple of int
        Sticks of each kind.
    """

    counts: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposal:
    """A set of sticks.

    Attributes
    ----------
    counts : tuple of int
        Sticks of each kind.
    cost : int
        Their cost; a lower bound on every plan the model's rows allow.
    """

    counts: tuple[int, ...]
    cost: int


class Buying:
    """The buying model of one section.

    Parameters
    ----------
    instance : Instance
        The section.
    seed : int
        For CP-SAT's choices.
    """

    def __init__(self, instance: Instance, seed: int = 0) -> None:
        self.instance = instance
        self.seed = seed
        self.inequalities: list[Inequality] = []
        self.solves = 0
        self._model = cp_model.CpModel()
        self._counts = [self._model.new_int_var(0, limit, "") for limit in instance.limits]
        self._cost = cp_model.LinearExpr.weighted_sum(self._counts, list(instance.costs))

    def require(self, inequality: Inequality) -> None:
        """Add one inequality."""
        self.inequalities.append(inequality)
        holds = cp_model.LinearExpr.weighted_sum(self._counts, list(inequality.holds))
        self._model.add(holds >= inequality.worth)

    def exclude(self, nogood: NoGood) -> None:
        """Add one no-good: for some length, more sticks of at least that length than there."""
        capacities = self.instance.capacities
        more = []
        for capacity in sorted(set(capacities), reverse=True):
            kinds = [s for s, c in enumerate(capacities) if c >= capacity]
            at_least = sum(nogood.counts[s] for s in kinds) + 1
            if at_least > sum(self.instance.limits[s] for s in kinds):
                continue
            literal = self._model.new_bool_var("")
            total = cp_model.LinearExpr.sum([self._counts[s] for s in kinds])
            self._model.add(total >= at_least).only_enforce_if(literal)
            more.append(literal)
        self._model.add_bool_or(more)

    def forget(self, counts: Sequence[int]) -> None:
        """Pass over this set of sticks and all it contains without a proof; costs found later are no bounds."""
        self.exclude(NoGood(counts=tuple(counts)))

    def propose(
        self,
        *,
        weights: Sequence[int] | None = None,
        below: int | None = None,
        most: int | None = None,
        seconds_left: Callable[[], float],
    ) -> Proposal | None | bool:
        """Find the cheapest allowed set of sticks.

        Parameters
        ----------
        weights : sequence of int, optional
            Minimise this instead of the cost.
        below : int, optional
            Only sets that weigh less than this.
        most : int, optional
            Only sets that cost at most this.
        seconds_left : callable
            Ends the search.

        Returns
        -------
        Proposal, None or False
            None where proven that no allowed set exists; False where time ran out.
        """
        model = self._model
        counts = self._counts
        if weights is None:
            model.minimize(self._cost)
        else:
            model = model.clone()
            counts = [model.get_int_var_from_proto_index(v.index) for v in counts]
            weight = cp_model.LinearExpr.weighted_sum(counts, list(weights))
            model.minimize(weight)
            if below is not None:
                model.add(weight < below)
            if most is not None:
                model.add(cp_model.LinearExpr.weighted_sum(counts, list(self.instance.costs)) <= most)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_time_in_seconds = max(0.01, seconds_left())
        status = solver.solve(model)
        self.solves += 1
        if status == cp_model.OPTIMAL:
            found = tuple(solver.value(v) for v in counts)
            cost = sum(c * n for c, n in zip(self.instance.costs, found, strict=True))
            return Proposal(counts=found, cost=cost)
        return None if status == cp_model.INFEASIBLE else False
