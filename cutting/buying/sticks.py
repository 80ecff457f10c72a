"""The buying room: the cheapest set of sticks that every inequality and no-good so far allows.

All numbers are integers and CP-SAT proves its optimum in integer arithmetic, so each proposal's cost is a lower bound
on the cheapest plan as long as every row in the model is proven. Logic-based Benders decomposition: Hooker & Ottosson,
Mathematical Programming 96 (2003).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from cutting.fit.instance import Instance
from cutting.packing.inequality import Inequality

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

    Attributes
    ----------
    solves : int
        Models solved.
    """

    def __init__(self, instance: Instance, seed: int = 0) -> None:
        self.instance = instance
        self.seed = seed
        self.solves = 0
        self._inequalities: list[Inequality] = []
        self._nogoods: list[NoGood] = []

    def require(self, inequality: Inequality) -> None:
        """Add one inequality."""
        self._inequalities.append(inequality)

    def exclude(self, nogood: NoGood) -> None:
        """Add one no-good: for some length, more sticks of at least that length than there."""
        self._nogoods.append(nogood)

    def propose(
        self,
        *,
        seconds: float,
        at_least: int = 0,
        at_most: int | None = None,
        weights: Sequence[int] | None = None,
        below: int | None = None,
    ) -> Proposal | None:
        """Find the cheapest allowed set of sticks.

        Parameters
        ----------
        seconds : float
            Ends the search.
        at_least, at_most : int, optional
            Only sets whose cost lies between.
        weights : sequence of int, optional
            Minimise this instead of the cost.
        below : int, optional
            Only sets that weigh less than this.

        Returns
        -------
        Proposal or None
            None where proven that no allowed set exists.

        Raises
        ------
        TimeoutError
            Time ran out before either was proven.
        """
        model = cp_model.CpModel()
        counts = [model.new_int_var(0, limit, "") for limit in self.instance.limits]
        cost = cp_model.LinearExpr.weighted_sum(counts, list(self.instance.costs))
        for inequality in self._inequalities:
            holds = cp_model.LinearExpr.weighted_sum(counts, list(inequality.holds))
            model.add(holds >= inequality.worth)
        for nogood in self._nogoods:
            self._forbid(model, counts, nogood)
        if at_least:
            model.add(cost >= at_least)
        if at_most is not None:
            model.add(cost <= at_most)
        if weights is None:
            model.minimize(cost)
        else:
            weight = cp_model.LinearExpr.weighted_sum(counts, list(weights))
            model.minimize(weight)
            if below is not None:
                model.add(weight < below)
        return self._solve(model, counts, seconds)

    def _forbid(self, model: cp_model.CpModel, counts: list[cp_model.IntVar], nogood: NoGood) -> None:
        instance = self.instance
        more = []
        for capacity in sorted(set(instance.capacities), reverse=True):
            kinds = [kind for kind, other in enumerate(instance.capacities) if other >= capacity]
            at_least = sum(nogood.counts[kind] for kind in kinds) + 1
            if at_least <= sum(instance.limits[kind] for kind in kinds):
                literal = model.new_bool_var("")
                model.add(cp_model.LinearExpr.sum([counts[kind] for kind in kinds]) >= at_least * literal)
                more.append(literal)
        model.add_bool_or(more)

    def _solve(self, model: cp_model.CpModel, counts: list[cp_model.IntVar], seconds: float) -> Proposal | None:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        # This step of CP-SAT 9.15 was seen to drop the condition of a row with large coefficients.
        solver.parameters.presolve_inclusion_work_limit = 0
        solver.parameters.random_seed = self.seed
        solver.parameters.max_time_in_seconds = max(0.01, seconds)
        status = solver.solve(model)
        self.solves += 1
        if status == cp_model.INFEASIBLE:
            return None
        if status != cp_model.OPTIMAL:
            raise TimeoutError("the buying model wasn't proven in time")
        found = tuple(solver.value(count) for count in counts)
        return Proposal(counts=found, cost=sum(c * n for c, n in zip(self.instance.costs, found, strict=True)))
