"""Plain models of our own on general solvers, to measure the engine against.

Each peer gets an `Instance` and seconds and returns `Outcome`. None is anybody's cutting or packing package.

* ``assignment``: CP-SAT, which piece goes on which stick, one pool of sticks from the greedy plan's size.
* ``arc-flow``: HiGHS through MathOpt on one flow per kind of stick (Valério de Carvalho, 1999).
* ``columns``: Gilmore & Gomory's column generation, then an integer program over its columns (HiGHS through MathOpt).
* ``by hand``: first fit decreasing, stick after stick, from whichever kind is cheapest for what it holds.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass

from ortools.math_opt.python import mathopt
from ortools.sat.python import cp_model

from cutting.fit.fit import fit_of
from cutting.fit.instance import Instance
from cutting.packing.by_hand import fill_by_hand
from cutting.packing.relaxation import Relaxation

MOST_ARCS = 400_000  # beyond it building the model alone outlasts the limit
MOST_BINARIES = 200_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """What a solver found: cost of its best plan and its lower bound, None where it has none."""

    cost: int | None
    bound: float | None
    note: str = ""

    @property
    def proven(self) -> bool:
        """Whether the bound meets the cost."""
        return self.cost is not None and self.bound is not None and math.ceil(self.bound - 1e-6) >= self.cost


Peer = Callable[[Instance, float], Outcome]


def by_hand(instance: Instance, _seconds: float) -> Outcome:
    """First fit decreasing."""
    loads = fill_by_hand(instance, fit_of(instance))
    cost = None if loads is None else sum(instance.costs[load.kind] * load.times for load in loads)
    return Outcome(cost=cost, bound=None)


def assignment(instance: Instance, seconds: float) -> Outcome:
    """CP-SAT: counts of each part on each stick of a pool; a stick is used or not."""
    sticks = [
        (kind, copy)
        for kind, capacity in enumerate(instance.capacities)
        for copy in range(_useful(instance, kind, capacity))
    ]
    if len(sticks) * len(instance.sizes) > MOST_BINARIES:
        return Outcome(cost=None, bound=None, note="too large")
    model = cp_model.CpModel()
    used = [model.new_bool_var("") for _ in sticks]
    holds = [
        [model.new_int_var(0, min(d, instance.capacities[kind] // s), "") for s, d in _parts(instance)]
        for kind, _ in sticks
    ]
    for number, (kind, copy) in enumerate(sticks):
        room = instance.capacities[kind]
        model.add(cp_model.LinearExpr.weighted_sum(holds[number], list(instance.sizes)) <= room * used[number])
        if copy:
            model.add_implication(used[number], used[number - 1])
    for part, demand in enumerate(instance.demands):
        model.add(sum(row[part] for row in holds) == demand)
    model.minimize(sum(instance.costs[kind] * used[n] for n, (kind, _) in enumerate(sticks)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Outcome(cost=round(solver.objective_value) if found else None, bound=solver.best_objective_bound)


def _parts(instance: Instance) -> list[tuple[int, int]]:
    return list(zip(instance.sizes, instance.demands, strict=True))


def _useful(instance: Instance, kind: int, capacity: int) -> int:
    """A pool large enough for first fit decreasing on this kind alone."""
    one = Instance(
        sizes=instance.sizes,
        demands=instance.demands,
        capacities=(capacity,),
        costs=(1,),
        limits=(sum(instance.demands),),
    )
    loads = fill_by_hand(one, fit_of(one))
    return instance.limits[kind] if loads is None else min(instance.limits[kind], sum(load.times for load in loads))


def arc_flow(instance: Instance, seconds: float) -> Outcome:
    """HiGHS: flow from 0 to each capacity over reachable positions, parts longest first."""
    top = max(instance.capacities)
    arcs = _arcs(instance, top)
    if len(arcs) > MOST_ARCS:
        return Outcome(cost=None, bound=None, note="too large")
    model = mathopt.Model()
    out: dict[int, list[mathopt.LinearTerm | mathopt.Variable]] = {}
    into: dict[int, list[mathopt.LinearTerm | mathopt.Variable]] = {}
    cover: list[list[mathopt.Variable]] = [[] for _ in instance.sizes]
    for part, start in arcs:
        flow = model.add_integer_variable(lb=0, ub=instance.demands[part])
        out.setdefault(start, []).append(flow)
        into.setdefault(start + instance.sizes[part], []).append(flow)
        cover[part].append(flow)
    nodes = sorted(set(out) | set(into))
    ends = {c: [k for k, cap in enumerate(instance.capacities) if cap == c] for c in set(instance.capacities)}
    sticks = [model.add_integer_variable(lb=0, ub=limit) for limit in instance.limits]
    # Flow that reaches a node may leave into any kind of stick at least as long as the node.
    leave = [(n, k, model.add_integer_variable(lb=0)) for n in nodes if n for k in _fitting(n, ends)]
    by_node: dict[int, list[mathopt.Variable]] = {}
    by_kind: dict[int, list[mathopt.Variable]] = {}
    for node, kind, variable in leave:
        by_node.setdefault(node, []).append(variable)
        by_kind.setdefault(kind, []).append(variable)
    for node in nodes:
        if node:
            model.add_linear_constraint(
                mathopt.fast_sum(into.get(node, []))
                == mathopt.fast_sum(out.get(node, [])) + mathopt.fast_sum(by_node.get(node, []))
            )
    for kind, variable in enumerate(sticks):
        model.add_linear_constraint(mathopt.fast_sum(by_kind.get(kind, [])) == variable)
    for part, demand in enumerate(instance.demands):
        model.add_linear_constraint(mathopt.fast_sum(cover[part]) >= demand)
    model.minimize(mathopt.fast_sum([c * v for c, v in zip(instance.costs, sticks, strict=True)]))
    return _highs(model, seconds)


def _fitting(node: int, ends: dict[int, list[int]]) -> list[int]:
    return [k for capacity in sorted(ends) if capacity >= node for k in ends[capacity]]


def _arcs(instance: Instance, top: int) -> list[tuple[int, int]]:
    """(part, start) for every part at every position that longer or equal parts can reach."""
    reach = {0}
    arcs: set[tuple[int, int]] = set()
    for part, (size, demand) in enumerate(_parts(instance)):
        front = set(reach)
        for _ in range(min(demand, top // size)):
            moved = {p + size for p in front if p + size <= top}
            arcs.update((part, p) for p in front if p + size <= top)
            front = moved
            reach |= moved
            if len(arcs) > MOST_ARCS:
                return sorted(arcs)
    return sorted(arcs)


def _highs(model: mathopt.Model, seconds: float) -> Outcome:
    parameters = mathopt.SolveParameters(
        time_limit=dt.timedelta(seconds=seconds), relative_gap_tolerance=0.0, absolute_gap_tolerance=0.0
    )
    result = mathopt.solve(model, mathopt.SolverType.HIGHS, params=parameters)
    cost = round(result.objective_value()) if result.has_primal_feasible_solution() else None
    return Outcome(cost=cost, bound=result.dual_bound())


def over_columns(instance: Instance, seconds: float) -> Outcome:
    """Column generation, then the cheapest whole numbers of its columns; the bound is the relaxation's."""
    relaxation = Relaxation(instance, fit_of(instance))
    point = relaxation.generate(lambda: False)
    columns = relaxation.master.columns
    model = mathopt.Model()
    times = [model.add_integer_variable(lb=0) for _ in columns]
    for part, demand in enumerate(instance.demands):
        terms = [p[part] * v for (_, p), v in zip(columns, times, strict=True) if p[part]]
        model.add_linear_constraint(mathopt.fast_sum(terms) >= demand)
    for kind, limit in enumerate(instance.limits):
        terms = [v for (k, _), v in zip(columns, times, strict=True) if k == kind]
        model.add_linear_constraint(mathopt.fast_sum(terms) <= limit)
    costs = [instance.costs[k] * v for (k, _), v in zip(columns, times, strict=True)]
    model.minimize(mathopt.fast_sum(costs))
    found = _highs(model, seconds)
    return Outcome(cost=found.cost, bound=point.cost)


PEERS: dict[str, Peer] = {
    "by hand": by_hand,
    "columns": over_columns,
    "arc-flow": arc_flow,
    "assignment": assignment,
}
