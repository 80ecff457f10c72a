"""Fractions of rows on the sticks that are left: the linear programme behind packing and diving.

It minimises the length of the sticks used plus a large price on every piece left out. Its rows are priced on
whole-number part values (rounded dual values), so that where pieces stay out the last pricing yields an inequality in
whole numbers which the sticks violate.

References
----------
Gilmore & Gomory, Operations Research 9 (1961); Belov & Scheithauer, European Journal of Operational Research 171
(2006).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from ortools.linear_solver import pywraplp

from cutting.fit.angled.pricing import Pattern, RowPricer

__all__ = ["Fitting", "Mixture"]

_SCALE: Final = 1 << 24  # whole-number value of the longest stick
_NOISE: Final = 32  # reduced costs below this are rounding
_LEFT_OUT: Final = 1e-6
_MORE_ROWS: Final = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Mixture:
    """Fractions of rows.

    Attributes
    ----------
    columns : tuple of (int, Pattern, float)
        Kind of stick, row, and how many sticks; only where above 0.
    whole : bool
        Nothing is left out.
    values : tuple of int
        Part values of the last exact pricing; empty where none was made.
    holds : tuple of int
        What a stick of each kind holds at most by these.
    violated : bool
        By these values the sticks cannot hold the parts.
    finished : bool
        False where the search was stopped early.
    """

    columns: tuple[tuple[int, Pattern, float], ...]
    whole: bool
    values: tuple[int, ...] = ()
    holds: tuple[int, ...] = ()
    violated: bool = False
    finished: bool = True


class Fitting:
    """Column generation over rows for one bag of sticks and everything that can remain of it.

    Parameters
    ----------
    pricer : RowPricer
        Prices rows over the bag's capacities; its demands are the bag's.
    counts : sequence of int
        Sticks of each capacity.

    Attributes
    ----------
    solves : int
        Linear programmes solved.
    """

    def __init__(self, pricer: RowPricer, counts: Sequence[int]) -> None:
        self.pricer = pricer
        self.solves = 0
        self._columns: list[tuple[int, Pattern]] = []
        self._place: dict[tuple[int, Pattern], int] = {}
        self._costs = [capacity * _SCALE // pricer.top for capacity in pricer.capacities]
        lp = pywraplp.Solver.CreateSolver("GLOP")
        self._lp = lp
        self._infinity = lp.infinity()
        self._parts = [lp.Constraint(float(demand), self._infinity) for demand in pricer.demands]
        self._kinds = [lp.Constraint(-self._infinity, float(count)) for count in counts]
        lp.Objective().SetMinimization()
        self._left = []
        for row in self._parts:
            left = lp.NumVar(0.0, self._infinity, "")
            row.SetCoefficient(left, 1.0)
            lp.Objective().SetCoefficient(left, 2.0)
            self._left.append(left)
        self._variables: list[pywraplp.Variable] = []

    def add(self, kind: int, row: Pattern) -> bool:
        """Add a row to the mixture's choice; say whether it was new or closed."""
        place = self._place.get((kind, row))
        if place is not None:
            variable = self._variables[place]
            closed = variable.ub() == 0
            variable.SetUb(self._infinity)
            return bool(closed)
        self._place[kind, row] = len(self._columns)
        self._columns.append((kind, row))
        column = self._lp.NumVar(0.0, self._infinity, "")
        self._lp.Objective().SetCoefficient(column, self.pricer.capacities[kind] / self.pricer.top)
        self._kinds[kind].SetCoefficient(column, 1.0)
        for part, pieces in enumerate(row):
            if pieces:
                self._parts[part].SetCoefficient(column, float(pieces))
        self._variables.append(column)
        return True

    def solve(self, demands: Sequence[int], counts: Sequence[int], stop: Callable[[], bool]) -> Mixture:
        """Mix rows for what remains: so many pieces of each part, so many sticks of each kind."""
        self._settle(demands, counts)
        while True:
            self._lp.Solve()
            self.solves += 1
            whole = all(left.solution_value() <= _LEFT_OUT for left in self._left)
            if stop():
                return Mixture(columns=(), whole=whole, finished=False)
            values = tuple(
                max(round(row.dual_value() * _SCALE), 0) if d else 0
                for row, d in zip(self._parts, demands, strict=True)
            )
            floors = [
                cost + round(max(-row.dual_value(), 0.0) * _SCALE) + _NOISE
                for row, cost in zip(self._kinds, self._costs, strict=True)
            ]
            if self._price(self.pricer.rough[0], values, demands, counts, floors)[0]:
                continue
            if whole:
                return Mixture(columns=self._used(), whole=True)
            added, holds = self._price(self.pricer, values, demands, counts, floors)
            violated = self._violates(values, holds, demands, counts)
            if violated or not added:
                return Mixture(columns=self._used(), whole=False, values=values, holds=holds, violated=violated)

    def inequality(self, demands: Sequence[int], counts: Sequence[int]) -> Mixture:
        """Mix once more and price exactly, for the inequality at the optimum reached."""
        self._settle(demands, counts)
        self._lp.Solve()
        self.solves += 1
        values = tuple(max(round(row.dual_value() * _SCALE), 0) for row in self._parts)
        holds = self.pricer.best(values, demands=demands).values
        return Mixture(columns=self._used(), whole=True, values=values, holds=holds)

    @staticmethod
    def _violates(values: Sequence[int], holds: Sequence[int], demands: Sequence[int], counts: Sequence[int]) -> bool:
        worth = sum(v * d for v, d in zip(values, demands, strict=True))
        return sum(h * n for h, n in zip(holds, counts, strict=True)) < worth

    def _settle(self, demands: Sequence[int], counts: Sequence[int]) -> None:
        """Close rows that overshoot what remains."""
        for row, demand in zip(self._parts, demands, strict=True):
            row.SetLb(float(demand))
        for kind, count in zip(self._kinds, counts, strict=True):
            kind.SetUb(float(count))
        for (kind_number, pattern), variable in zip(self._columns, self._variables, strict=True):
            fits = counts[kind_number] > 0 and all(a <= d for a, d in zip(pattern, demands, strict=True))
            variable.SetUb(self._infinity if fits else 0.0)

    def _price(
        self,
        pricer: RowPricer,
        values: Sequence[int],
        demands: Sequence[int],
        counts: Sequence[int],
        floors: Sequence[int],
    ) -> tuple[int, tuple[int, ...]]:
        best, more = pricer.several(values, demands=demands, floors=floors, most=_MORE_ROWS)
        found = [(kind, row) for kind, row in enumerate(best.patterns) if row is not None]
        return sum(self.add(kind, row) for kind, row in [*found, *more] if counts[kind]), best.values

    def _used(self) -> tuple[tuple[int, Pattern, float], ...]:
        amounts = [variable.solution_value() for variable in self._variables]
        return tuple(
            (kind, row, amount)
            for (kind, row), amount in zip(self._columns, amounts, strict=True)
            if amount > _LEFT_OUT
        )
