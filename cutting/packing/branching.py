"""Whether a bag can be packed with listed patterns: branch and bound whose every verdict is checked in whole numbers.

At each node a linear program leaves as little out as it can; its dual values, rounded to whole numbers, make an
inequality over the listed patterns that is evaluated exactly. Where the sticks hold less than that demands, the node
is done; where they hold little more, patterns that waste more than the difference are dropped. The linear program only
proposes: no node is closed, and no pattern dropped, on a floating-point number's word.

References
----------
Vanderbeck, F. (2000). On Dantzig-Wolfe decomposition in integer programming and ways to perform branching in a
branch-and-price algorithm. Operations Research 48 (branching on sets of patterns with common features).
Ryan, D. M. & Foster, B. A. (1981). An integer programming approach to scheduling (branching on pairs).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from cutting.answer.load import Load
from cutting.packing.bag import Bag
from cutting.packing.selecting import Selection
from cutting.packing.survivors import Pool

__all__ = ["branch"]

Ints = NDArray[Any]

_SCALE = 1 << 28  # whole-number value of a dual value of 1
_WHOLE = 1e-6
_QUICK = "use_preprocessing: false use_scaling: false"  # half the simplex steps
_STEADY = "use_preprocessing: true use_scaling: true"
_MOST_FEATURES = 400  # beyond it pairs of features take longer to look through than the linear program


@dataclass(frozen=True, kw_only=True, slots=True)
class _Row:
    """``sum(coefficients * times)`` is at most, exactly or at least (sense -1, 0, 1) the right-hand side."""

    coefficients: Ints
    right: int
    sense: int


@dataclass(frozen=True, kw_only=True, slots=True)
class _Node:
    """A part of the search: the patterns still alive and the numbers of the rows that hold in it."""

    alive: Ints
    rows: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Point:
    """What a node's linear program says: how often each pattern, and the whole-number verdict of its dual values."""

    times: NDArray[Any]
    impossible: bool
    alive: Ints


def branch(bag: Bag, pool: Pool, *, nodes: int, should_stop: Callable[[], bool]) -> Selection:
    """Pack the bag with patterns of the pool, or prove that it can't be done.

    Parameters
    ----------
    bag
        The bag.
    pool
        Patterns within its demands; a proof holds for packings made of these alone.
    nodes
        Most nodes.
    should_stop
        Asked once a linear program.

    Returns
    -------
    Selection
        A packing, a proof in whole numbers that there is none, or neither.
    """
    return _Search(bag, pool, should_stop).run(nodes)


