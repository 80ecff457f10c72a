"""Where layouts are worth or cost something: all that a cheaper plan can use, and the best choice among them.

Any part values make an inequality: what a section's sticks can hold exceeds what its parts are worth by a slack, and
the layouts of a plan waste exactly that slack between them. How large it can be in a basket cheaper than the plan at
hand is asked of the buying model; a layout that wastes more is in no cheaper plan. What survives several such
inequalities is listed, and CP-SAT chooses layouts and orders together: what it finds is the cheapest plan, and where it
finds none, the plan at hand is.

References
----------
Baldacci, R., Christofides, N. & Mingozzi, A. (2008). An exact algorithm for the vehicle routing problem based on the
set partitioning formulation. Mathematical Programming 115 (listing all columns within the gap).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

import numpy as np
from ortools.sat.python import cp_model

from cutting.answer.load import Load
from cutting.buying.master import Master, RoomRow
from cutting.fit.clock import Clock
from cutting.packing.bag import Bag
from cutting.packing.survivors import Pool, Test, survivors
from cutting.search.rooms.room import RoomCutter

__all__ = ["Covered", "LayoutCover"]

MOST = 60_000  # layouts listed for one room
SLACK_EFFORT = 0.03  # deterministic time for bounding a slack
HALF = 0.5


@dataclass(frozen=True, kw_only=True, slots=True)
class Covered:
    """What choosing among layouts led to.

    Attributes
    ----------
    places : tuple of int or None
        For each wish the section chosen; None where no cheaper plan was found.
    loads : tuple of tuple of Load
        For each room.
    idle : tuple of int
        For each line how many sticks stay whole.
    bound : int
        No plan costs less, unless the one at hand does.
    """

    places: tuple[int, ...] | None
    loads: tuple[tuple[Load, ...], ...]
    idle: tuple[int, ...]
    bound: int


@dataclass(frozen=True, kw_only=True, slots=True)
class _Spared(Test):
    """A test whose slack is known beforehand."""

    spare: int

    def slack(self, bag: Bag) -> int:
        """Return what may be wasted."""
        del bag
        return self.spare


@dataclass(frozen=True, kw_only=True, slots=True)
class _Listed:
    """Layouts of one room, for sticks that hold the same."""

    room: int
    kinds: tuple[int, ...]
    patterns: tuple[tuple[int, ...], ...]


class LayoutCover:
    """Lists layouts and chooses among them.

    Parameters
    ----------
    cutters : sequence of RoomCutter
        All rooms.
    buying : Master
        The buying model with all that was learned.
    joint : sequence of tuple of RoomRow
        For each section inequalities of its rooms, from the same part values, to test layouts by; every room should be
        in one of them.
    clock : Clock
        Ends it.
    """

    def __init__(
        self, cutters: Sequence[RoomCutter], buying: Master, joint: Sequence[tuple[RoomRow, ...]], clock: Clock
    ) -> None:
        self.cutters = cutters
        self.buying = buying
        self.joint = joint
        self.clock = clock
        self.counted = any(rule.lists() for rule in buying.market.rules)  # how many layouts there are matters

    def tops(self) -> list[int]:
        """Return slacks within which every layout wastes."""
        return [max(held for row in joint for held in row.holds) for joint in self.joint]

    def slacks(self, below: int, known: Sequence[int]) -> list[int]:
        """Bound each joint row's slack over all baskets cheaper than `below`, where that improves on what is known."""
        found = []
        for joint, before in zip(self.joint, known, strict=True):
            model = self.buying.model.clone()
            model.add(self.buying.cost <= below - 1)
            model.maximize(sum(self.buying.slack(row) for row in joint))
            solver = self.buying.solver(self.clock.left())
            solver.parameters.max_deterministic_time = SLACK_EFFORT
            status = solver.solve(model)
            # Stopped before it came to any bound the solver says 0.
            bounded = status != cp_model.UNKNOWN or solver.best_objective_bound != 0
            most = floor(solver.best_objective_bound + HALF) if bounded else before
            found.append(0 if status == cp_model.INFEASIBLE else max(0, min(before, most)))
        return found

    def layouts(self, slacks: Sequence[int], most: int) -> list[_Listed] | None:
        """List the layouts that waste no more than these slacks; None where they are too many."""
        listed: list[_Listed] = []
        for cutter in self.cutters:
            classes = _classes(cutter)
            rows = cutter.fit.rows is not None
            pool = self._rows(cutter, classes, slacks, most) if rows else self._survivors(cutter, classes, slacks)
            if pool is None:
                return None
            for number, kinds in enumerate(classes):
                patterns = pool.patterns[pool.kinds == number]
                if not rows and not self.counted and not any(cutter.room.takes):
                    patterns = _maximal(cutter, kinds[0], patterns)
                fitting = (tuple(pattern) for pattern in patterns.tolist())
                listed.append(
                    _Listed(
                        room=cutter.number,
                        kinds=kinds,
                        patterns=tuple(pattern for pattern in fitting if _fits(cutter, kinds[0], pattern)),
                    )
                )
            if sum(len(each.patterns) for each in listed) > most:
                return None
        return listed

    def _survivors(self, cutter: RoomCutter, classes: Sequence[tuple[int, ...]], slacks: Sequence[int]) -> Pool | None:
        inst = cutter.room.instance
        kept = [size for size, pieces in enumerate(inst.demands) if pieces]
        if not kept:
            return Pool(kinds=np.zeros(0, dtype=np.int32), patterns=np.zeros((0, len(inst.sizes)), dtype=np.int16))
        bag = Bag(
            sizes=tuple(inst.sizes[size] for size in kept),
            demands=tuple(inst.demands[size] for size in kept),
            capacities=tuple(inst.capacities[kinds[0]] for kinds in classes),
            counts=(1,) * len(classes),
        )
        tests = [
            _Spared(
                values=tuple(row.values[size] for size in kept),
                best=tuple(row.holds[kinds[0]] for kinds in classes),
                spare=slack,
            )
            for joint, slack in zip(self.joint, slacks, strict=True)
            for row in joint
            if row.room == cutter.number
        ]
        found = survivors(bag, tests, MOST, self.clock.over)
        if found is None:
            return None
        patterns = np.zeros((len(found), len(inst.sizes)), dtype=np.int16)
        patterns[:, kept] = found.patterns
        return Pool(kinds=found.kinds, patterns=patterns)

    def _rows(
        self, cutter: RoomCutter, classes: Sequence[tuple[int, ...]], slacks: Sequence[int], most: int
    ) -> Pool | None:
        """List likewise rows of angled parts."""
        from cutting.packing.cover import list_rows  # noqa: PLC0415 - only where ends are angled

        fit = cutter.fit
        assert fit.rows is not None
        tests = [
            (np.array(row.values, dtype=np.int64), row.holds, slack)
            for joint, slack in zip(self.joint, slacks, strict=True)
            for row in joint
            if row.room == cutter.number
        ] or [(np.zeros(len(fit.sizes), dtype=np.int64), (0,) * len(fit.capacities), 0)]
        kinds, patterns = [], []
        for number, (kind, *_) in enumerate(classes):
            values, holds, slack = tests[0]
            least = holds[kind] - slack
            found = list_rows(fit.rows, fit.demands, fit.capacities[kind], values.tolist(), least=least, most=most)
            if found is None:
                return None
            table = np.array(found, dtype=np.int64).reshape(-1, len(fit.sizes))
            for values, holds, slack in tests:
                table = table[holds[kind] - table @ values <= slack]
            kinds.append(np.full(len(table), number, dtype=np.int32))
            patterns.append(table.astype(np.int16))
        return Pool(kinds=np.concatenate(kinds), patterns=np.concatenate(patterns))

    def choose(self, listed: Sequence[_Listed], below: int, effort: float) -> Covered:
        """Choose the cheapest plan below a cost made of these layouts."""
        model = self.buying.model.clone()
        times = [self._times(model, each) for each in listed]
        cost = self.buying.cost + self._beyond(listed, times)
        model.add(cost <= below - 1)
        model.minimize(cost)
        for cutter, demands in zip(self.cutters, self.buying.demands, strict=True):
            here = [(each, some) for each, some in zip(listed, times, strict=True) if each.room == cutter.number]
            for size, wanted in enumerate(demands):
                held = [
                    x * pattern[size]
                    for each, some in here
                    for x, pattern in zip(some, each.patterns, strict=True)
                    if pattern[size]
                ]
                exact = self.counted or cutter.room.drops is not None
                model.add(sum(held) == wanted if exact else sum(held) >= wanted)
        if self.counted:
            self._count(model, listed, times)
        solver = self.buying.solver(self.clock.left())
        solver.parameters.max_deterministic_time = effort
        status = solver.solve(model)
        bound = below if status == cp_model.INFEASIBLE else min(below, ceil(solver.best_objective_bound - HALF))
        if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
            return Covered(places=None, loads=(), idle=(), bound=bound)
        chosen = [[solver.value(x) for x in some] for some in times]
        basket = self.buying.read(solver)
        loads = tuple(
            tuple(_loads(cutter, listed, chosen, order.counts, order.demands))
            for cutter, order in zip(self.cutters, basket, strict=True)
        )
        idle = self.buying.whole(solver)
        return Covered(places=self.buying.placed(solver), loads=loads, idle=idle, bound=bound)

    def _beyond(self, listed: Sequence[_Listed], times: Sequence[Sequence[Any]]) -> Any:
        """Add up what drops behind rows are worth less than the buying model counts on."""
        total: Any = 0
        for each, some in zip(listed, times, strict=True):
            drops = self.cutters[each.room].room.drops
            if drops is not None:
                total += sum(drops.beyond(pattern) * x for pattern, x in zip(each.patterns, some, strict=True))
        return total

    def _count(self, model: cp_model.CpModel, listed: Sequence[_Listed], times: Sequence[Sequence[Any]]) -> None:
        """Count the layouts of each section: those of one pattern are one, whatever stick they are cut from."""
        section_of = {room: at for at, rooms in enumerate(self.buying.market.sections) for room in rooms}
        alike: dict[tuple[int, tuple[int, ...]], list[Any]] = {}
        for each, some in zip(listed, times, strict=True):
            for pattern, x in zip(each.patterns, some, strict=True):
                alike.setdefault((section_of[each.room], pattern), []).append(x)
        used: dict[int, list[Any]] = {section: [] for section in self.buying.layouts}
        most = sum(sum(cutter.room.instance.demands) for cutter in self.cutters)
        for (section, _), several in alike.items():
            here = model.new_bool_var("")
            model.add(sum(several) <= most * here)
            used[section].append(here)
        for section, layouts in self.buying.layouts.items():
            model.add(layouts >= sum(used[section]))

    def _times(self, model: cp_model.CpModel, listed: _Listed) -> list[Any]:
        instance = self.cutters[listed.room].room.instance
        most = sum(instance.limits[kind] for kind in listed.kinds)
        times = []
        for pattern in listed.patterns:
            needed = max(-(-d // a) for d, a in zip(instance.demands, pattern, strict=True) if a)
            times.append(model.new_int_var(0, min(most, needed), ""))
        counts = self.buying.counts[listed.room]
        model.add(sum(times) == sum(counts[kind] for kind in listed.kinds))
        return times


def _classes(cutter: RoomCutter) -> list[tuple[int, ...]]:
    """Group kinds of stick that hold the same."""
    groups: dict[tuple[Any, ...], list[int]] = {}
    inst = cutter.room.instance
    for kind, way in enumerate(cutter.room.ways):
        rows = None if inst.rows is None else inst.rows.capacities[kind]
        groups.setdefault((inst.capacities[kind], rows, way.windows), []).append(kind)
    return [tuple(kinds) for kinds in groups.values()]


def _fits(cutter: RoomCutter, kind: int, pattern: tuple[int, ...]) -> bool:
    """Whether a stick holds these parts, and leaves a drop worth keeping where such sticks are a room of their own."""
    drops = cutter.room.drops
    kept = drops is None or drops.keeps(cutter.room.ways[kind].stick.clear, pattern)
    return kept and cutter.fit.holds(kind, pattern)


def _maximal(cutter: RoomCutter, kind: int, patterns: Any) -> Any:
    """Drop layouts that leave room for one more piece: what a stick holds beyond what is wanted costs nothing."""
    inst = cutter.room.instance
    if cutter.room.ways[kind].windows is not None:
        return patterns
    room = inst.capacities[kind] - patterns.astype(np.int64) @ np.array(inst.sizes, dtype=np.int64)
    more = (patterns < np.array(inst.demands)) & (np.array(inst.sizes)[None, :] <= room[:, None])
    return patterns[~more.any(axis=1)]


def _loads(
    cutter: RoomCutter,
    listed: Sequence[_Listed],
    chosen: Sequence[Sequence[int]],
    counts: Sequence[int],
    demands: Sequence[int],
) -> list[Load]:
    """Give every layout chosen in a room a kind of stick, and leave out surplus pieces."""
    left = list(demands)
    loads: list[Load] = []
    for each, some in zip(listed, chosen, strict=True):
        if each.room != cutter.number:
            continue
        kinds = (kind for kind in each.kinds for _ in range(counts[kind]))
        for pattern, times in zip(each.patterns, some, strict=True):
            for _ in range(times):
                kind = next(kinds)
                cut = tuple(min(a, d) for a, d in zip(pattern, left, strict=True))
                left = [d - a for d, a in zip(left, cut, strict=True)]
                if any(cut):
                    loads.append(Load(kind=kind, pattern=cut, times=1))
    assert not any(left)
    return loads
