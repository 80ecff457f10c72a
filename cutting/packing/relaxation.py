"""The linear relaxation of one section: buying and cutting together, by column generation.

The relaxation is Gilmore and Gomory's [1]_ over several kinds of stick, each with its cost and its limit. Its value is
floating point and proves nothing; its dual values, rounded to integers and re-priced exactly
(`cutting.packing.inequality`), do.

References
----------
.. [1] Gilmore & Gomory, A linear programming approach to the cutting stock problem, Operations Research 9 (1961)
   and 11 (1963).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from cutting.answer.load import Load
from cutting.fit.fit import Fit, Pattern
from cutting.fit.instance import Instance
from cutting.packing.by_hand import fill_by_hand
from cutting.packing.columns import Columns

__all__ = ["Relaxation", "RelaxedPoint", "floors_of", "lp_unit"]

VALUE_SCALE = 1 << 24  # integers this fine keep the rounding loss of a stick below 1e-6 of its cost
COST_TOLERANCE = 1e-7
COST_SLACK = 1e-9
COST_BITS = 30
MORE_COLUMNS = 256  # a pricing may add, over all kinds of stick
MORE_ROWS = 3  # for each kind of stick, where ends are angled


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


def lp_unit(most: int) -> float:
    """Return the power of two in which costs of so much are counted: in larger numbers the solver loses its footing."""
    return 2.0 ** max(0, most.bit_length() - COST_BITS)


class Relaxation:
    """Column generation over all that a section may buy.

    Parameters
    ----------
    instance : Instance
        The section.
    fit : Fit
        What its parts do on its sticks.
    only_fit : bool
        Ask only whether the parts fit: sticks cost nothing, the length of parts left out is minimised.
    seeded : bool
        Begin with a few columns.
    plan : sequence of Load, optional
        The plan made by hand's rule, which these are made of, where it is known.
    should_stop : callable, optional
        Asked while columns to begin with are made: few are as good as many where there is no time to use them.

    Attributes
    ----------
    master : Columns
        The linear program.
    """

    def __init__(
        self,
        instance: Instance,
        fit: Fit,
        *,
        only_fit: bool = False,
        seeded: bool = True,
        plan: Sequence[Load] | None = None,
        should_stop: Callable[[], bool] = bool,
    ) -> None:
        self.instance = instance
        self.fit = fit
        self.costs = [0] * len(instance.costs) if only_fit else list(instance.costs)
        rate = max(c / u for c, u in zip(self.costs, instance.capacities, strict=True))
        rate = 10.0 * rate if rate > 0 else 1.0 / max(instance.capacities)
        penalties = [rate * size + max(self.costs) for size in instance.sizes]
        self.master = Columns(instance.demands, instance.limits, penalties, lp_unit(max(self.costs)))
        self._top = max(1.0, *self.costs)
        if seeded:
            self._seed(plan or fill_by_hand(instance, fit) or (), should_stop)

    def _seed(self, plan: Sequence[Load], should_stop: Callable[[], bool]) -> None:
        """Begin with the plan made by hand, and for every part a column on the kind cheapest for it."""
        inst = self.instance
        for load in plan:
            self.add(load.kind, load.pattern)
        kinds = sorted(range(len(self.costs)), key=lambda kind: (self.costs[kind] / inst.capacities[kind], kind))
        parts = len(inst.sizes)
        for part in range(parts):
            if should_stop():
                return
            alone = (*(0,) * part, 1, *(0,) * (parts - part - 1))
            kind = next((kind for kind in kinds if self.fit.holds(kind, alone)), None)
            if kind is not None:
                self.add(kind, self.fit.filled(kind, inst.demands, part))

    def add(self, kind: int, pattern: Pattern) -> bool:
        """Add one column unless it is there already; say whether it was new."""
        return self.master.add(kind, pattern, self.costs[kind])

    def generate(self, should_stop: Callable[[], bool]) -> RelaxedPoint:
        """Generate columns until none improves (or `should_stop` says so) and return the last optimum."""
        while True:
            point = self.solve()
            if should_stop() or not self.price(point):
                return point

    def solve(self) -> RelaxedPoint:
        """Solve the restricted relaxation over the columns made so far."""
        self.master.solve()
        missing, scale = self.master.missing, VALUE_SCALE / self._top
        return RelaxedPoint(
            cost=self.master.cost - missing,
            missing=missing if missing > COST_TOLERANCE else 0.0,
            values=tuple(round(value * scale) for value in self.master.values),
            rents=tuple(self.master.rents),
            scale=scale,
        )

    def price(self, point: RelaxedPoint) -> bool:
        """Add the columns that improve on `point`; say whether there was one."""
        floors = floors_of(point, self.costs)
        angled = self.fit.rows is not None
        most = MORE_ROWS if angled else max(1, MORE_COLUMNS // len(self.costs))
        for pricer in (*self.fit.rough, self.fit) if angled else (self.fit,):
            best, more = pricer.several(point.values, floors=floors, most=most)
            added = [self.add(kind, pattern) for kind, pattern in enumerate(best.patterns) if pattern is not None]
            added += [self.add(kind, pattern) for kind, pattern in more]
            if any(added):
                return True
        return False


def floors_of(point: RelaxedPoint, costs: Sequence[int]) -> list[int]:
    """Return the value that a pattern on each kind of stick must exceed to improve on a point."""
    return [
        int((cost + rent) * point.scale * (1 + COST_SLACK)) + 1 for cost, rent in zip(costs, point.rents, strict=True)
    ]