class _Search:
    """One call of `branch`."""

    def __init__(self, bag: Bag, pool: Pool, should_stop: Callable[[], bool]) -> None:
        self.bag = bag
        self.kinds = pool.kinds
        self.patterns = pool.patterns.astype(np.int64)
        self.should_stop = should_stop
        self.counts = np.array(bag.counts, dtype=np.int64)
        self.features = _features(self.patterns)
        self.visited = 0
        self._rows: list[_Row] = []
        self._build()

    def run(self, nodes: int) -> Selection:
        """Search depth first."""
        waiting = [_Node(alive=np.ones(len(self.kinds), dtype=np.bool_), rows=())]
        while waiting:
            if self.visited >= nodes:
                return Selection(nodes=self.visited)
            node = waiting.pop()
            self.visited += 1
            self._hold(node.rows)
            point = self._settled(node.alive)
            if point is None:
                return Selection(nodes=self.visited)
            if point.impossible:
                continue
            packed = self._packing(point.times)
            if packed is not None:
                return Selection(sticks=packed, nodes=self.visited)
            halves = self._halves(_Node(alive=point.alive, rows=node.rows), point.times)
            if halves is None:
                return Selection(nodes=self.visited)  # whole within tolerance, but no packing: the numbers deceive
            waiting += halves
        return Selection(none=True, nodes=self.visited)

    # -- the linear program -------------------------------------------------------------------

    def _build(self) -> None:
        lp = pywraplp.Solver.CreateSolver("GLOP")
        lp.SetSolverSpecificParametersAsString(_QUICK)
        lp.Objective().SetMinimization()
        self._lp = lp
        self._times = [lp.NumVar(0.0, lp.infinity(), "") for _ in self.kinds]
        self._open = np.ones(len(self.kinds), dtype=np.bool_)
        self._constraints: list[pywraplp.Constraint] = []
        self._held: set[int] = set()
        for part, demand in enumerate(self.bag.demands):
            self._add(_Row(coefficients=self.patterns[:, part], right=demand, sense=0))
        for kind, count in enumerate(self.bag.counts):
            of_kind = np.flatnonzero(self.kinds == kind)
            limit = lp.Constraint(-lp.infinity(), float(count))
            for at in of_kind.tolist():
                limit.SetCoefficient(self._times[at], 1.0)
        self._always = len(self._rows)

    def _add(self, row: _Row) -> int:
        """Add a row that may be broken at a price of 1, so that its dual value is within -1 and 1."""
        constraint = self._lp.Constraint(*self._range(row))
        for at in np.flatnonzero(row.coefficients).tolist():
            constraint.SetCoefficient(self._times[at], float(row.coefficients[at]))
        for sign in (-1.0,) if row.sense < 0 else (1.0,) if row.sense > 0 else (1.0, -1.0):
            broken = self._lp.NumVar(0.0, self._lp.infinity(), "")
            constraint.SetCoefficient(broken, sign)
            self._lp.Objective().SetCoefficient(broken, 1.0)
        self._rows.append(row)
        self._constraints.append(constraint)
        self._held.add(len(self._rows) - 1)
        return len(self._rows) - 1

    def _range(self, row: _Row) -> tuple[float, float]:
        infinity = self._lp.infinity()
        return (
            float(row.right) if row.sense >= 0 else -infinity,
            float(row.right) if row.sense <= 0 else infinity,
        )

    def _hold(self, rows: tuple[int, ...]) -> None:
        """Make these the rows of branching that hold."""
        wanted = {*range(self._always), *rows}
        infinity = self._lp.infinity()
        for at in sorted(self._held - wanted):
            self._constraints[at].SetBounds(-infinity, infinity)
        for at in sorted(wanted - self._held):
            self._constraints[at].SetBounds(*self._range(self._rows[at]))
        self._held = wanted

    def _settled(self, alive: Ints) -> _Point | None:
        """Solve until no pattern is dropped any more; None where that was stopped or the solver failed."""
        while True:
            for at in np.flatnonzero(alive != self._open).tolist():
                self._times[at].SetUb(self._lp.infinity() if alive[at] else 0.0)
            self._open = alive
            if self.should_stop() or not self._solved():
                return None
            impossible, left = self._verdict(alive)
            if impossible or self._lp.Objective().Value() < _WHOLE or left.sum() == alive.sum():
                times = np.array([each.solution_value() for each in self._times])
                return _Point(times=times, impossible=impossible, alive=left)
            alive = left

    def _solved(self) -> bool:
        """Solve the linear program; from scratch where the basis of the last node leads nowhere."""
        if self._lp.Solve() == pywraplp.Solver.OPTIMAL:
            return True
        self._lp.SetSolverSpecificParametersAsString(_STEADY)
        afresh = pywraplp.MPSolverParameters()
        afresh.SetIntegerParam(afresh.INCREMENTALITY, afresh.INCREMENTALITY_OFF)
        solved = self._lp.Solve(afresh) == pywraplp.Solver.OPTIMAL
        self._lp.SetSolverSpecificParametersAsString(_QUICK)
        return bool(solved)

    def _verdict(self, alive: Ints) -> tuple[bool, Ints]:
        """Evaluate the inequality of the rounded dual values exactly.

        Every packing satisfies ``sum(worth * times) >= owed`` for multipliers that have the signs of their rows, and
        no stick of a kind is worth more than the best pattern alive for it, or than nothing.
        """
        worth = np.zeros(len(self.kinds), dtype=np.int64)
        owed = 0
        for at in sorted(self._held):
            row = self._rows[at]
            multiplier = round(self._constraints[at].dual_value() * _SCALE)
            if row.sense:
                multiplier = row.sense * max(0, row.sense * multiplier)
            multiplier = max(-2 * _SCALE, min(multiplier, 2 * _SCALE))  # far from what 64 bits can't hold
            if multiplier:
                worth += multiplier * row.coefficients
                owed += multiplier * row.right
        best = np.zeros(len(self.counts), dtype=np.int64)
        np.maximum.at(best, self.kinds[alive], worth[alive])
        spare = sum(int(most) * int(count) for most, count in zip(best, self.counts, strict=True)) - owed
        waste = best[self.kinds] - worth
        return spare < 0, alive & (waste <= min(spare, np.iinfo(np.int64).max))

    # -- branching ----------------------------------------------------------------------------

    def _packing(self, times: NDArray[Any]) -> tuple[Load, ...] | None:
        """Return the packing where the amounts are whole and really make one."""
        whole = np.rint(times).astype(np.int64)
        if np.abs(times - whole).max(initial=0.0) > _WHOLE:
            return None
        used = np.zeros(len(self.counts), dtype=np.int64)
        np.add.at(used, self.kinds, whole)
        if (whole @ self.patterns != np.array(self.bag.demands)).any() or (used > self.counts).any():
            return None
        return tuple(
            Load(kind=int(self.kinds[at]), pattern=tuple(self.patterns[at].tolist()), times=int(whole[at]))
            for at in np.flatnonzero(whole)
        )

    def _halves(self, node: _Node, times: NDArray[Any]) -> list[_Node] | None:
        """Split a node: sticks of a certain make are at most so many, or more; the latter is to come first."""
        chosen = self._fractional(times)
        if chosen is None:
            return None
        most = int(np.floor(float(times[chosen].sum()) + _WHOLE))
        return [self._half(node, chosen, most, -1), self._half(node, chosen, most + 1, 1)]

    def _half(self, node: _Node, chosen: Ints, right: int, sense: int) -> _Node:
        if right == 0:
            return _Node(alive=node.alive & ~chosen, rows=node.rows)
        row = self._add(_Row(coefficients=chosen.astype(np.int64), right=right, sense=sense))
        return _Node(alive=node.alive, rows=(*node.rows, row))

    def _fractional(self, times: NDArray[Any]) -> Ints | None:
        """Choose patterns taken a fractional number of times together: all with a pair of features, or one alone."""
        taken = np.flatnonzero(times > _WHOLE)
        if self.features.shape[1] <= _MOST_FEATURES:
            has = self.features[taken].astype(np.float64)
            together = (has * times[taken][:, None]).T @ has
            away = np.round(np.abs(together - np.rint(together)), 3)
            at = int(np.argmax(away))
            if away.flat[at] > 0:
                one, other = divmod(at, self.features.shape[1])
                return np.asarray(self.features[:, one] & self.features[:, other])
        away = np.abs(times - np.rint(times))
        at = int(np.argmax(away))
        if away[at] <= _WHOLE:
            return None
        alone = np.zeros(len(self.kinds), dtype=np.bool_)
        alone[at] = True
        return alone


def _features(patterns: Ints) -> Ints:
    """Say of each pattern whether it holds at least one, two, ... of each part, as far as that tells patterns apart."""
    columns = []
    for part in range(patterns.shape[1]):
        held = patterns[:, part]
        columns += [held >= least for least in range(1, int(held.max(initial=0)) + 1)]
    return np.stack(columns, axis=1) if columns else np.zeros((len(patterns), 0), dtype=np.bool_)
