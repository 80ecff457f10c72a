"""The one restricted master: columns of patterns on kinds of stick, and what is left out, as a linear program.

    min  sum_s sum_p c_sp x_sp + sum_i f_i u_i
         sum_s sum_p a_ip x_sp + u_i >= d_i      (part i, dual value pi_i >= 0)
         sum_p x_sp                  <= n_s      (kind s, dual value mu_s <= 0)

Whoever generates columns says what a column costs and what a piece left out does: money where sticks are to be bought
(`cutting.packing.relaxation`), length where a bag is to be packed (`cutting.packing.mixing`). Its numbers are floating
point and prove nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from cutting.answer.load import held
from cutting.fit.knapsack import Pattern

__all__ = ["LEFT_OUT", "Columns"]

LEFT_OUT = 1e-6
"""Pieces or sticks that are rounding."""


class Columns:
    """The linear program and its columns.

    Parameters
    ----------
    demands : sequence of int
        Pieces of each part.
    counts : sequence of int
        Sticks of each kind.
    penalties : iterable of float
        Cost of leaving one piece of each part out.
    unit : float
        In which costs are given to the solver.

    Attributes
    ----------
    columns : list of (int, Pattern)
        Kind of stick and pattern of every column made so far.
    lp_solves : int
        Linear programs solved, a deterministic measure of work.
    """

    def __init__(
        self, demands: Sequence[int], counts: Sequence[int], penalties: Iterable[float], unit: float = 1.0
    ) -> None:
        self.columns: list[tuple[int, Pattern]] = []
        self.lp_solves = 0
        self._unit = unit
        self._place: dict[tuple[int, Pattern], int] = {}
        self._variables: list[pywraplp.Variable] = []
        self._open: list[bool] = []
        # Kind and pattern of every column, a row each, in an array that grows by doubling.
        self._stacked = np.zeros((256, 1 + len(demands)), dtype=np.int64)
        self._stacked_columns = 0
        lp = pywraplp.Solver.CreateSolver("GLOP")
        lp.SetSolverSpecificParametersAsString("use_preprocessing: false use_scaling: false")  # half the simplex steps
        self._lp, self._infinity = lp, lp.infinity()
        self._parts = [lp.RowConstraint(demand, self._infinity, "") for demand in demands]
        self._kinds = [lp.RowConstraint(-self._infinity, count, "") for count in counts]
        self._objective = lp.Objective()
        self._objective.SetMinimization()
        self._left: list[tuple[pywraplp.Variable, float]] = []
        for row, penalty in zip(self._parts, penalties, strict=True):
            left = lp.NumVar(0, self._infinity, "")
            row.SetCoefficient(left, 1)
            self._objective.SetCoefficient(left, penalty / unit)
            self._left.append((left, penalty))

    def add(self, kind: int, pattern: Pattern, cost: float) -> bool:
        """Add one column unless it is there and open; say whether that changed anything."""
        place = self._place.get((kind, pattern))
        if place is not None:
            if self._open[place]:
                return False
            self._variables[place].SetUb(self._infinity)
            self._open[place] = True
            return True
        self._place[kind, pattern] = len(self.columns)
        self.columns.append((kind, pattern))
        variable = self._lp.NumVar(0, self._infinity, "")
        for part, pieces in held(pattern):
            self._parts[part].SetCoefficient(variable, pieces)
        self._kinds[kind].SetCoefficient(variable, 1)
        self._objective.SetCoefficient(variable, cost / self._unit)
        self._variables.append(variable)
        self._open.append(True)
        return True

    def limit(self, counts: Sequence[int]) -> None:
        """Change how many sticks of each kind there are."""
        for row, count in zip(self._kinds, counts, strict=True):
            row.SetUb(count)

    def settle(self, demands: Sequence[int], counts: Sequence[int]) -> None:
        """Ask for so many pieces from so many sticks; columns that overshoot close."""
        for row, demand in zip(self._parts, demands, strict=True):
            row.SetLb(demand)
        self.limit(counts)
        for at, fits in enumerate(self.within(demands, counts)):
            if fits != self._open[at]:
                self._variables[at].SetUb(self._infinity if fits else 0.0)
                self._open[at] = bool(fits)

    def within(self, demands: Sequence[int], counts: Sequence[int]) -> list[bool]:
        """Say of every column whether there is a stick and all the pieces for it."""
        for kind, pattern in self.columns[self._stacked_columns :]:
            if self._stacked_columns == len(self._stacked):
                self._stacked = np.concatenate((self._stacked, np.zeros_like(self._stacked)))
            self._stacked[self._stacked_columns] = (kind, *pattern)
            self._stacked_columns += 1
        table = self._stacked[: self._stacked_columns]
        has_stick: NDArray[Any] = np.array(counts)[table[:, 0]] > 0
        fits: list[bool] = (has_stick & (table[:, 1:] <= np.array(demands)).all(axis=1)).tolist()
        return fits

    def solve(self) -> None:
        """Solve the linear program over the columns made so far."""
        self._lp.Solve()
        self.lp_solves += 1

    @property
    def cost(self) -> float:
        """Of the last optimum, pieces left out included."""
        return float(self._objective.Value()) * self._unit

    @property
    def left(self) -> list[float]:
        """Pieces of each part that the last optimum leaves out."""
        return [left.solution_value() for left, _ in self._left]

    @property
    def missing(self) -> float:
        """What the last optimum pays for pieces left out."""
        return sum(float(left.solution_value()) * penalty for left, penalty in self._left)

    @property
    def values(self) -> list[float]:
        """Dual values of the parts."""
        return [max(0.0, row.dual_value()) * self._unit for row in self._parts]

    @property
    def rents(self) -> list[float]:
        """Dual values of the kinds of stick, at least 0."""
        return [max(0.0, -row.dual_value()) * self._unit for row in self._kinds]

    def used(self) -> list[tuple[int, Pattern, float]]:
        """Return the columns that the last optimum uses, and how often."""
        amounts = (
            variable.solution_value() if is_open else 0.0
            for variable, is_open in zip(self._variables, self._open, strict=True)
        )
        return [(*column, amount) for column, amount in zip(self.columns, amounts, strict=True) if amount > LEFT_OUT]
