"""Packing a bag with fractions of patterns: column generation with exact verdicts.

The master minimises the length of the sticks used plus a large price on every piece left out.
Its columns are found by the exact knapsack on whole-number part values (rounded duals), so each
pricing also yields an exact inequality; where that inequality is violated the bag cannot be packed
even in fractions, and the search ends with a certificate in whole numbers.

References
----------
Gilmore, P. C. & Gomory, R. E. (1961, 1963). A linear programming approach to the cutting stock
problem, parts I and II. Operations Research 9 and 11.
Farley, A. A. (1990). A note on bounding a class of linear programming problems, including cutting
stock problems. Operations Research 38 (the bound from duals that are not yet feasible).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from ortools.linear_solver import pywraplp

from cutting.fit.knapsack import Best, Knapsack, Pattern
from cutting.packing.bag import Bag

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["Mixture", "Relaxation", "Work"]

_SCALE = 1 << 28  # whole-number value of the longest stick
_NOISE = 512  # reduced costs below this are rounding
_LEFT_OUT = 1e-6


@dataclass(kw_only=True, slots=True)
class Work:
    """Counts of deterministic work, shared by all stages of one call."""

    lp_solves: int = 0
    pricings: int = 0
    dives: int = 0
    nodes: int = 0
    patterns: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Mixture:
    """A fractional packing.

    Attributes
    ----------
    columns
        (kind, pattern, how many sticks) with a positive number of sticks.
    left
        Pieces left out in total; above 0 the bag may still be packable (see `Relaxation.solve`).
    values
        Whole-number part values of the last pricing.
    violated
        Whether the inequality of these part values proves that the bag cannot be packed.
    finished
        False where the search was stopped early.
    """

    columns: tuple[tuple[int, Pattern, float], ...]
    left: float
    values: tuple[int, ...]
    violated: bool
    finished: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class _Duals:
    """Whole-number part values, and for each kind of stick the value not exceeded or to beat."""

    values: tuple[int, ...]
    floors: tuple[int, ...]


class Relaxation:
    """Column generation over one bag and everything that can remain of it.

    Parameters
    ----------
    bag
        The whole bag; later residuals must be parts of it.
    knapsack
        Knapsack over the bag's sizes, demands and capacities.
    work
        Counters to add to.
    """

    def __init__(self, bag: Bag, knapsack: Knapsack, work: Work) -> None:
        self.bag = bag
        self.knapsack = knapsack
        self.work = work
        self.pool: dict[tuple[int, Pattern], int] = {}
        self._columns: list[tuple[int, Pattern]] = []
        self._top = max(bag.capacities)
        self._costs = tuple(c * _SCALE // self._top for c in bag.capacities)
        self._centre: _Duals | None = None
        self.columns_each = 30
        self.smoothing = 0.6
        self.enough = 0.25
        self._build()

    def _build(self) -> None:
        lp = pywraplp.Solver.CreateSolver("GLOP")
        lp.SetSolverSpecificParametersAsString("use_preprocessing: false use_scaling: false")  # half the simplex steps
        infinity = lp.infinity()
        self._lp = lp
        self._rows = [lp.Constraint(float(d), infinity) for d in self.bag.demands]
        self._caps = [lp.Constraint(-infinity, float(n)) for n in self.bag.counts]
        objective = lp.Objective()
        objective.SetMinimization()
        self._left = []
        for row in self._rows:
            left = lp.NumVar(0.0, infinity, "")
            row.SetCoefficient(left, 1.0)
            objective.SetCoefficient(left, 2.0)
            self._left.append(left)
        self._vars: list[pywraplp.Variable] = []
        self._open: list[bool] = []
        # Kind and pattern of every column, a row each, in an array that grows by doubling.
        self._stacked = np.zeros((256, 1 + len(self.bag.sizes)), dtype=np.int64)
        self._stacked_columns = 0

    def add(self, kind: int, pattern: Pattern) -> bool:
        """Add a column unless it is there already; return whether it was new."""
        key = (kind, pattern)
        if key in self.pool:
            at = self.pool[key]
            if not self._open[at]:
                self._vars[at].SetUb(self._lp.infinity())
                self._open[at] = True
                return True
            return False
        self.pool[key] = len(self._columns)
        self._columns.append(key)
        column = self._lp.NumVar(0.0, self._lp.infinity(), "")
        self._lp.Objective().SetCoefficient(column, self.bag.capacities[kind] / self._top)
        self._caps[kind].SetCoefficient(column, 1.0)
        for i, pieces in enumerate(pattern):
            if pieces:
                self._rows[i].SetCoefficient(column, float(pieces))
        self._vars.append(column)
        self._open.append(True)
        return True

    def settle(self, bag: Bag) -> None:
        """Make `bag`, a part of the whole one, the bag to pack; columns that overshoot close."""
        for row, demand in zip(self._rows, bag.demands, strict=True):
            row.SetLb(float(demand))
        for cap, count in zip(self._caps, bag.counts, strict=True):
            cap.SetUb(float(count))
        infinity = self._lp.infinity()
        for at, fits in enumerate(self._fitting(bag)):
            if fits != self._open[at]:
                self._vars[at].SetUb(infinity if fits else 0.0)
                self._open[at] = fits
        self._now = bag

    def _fitting(self, bag: Bag) -> list[bool]:
        """Say of every column whether the bag still has a stick and all the pieces for it."""
        for kind, pattern in self._columns[self._stacked_columns :]:
            if self._stacked_columns == len(self._stacked):
                self._stacked = np.concatenate((self._stacked, np.zeros_like(self._stacked)))
            self._stacked[self._stacked_columns] = (kind, *pattern)
            self._stacked_columns += 1
        table = self._stacked[: self._stacked_columns]
        has_stick = np.array(bag.counts)[table[:, 0]] > 0
        fits: list[bool] = (has_stick & (table[:, 1:] <= np.array(bag.demands)).all(axis=1)).tolist()
        return fits

    def narrowed(self, bag: Bag) -> tuple[Relaxation, Bag, tuple[int, ...]]:
        """Return a smaller relaxation for what remains: only the parts still wanted.

        Returns
        -------
        tuple
            The relaxation, its bag, and for each of its parts the number it has in this one.
        """
        parts = tuple(i for i, demand in enumerate(bag.demands) if demand)
        rest = Bag(
            sizes=tuple(bag.sizes[i] for i in parts),
            demands=tuple(bag.demands[i] for i in parts),
            capacities=bag.capacities,
            counts=bag.counts,
        )
        narrow = Relaxation(rest, Knapsack(rest.sizes, rest.demands, rest.capacities), self.work)
        for (kind, pattern), fits in zip(self._columns, self._fitting(bag), strict=True):
            if fits:
                narrow.add(kind, tuple(pattern[i] for i in parts))
        if self._centre is not None:
            values = tuple(self._centre.values[i] for i in parts)
            narrow._centre = _Duals(values=values, floors=self._centre.floors)
        return narrow, rest, parts

    def solve(self, bag: Bag, should_stop: Callable[[], bool], *, enough: float | None = None) -> Mixture:
        """Pack `bag` with as little left out as fractions of patterns allow.

        Parameters
        ----------
        bag
            The bag as a whole or what remains of it.
        should_stop
            Asked before each pricing.
        enough
            Share of what the bag could spare that need not be spared (0: generate to the end);
            None for the usual share.
        """
        self.settle(bag)
        smoothing = self.smoothing
        if self._centre is None:
            self._price(self._by_size(), bag)
        if enough is None:
            enough = self.enough
        while True:
            self._lp.Solve()
            self.work.lp_solves += 1
            if should_stop():
                return self._fraction((), violated=False, finished=False)
            if self._centre is not None and self._good_enough(bag, self._centre, enough):
                return self._fraction(self._centre.values, violated=False, finished=True)
            duals = self._whole_duals(bag)
            trial = self._smoothed(duals, smoothing)
            added, bound = self._price(trial, bag)
            if bound > self._room(bag):
                return Mixture(columns=(), left=1.0, values=trial.values, violated=True, finished=True)
            if added == 0 and trial is duals:
                return self._fraction(trial.values, violated=False, finished=True)
            smoothing = self.smoothing if added else 0.0

    def _room(self, bag: Bag) -> int:
        """Return the cost of all sticks of the bag in whole units."""
        return sum(c * n for c, n in zip(self._costs, bag.counts, strict=True))

    def _good_enough(self, bag: Bag, centre: _Duals, enough: float) -> bool:
        """Whether nothing is left out and most of what can be spared is spared."""
        if enough == 0 or any(left.solution_value() > _LEFT_OUT for left in self._left):
            return False
        bound = self._bound(centre, bag)
        used = self._lp.Objective().Value() * _SCALE
        return bool(used - bound <= enough * (self._room(bag) - bound))

    def _whole_duals(self, bag: Bag) -> _Duals:
        values = tuple(
            max(round(row.dual_value() * _SCALE), 0) if d else 0 for row, d in zip(self._rows, bag.demands, strict=True)
        )
        floors = tuple(
            cost + round(max(-cap.dual_value(), 0.0) * _SCALE)
            for cap, cost in zip(self._caps, self._costs, strict=True)
        )
        return _Duals(values=values, floors=floors)

    def _by_size(self) -> _Duals:
        """Value every part by its size: no stick holds more than its own."""
        return _Duals(values=tuple(w * _SCALE // self._top for w in self.bag.sizes), floors=self._costs)

    def _smoothed(self, duals: _Duals, share: float) -> _Duals:
        """Move the duals towards the best ones so far (Wentges 1997); exact by construction.

        What beats the mixed floors at the mixed values also beats them at the duals, because
        nothing beats the floors of the centre.
        """
        centre = self._centre
        if centre is None or share == 0.0:
            return duals
        return _Duals(
            values=tuple(round(share * a + (1 - share) * b) for a, b in zip(centre.values, duals.values, strict=True)),
            floors=tuple(round(share * a + (1 - share) * b) for a, b in zip(centre.floors, duals.floors, strict=True)),
        )

    def _price(self, duals: _Duals, bag: Bag) -> tuple[int, int]:
        """Add improving columns; return how many, and a lower bound on the bag's cost."""
        values = duals.values
        floors = [floor + _NOISE for floor in duals.floors]
        for knapsack in (*self.knapsack.rough, self.knapsack):
            best, more = knapsack.several(values, demands=bag.demands, floors=floors, most=self.columns_each)
            self.work.pricings += 1
            added = self._extend(best, bag)
            for kind, pattern in more:
                if bag.counts[kind]:
                    added += self.add(kind, pattern)
            if added and knapsack is not self.knapsack:
                return added, 0
        exact = _Duals(
            values=values,
            floors=tuple(max(v, c) for v, c in zip(best.values, self._costs, strict=True)),
        )
        bound = self._bound(exact, bag)
        if self._centre is None or bound > self._bound(self._centre, bag):
            self._centre = exact
        return added, bound

    def _bound(self, duals: _Duals, bag: Bag) -> int:
        """Return the bound sum(values * demands) - sum((floors - costs) * counts)."""
        worth = sum(v * d for v, d in zip(duals.values, bag.demands, strict=True))
        return worth - sum((f - c) * n for f, c, n in zip(duals.floors, self._costs, bag.counts, strict=True))

    def _extend(self, best: Best, bag: Bag) -> int:
        added = 0
        for kind, pattern in enumerate(best.patterns):
            if pattern is not None and bag.counts[kind]:
                added += self.add(kind, pattern)
        return added

    def _fraction(self, values: tuple[int, ...], *, violated: bool, finished: bool) -> Mixture:
        columns = []
        for (kind, pattern), variable, is_open in zip(self._columns, self._vars, self._open, strict=True):
            if is_open:
                amount = variable.solution_value()
                if amount > _LEFT_OUT:
                    columns.append((kind, pattern, amount))
        return Mixture(
            columns=tuple(columns),
            left=sum(left.solution_value() for left in self._left),
            values=values,
            violated=violated,
            finished=finished,
        )
