"""The linear relaxation of one section: buying and cutting together, by column generation.

The relaxation is Gilmore and Gomory's [1]_ over several kinds of stick, each with its cost and its limit::

    min  sum_s sum_p c_s x_sp
         sum_s sum_p a_ip x_sp >= d_i      (part i, dual value pi_i >= 0)
         sum_p x_sp           <= limit_s   (kind s, dual value mu_s <= 0)

Its value is floating point and proves nothing; its dual values, rounded to integers and re-priced exactly
(`cutting.packing.inequality`), do.

References
----------
.. [1] Gilmore & Gomory, A linear programming approach to the cutting stock problem, Operations Research 9 (1961)
   and 11 (1963).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ortools.linear_solver import pywraplp

from cutting.fit.instance import Instance
from cutting.fit.pricer import Pricer
from cutting.packing.by_hand import fill_greedily, longest_first

__all__ = ["Columns", "Pattern", "RelaxedPoint"]

Pattern = tuple[int, ...]
VALUE_SCALE = 1 << 24  # integers this fine keep the rounding loss of a stick below 1e-6 of its cost
COST_TOLERANCE = 1e-7
COLUMNS = 256  # further columns a pricing may add, over all kinds of stick


@dataclass(frozen=True, kw_only=True, slots=True)
class RelaxedPoint:
    """An optimum of the restricted relaxation.

    Attributes
    ----------
    cost : float
        Objective without the penalties.
    missing : float
        Total penalty paid for pieces that no column delivers; 0 where the relaxation has a solution.
    values : tuple of int
        Part values: the dual values of the parts, scaled by `scale` and rounded.
    rents : tuple of float
        Dual values of the limits, at least 0, in cost units.
    scale : float
        Integer units of `values` per unit of cost.
    """

    cost: float
    missing: float
    values: tuple[int, ...]
    rents: tuple[float, ...]
    scale: float


class Columns:
    """The restricted master problem and its column generation.

    Parameters
    ----------
    instance : Instance
        The section.
    knapsack : Pricer
        Prices patterns over the instance's sizes and capacities.
    fit : bool
        Ask only whether the parts fit: sticks cost nothing, the length of parts left out is minimised.

    Attributes
    ----------
    columns : list of (int, Pattern)
        Kind of stick and pattern of every column made so far.
    lp_solves : int
        Linear programs solved, a deterministic measure of work.
    """

    def __init__(self, instance: Instance, knapsack: Pricer, *, fit: bool = False) -> None:
        self.instance = instance
        self.fit = fit
        self.knapsack = knapsack
        self.columns: list[tuple[int, Pattern]] = []
        self.lp_solves = 0
        self._known: set[tuple[int, Pattern]] = set()
        self._variables: list[pywraplp.Variable] = []
        self._build()
        self._seed_columns()

    def _build(self) -> None:
        inst = self.instance
        solver = pywraplp.Solver.CreateSolver("GLOP")
        solver.SetSolverSpecificParametersAsString(
            "use_preprocessing: false use_scaling: false"
        )  # half the simplex steps
        infinity = solver.infinity()
        self._solver = solver
        self._part_rows = [solver.RowConstraint(d, infinity, "") for d in inst.demands]
        self._kind_rows = [solver.RowConstraint(-infinity, limit, "") for limit in inst.limits]
        self._objective = solver.Objective()
        self._objective.SetMinimization()
        self._costs = [0] * len(inst.costs) if self.fit else list(inst.costs)
        rate = max(c / u for c, u in zip(self._costs, inst.capacities, strict=True))
        rate = 10.0 * rate if rate > 0 else 1.0 / max(inst.capacities)
        self._top = max(1.0, *self._costs)
        self._penalties = []
        for row, size in zip(self._part_rows, inst.sizes, strict=True):
            slack = solver.NumVar(0, infinity, "")
            row.SetCoefficient(slack, 1)
            penalty = rate * size + max(self._costs)
            self._objective.SetCoefficient(slack, penalty)
            self._penalties.append((slack, penalty))

    def _seed_columns(self) -> None:
        """Start from the plan made by hand's rule, and for every part one column on the kind cheapest for it."""
        for load in fill_greedily(self.instance) or ():
            self.add(load.kind, load.pattern)
        by_rate = sorted(
            range(len(self._costs)), key=lambda kind: (self._costs[kind] / self.instance.capacities[kind], kind)
        )
        for part, size in enumerate(self.instance.sizes):
            kind = next(kind for kind in by_rate if self.instance.capacities[kind] >= size)
            left = list(self.instance.demands)
            self.add(kind, longest_first(self.instance, left, self.instance.capacities[kind], first=part))

    def add(self, kind: int, pattern: Pattern) -> bool:
        """Add one column unless it is there already; say whether it was new."""
        if (kind, pattern) in self._known:
            return False
        self._known.add((kind, pattern))
        self.columns.append((kind, pattern))
        variable = self._solver.NumVar(0, self._solver.infinity(), "")
        for part, count in enumerate(pattern):
            if count:
                self._part_rows[part].SetCoefficient(variable, count)
        self._kind_rows[kind].SetCoefficient(variable, 1)
        self._objective.SetCoefficient(variable, self._costs[kind])
        self._variables.append(variable)
        return True

    def solve(self) -> RelaxedPoint:
        """Solve the restricted relaxation over the columns made so far."""
        self._solver.Solve()
        self.lp_solves += 1
        missing = sum(slack.solution_value() * penalty for slack, penalty in self._penalties)
        duals = [max(0.0, row.dual_value()) for row in self._part_rows]
        rents = tuple(max(0.0, -row.dual_value()) for row in self._kind_rows)
        scale = VALUE_SCALE / self._top
        return RelaxedPoint(
            cost=self._objective.Value() - missing,
            missing=missing if missing > COST_TOLERANCE else 0.0,
            values=tuple(round(d * scale) for d in duals),
            rents=rents,
            scale=scale,
        )

    def generate(self, should_stop: Callable[[], bool]) -> RelaxedPoint:
        """Generate columns until none improves (or `should_stop` says so) and return the last optimum."""
        while True:
            point = self.solve()
            if should_stop() or not self.price(point):
                return point

    def price(self, point: RelaxedPoint) -> bool:
        """Add the columns that improve on `point`; say whether there was one."""
        floors = [
            int((cost + rent) * point.scale * (1 + 1e-9)) + 1
            for cost, rent in zip(self._costs, point.rents, strict=True)
        ]
        most = max(1, COLUMNS // len(self._costs))
        best, more = self.knapsack.several(point.values, floors=floors, most=most)
        added = [self.add(kind, pattern) for kind, pattern in enumerate(best.patterns) if pattern is not None]
        added += [self.add(kind, pattern) for kind, pattern in more]
        return any(added)

    def limit(self, counts: Sequence[int]) -> None:
        """Change how many sticks of each kind there are."""
        for row, count in zip(self._kind_rows, counts, strict=True):
            row.SetUb(count)

    def weights(self) -> Sequence[float]:
        """How often each column is used in the last optimum."""
        return [variable.solution_value() for variable in self._variables]
