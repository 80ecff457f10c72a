"""The last stage for parts with angled ends: all rows that a cheaper plan could use, and the best choice among them.

From an inequality in whole numbers every row gets a reduced cost that is never below 0; a plan cheaper than the one
at hand by at least one unit can only use rows whose reduced cost is less than the gap (reduced cost fixing, Dantzig,
Fulkerson & Johnson 1954). Where these are few enough to be listed, CP-SAT chooses among them in whole numbers: what
it finds is the cheapest plan, and where it finds none, the plan at hand is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from cutting.answer.load import Load
from cutting.fit.angled.chunks import RowLengths, suffix_table
from cutting.fit.angled.pricing import Pattern
from cutting.fit.instance import Instance
from cutting.packing.bag import without_surplus
from cutting.packing.inequality import Inequality

__all__ = ["Cover", "cheapest_cover", "list_rows", "thresholds"]

Ints = NDArray[Any]
_MOST_STATES: Final = 400_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Cover:
    """What the last stage found.

    Attributes
    ----------
    loads : tuple of Load
        The best choice; empty where nothing is cheaper than the plan at hand.
    proven : bool
        Whether it is proven to be the cheapest.
    """

    loads: tuple[Load, ...]
    proven: bool


def thresholds(instance: Instance, inequality: Inequality, scale: float, cost: int | None) -> list[int]:
    """Value from which on a row may be part of a plan cheaper than `cost` (None: of any plan), for each kind of stick.

    With m the reciprocal of `scale` and rents ``r_s = max(0, m V_s - c_s)`` every plan costs
    ``m worth - sum(r limit) + sum(reduced costs of its rows)`` at least, a row of value v having the reduced cost
    ``c_s + r_s - m v >= 0``.
    """
    if cost is None:
        return [1] * len(instance.costs)
    m = 1 / Fraction(scale)
    rents = [max(Fraction(0), m * held - c) for held, c in zip(inequality.holds, instance.costs, strict=True)]
    bound = m * inequality.worth - sum(r * limit for r, limit in zip(rents, instance.limits, strict=True))
    gap = cost - 1 - bound
    return [max(1, ceil((c + r - gap) / m)) for c, r in zip(instance.costs, rents, strict=True)]


def list_rows(
    rows: RowLengths, demands: Sequence[int], capacity: int, values: Sequence[int], *, least: int, most: int
) -> list[Pattern] | None:
    """List every row of at least this value that fits a stick of this capacity; None where there are too many.

    Parameters
    ----------
    rows : RowLengths
        The section.
    demands : sequence of int
        Most pieces of each part.
    capacity : int
        The automaton's.
    values : sequence of int
        Whole-number value of one piece of each part.
    least : int
        Value from which on rows are listed.
    most : int
        Most rows.
    """
    kinds = [i for i, demand in enumerate(demands) if demand and rows.automaton.sizes[i] <= capacity]
    kinds.sort(key=lambda i: -rows.automaton.sizes[i])
    table, starts = suffix_table(rows, kinds, demands, values, capacity)
    counts: Ints = np.zeros((1, len(demands)), dtype=np.int64)
    room: Ints = np.array([capacity], dtype=np.int64)
    value: Ints = np.zeros(1, dtype=np.int64)
    state: Ints = np.zeros(1, dtype=np.int64)
    for place, kind in enumerate(kinds):
        size, step = rows.automaton.sizes[kind], np.array(rows.automaton.steps[kind])
        grown = [(counts, room, value, state)]
        for _ in range(demands[kind]):
            counts, room, value, state = grown[-1]
            fits = room >= size
            if not fits.any():
                break
            counts = counts[fits]
            counts[:, kind] += 1
            grown.append((counts, room[fits] - size, value[fits] + values[kind], step[state[fits]]))
        counts, room, value, state = (np.concatenate(column) for column in zip(*grown, strict=True))
        keep = value + table.bound(starts[place + 1], state, room) >= least
        counts, room, value, state = counts[keep], room[keep], value[keep], state[keep]
        if len(room) > _MOST_STATES:
            return None
    losses = np.array(rows.automaton.losses)
    found = counts[losses[state] <= room]
    if len(found) > most:
        return None
    patterns = (tuple(row) for row in found.tolist())
    return [pattern for pattern in patterns if any(pattern) and rows.fits(pattern, capacity)]


def cheapest_cover(
    instance: Instance,
    columns: Sequence[tuple[int, Pattern]],
    cost: int | None,
    *,
    work: float,
    seconds: float,
    seed: int,
) -> Cover:
    """Choose the cheapest set of rows that holds every part.

    Parameters
    ----------
    instance : Instance
        The section.
    columns : sequence of (int, Pattern)
        All rows that a plan cheaper than `cost` can use.
    cost : int or None
        Cost of the plan at hand.
    work : float
        CP-SAT's deterministic measure of work that may be spent.
    seconds : float
        Ends the search.
    seed : int
        For CP-SAT's choices.
    """
    model = cp_model.CpModel()
    times = [
        model.new_int_var(
            0, min(instance.limits[kind], max(-(-d // a) for d, a in zip(instance.demands, row, strict=True) if a)), ""
        )
        for kind, row in columns
    ]
    for part, demand in enumerate(instance.demands):
        model.add(sum(row[part] * x for (_, row), x in zip(columns, times, strict=True) if row[part]) >= demand)
    for kind, limit in enumerate(instance.limits):
        model.add(sum(x for (k, _), x in zip(columns, times, strict=True) if k == kind) <= limit)
    total = sum(instance.costs[kind] * x for (kind, _), x in zip(columns, times, strict=True))
    if cost is not None:
        model.add(total <= cost - 1)
    model.minimize(total)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # Ctrl-C is the caller's to hear
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = max(0.01, seconds)
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        chosen = [
            Load(kind=kind, pattern=row, times=solver.value(x))
            for (kind, row), x in zip(columns, times, strict=True)
            if solver.value(x)
        ]
        loads = tuple(without_surplus(chosen, instance.demands))
        return Cover(loads=loads, proven=status == cp_model.OPTIMAL)
    return Cover(loads=(), proven=status == cp_model.INFEASIBLE)
