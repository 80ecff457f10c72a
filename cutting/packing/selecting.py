"""Choosing whole sticks from a list of all patterns that can matter.

The list is complete (`cutting.packing.survivors`), so choosing every part exactly as often as wanted is
the packing question itself.  HiGHS chooses quickly; what it finds is checked in whole numbers, and
what it calls infeasible is asked again of CP-SAT, which reasons in whole numbers throughout.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.packing.bag import Bag
from cutting.packing.survivors import Pool

__all__ = ["Selection", "choose", "refute"]

_POLL = 0.05  # seconds between two questions whether to stop


@dataclass(frozen=True, kw_only=True, slots=True)
class Selection:
    """What a search over a complete list of patterns found.

    Attributes
    ----------
    sticks
        A packing, None where none was found.
    none
        Whether there is none, as far as `rests` goes.
    rests
        On what that rests.
    nodes
        Nodes of the search.
    """

    sticks: tuple[Load, ...] | None = None
    none: bool = False
    rests: Rests = Rests.EXACT
    nodes: int = 0


def choose(bag: Bag, pool: Pool, *, nodes: int, seconds: float) -> Selection:
    """Choose sticks from the pool by branch and bound (HiGHS).

    Parameters
    ----------
    bag
        The bag.
    pool
        All patterns that any packing may use.
    nodes
        Most nodes.
    seconds
        Longest time; only an end of last resort, HiGHS cannot be stopped otherwise.
    """
    from ortools.math_opt.python import mathopt  # noqa: PLC0415 - a sixteenth of a second that few jobs need

    model = mathopt.Model()
    bounds = _most(bag, pool)
    variables = [model.add_integer_variable(lb=0, ub=int(most)) for most in bounds]
    for part, demand in enumerate(bag.demands):
        using = np.flatnonzero(pool.patterns[:, part])
        model.add_linear_constraint(
            mathopt.LinearSum(
                variables[at] * int(pieces) for at, pieces in zip(using, pool.patterns[using, part], strict=True)
            )
            == demand
        )
    for kind, count in enumerate(bag.counts):
        of_kind = np.flatnonzero(pool.kinds == kind)
        model.add_linear_constraint(mathopt.LinearSum(variables[at] for at in of_kind) <= count)
    parameters = mathopt.SolveParameters(time_limit=timedelta(seconds=max(seconds, 0.01)), node_limit=nodes)
    result = mathopt.solve(model, mathopt.SolverType.HIGHS, params=parameters)
    taken = result.solve_stats.node_count + 1
    if result.termination.reason == mathopt.TerminationReason.INFEASIBLE:
        return Selection(none=True, rests=Rests.FLOATING, nodes=taken)
    if not result.solutions or result.solutions[0].primal_solution is None:
        return Selection(nodes=taken)
    times = np.rint(list(result.variable_values(variables))).astype(np.int64)
    return Selection(sticks=_checked(bag, pool, times), nodes=taken)


def refute(bag: Bag, pool: Pool, *, seed: int, effort: float, should_stop: Callable[[], bool]) -> Selection:
    """Search the pool in whole numbers from end to end (CP-SAT); what it rules out is proven.

    Parameters
    ----------
    bag
        The bag.
    pool
        All patterns that any packing may use.
    seed
        For the solver.
    effort
        Most deterministic time, the solver's own measure of work.
    should_stop
        Asked a few times a second.
    """
    model = cp_model.CpModel()
    variables = [model.new_int_var(0, int(most), "") for most in _most(bag, pool)]
    weighted: Any = cp_model.LinearExpr.weighted_sum
    for part, demand in enumerate(bag.demands):
        using = np.flatnonzero(pool.patterns[:, part])
        pieces = [int(count) for count in pool.patterns[using, part]]
        model.add(weighted([variables[at] for at in using], pieces) == demand)
    for kind, count in enumerate(bag.counts):
        of_kind = [variables[at] for at in np.flatnonzero(pool.kinds == kind)]
        model.add(weighted(of_kind, [1] * len(of_kind)) <= count)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # Ctrl-C is the caller's to hear
    solver.parameters.random_seed = seed
    solver.parameters.linearization_level = 2
    solver.parameters.max_deterministic_time = effort
    status = _interruptible(solver, model, should_stop)
    if status == cp_model.INFEASIBLE:
        return Selection(none=True, nodes=int(solver.num_branches))
    if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return Selection(nodes=int(solver.num_branches))
    times = np.array([solver.value(variable) for variable in variables], dtype=np.int64)
    return Selection(sticks=_checked(bag, pool, times), nodes=int(solver.num_branches))


def _interruptible(solver: cp_model.CpSolver, model: cp_model.CpModel, should_stop: Callable[[], bool]) -> Any:
    """Solve while a watch asks now and then whether to stop."""
    done = threading.Event()

    def watch() -> None:
        while not done.wait(_POLL):
            if should_stop():
                solver.stop_search()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        return solver.solve(model)
    finally:
        done.set()
        watcher.join()


def _most(bag: Bag, pool: Pool) -> NDArray[Any]:
    """Return how often each pattern fits into the demands and the sticks."""
    demands = np.array(bag.demands)
    with np.errstate(divide="ignore"):
        ratios = np.where(pool.patterns > 0, demands // np.maximum(pool.patterns, 1), np.iinfo(np.int64).max)
    return np.asarray(np.minimum(ratios.min(axis=1), np.array(bag.counts)[pool.kinds]))


def _checked(bag: Bag, pool: Pool, times: NDArray[Any]) -> tuple[Load, ...] | None:
    """Return the packing if it really holds every part on sticks there are, else None."""
    packed = times @ pool.patterns
    used = np.bincount(pool.kinds, weights=times, minlength=len(bag.counts))
    if (packed < np.array(bag.demands)).any() or (used > np.array(bag.counts)).any():
        return None
    return tuple(
        Load(kind=int(pool.kinds[at]), pattern=tuple(pool.patterns[at].tolist()), times=int(times[at]))
        for at in np.flatnonzero(times > 0)
    )
