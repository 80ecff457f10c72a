"""The cutting room for parts with angled ends.

Can all rows be cut from exactly these sticks? Fractions of rows first, which may end in an inequality in whole
numbers; then dives that round them down and generate anew for what remains; then a list of all rows that waste no
more than can be spared, from which CP-SAT chooses in whole numbers: that finds a packing or proves that there is
none.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import floor
from random import Random
from typing import Final

from cutting.fit.angled.pricing import Pattern, RowPricer, Rows
from cutting.fit.instance import Instance
from cutting.packing.angled.cover import list_rows, rows_for
from cutting.packing.angled.fractions import Fitting, Mixture

__all__ = ["Packing", "pack_rows"]

_WHOLE: Final = 1e-5
_FEW_PIECES: Final = (14, 30)
_FEW_ROWS: Final = 4_000
_MANY_ROWS: Final = 30_000
_LITTLE_WORK: Final = 0.3
_DIVES: Final = 4

Taken = tuple[int, Pattern, int]


@dataclass(frozen=True, kw_only=True, slots=True)
class Packing:
    """What became of the question.

    Attributes
    ----------
    layouts : tuple of (int, Pattern, int) or None
        Kind of stick (the instance's), row, sticks; None where no packing was found.
    impossible : bool
        Proven that there is none.
    values : tuple of int
        Part values whose inequality proves it, where one does; else empty.
    solves, dives, nodes : int
        Work done.
    """

    layouts: tuple[Taken, ...] | None = None
    impossible: bool = False
    values: tuple[int, ...] = ()
    solves: int = 0
    dives: int = 0
    nodes: int = 0


class _Bag:
    """One question to the cutting room."""

    def __init__(
        self, instance: Instance, counts: Sequence[int], rows: Rows, seed: int, stop: Callable[[], bool]
    ) -> None:
        self.instance = instance
        self.counts = counts
        self.rows = rows
        self.rng = Random(seed)
        self.stop = stop
        self.dives = 0
        self.nodes = 0
        capacities = rows.automaton.capacities
        merged: Counter[int] = Counter()
        for kind, count in enumerate(counts):
            if count:
                merged[capacities[kind]] += count
        self.capacities = tuple(sorted(merged, reverse=True))
        self.sticks = tuple(merged[capacity] for capacity in self.capacities)
        self.fitting = Fitting(RowPricer(rows, instance.demands, self.capacities), self.sticks)

    def know(self, columns: Iterable[tuple[int, Pattern]]) -> None:
        """Start from rows made before, on the kinds of stick that are in the bag."""
        place = {capacity: number for number, capacity in enumerate(self.capacities)}
        for kind, row in columns:
            number = place.get(self.rows.automaton.capacities[kind])
            if number is not None:
                self.fitting.add(number, row)

    def run(self, effort: int, seconds: Callable[[], float]) -> Packing:
        demands = self.instance.demands
        root = self.fitting.solve(demands, self.sticks, self.stop)
        if root.violated:
            return self._result(impossible=True, values=root.values)
        most = _DIVES * max(1, effort // 300)
        while root.finished and root.whole and self.dives < most and not self.stop():
            taken = self._dive(seconds)
            if taken is not None:
                return self._result(layouts=self._layouts(taken))
        if self.stop():
            return self._result()
        return self._prove(root, effort, seconds)

    def _result(
        self, *, layouts: tuple[Taken, ...] | None = None, impossible: bool = False, values: tuple[int, ...] = ()
    ) -> Packing:
        return Packing(
            layouts=layouts,
            impossible=impossible,
            values=values,
            solves=self.fitting.solves,
            dives=self.dives,
            nodes=self.nodes,
        )

    # -- dives -----------------------------------------------------------------------------------

    def _dive(self, seconds: Callable[[], float]) -> list[Taken] | None:
        """Take the whole part of every row, or one stick of a large fraction where nothing is whole; go on."""
        self.dives += 1
        demands, sticks = list(self.instance.demands), list(self.sticks)
        taken: list[Taken] = []
        trail: list[tuple[list[int], list[int], int]] = []
        while any(demands):
            mixture = self.fitting.solve(demands, sticks, self.stop)
            if not mixture.finished:
                return None
            if not mixture.whole:
                return self._finish(trail, taken, seconds)
            trail.append((list(demands), list(sticks), len(taken)))
            for kind, row, times in self._rounded(mixture):
                taken.append((kind, row, times))
                sticks[kind] -= times
                demands = [max(0, d - times * a) for d, a in zip(demands, row, strict=True)]
        return taken

    def _rounded(self, mixture: Mixture) -> list[Taken]:
        whole = [(kind, row, floor(amount + _WHOLE)) for kind, row, amount in mixture.columns if amount >= 1 - _WHOLE]
        if whole:
            return whole
        kind, row, _ = self.rng.choices(mixture.columns, [amount**4 for _, _, amount in mixture.columns])[0]
        return [(kind, row, 1)]

    def _finish(
        self, trail: list[tuple[list[int], list[int], int]], taken: list[Taken], seconds: Callable[[], float]
    ) -> list[Taken] | None:
        """Go back up to where some pieces were left, list the rows for them and choose."""
        for pieces in _FEW_PIECES:
            back = [entry for entry in trail if pieces <= sum(entry[0]) <= 3 * pieces]
            if not back or self.stop():
                continue
            demands, sticks, kept = back[-1]
            chosen, _ = self._choose(demands, sticks, _FEW_ROWS, _LITTLE_WORK, seconds)
            if chosen is not None:
                return [*taken[:kept], *chosen]
        return None

    # -- lists -----------------------------------------------------------------------------------

    def _choose(
        self, demands: Sequence[int], sticks: Sequence[int], most: int, work: float, seconds: Callable[[], float]
    ) -> tuple[list[Taken] | None, bool]:
        """List every row that wastes no more than can be spared and choose; say whether it is proven that none can."""
        mixture = self.fitting.inequality(demands, sticks)
        worth = sum(v * d for v, d in zip(mixture.values, demands, strict=True))
        spare = sum(h * n for h, n in zip(mixture.holds, sticks, strict=True)) - worth
        if spare < 0:
            return None, True
        columns: list[tuple[int, Pattern]] = []
        for kind, capacity in enumerate(self.capacities):
            if sticks[kind]:
                least = mixture.holds[kind] - spare
                found = list_rows(self.rows, demands, capacity, mixture.values, least=least, most=most - len(columns))
                if found is None:
                    return None, False
                columns += [(kind, row) for row in found]
        self.nodes += len(columns)
        return rows_for(columns, demands, sticks, work=work, seconds=seconds())

    def _prove(self, root: Mixture, effort: int, seconds: Callable[[], float]) -> Packing:
        if not root.finished:
            return self._result()
        most = min(_MANY_ROWS, _FEW_ROWS * max(1, effort // 300))
        work = _LITTLE_WORK * max(1, effort // 300)
        chosen, impossible = self._choose(self.instance.demands, self.sticks, most, work, seconds)
        if chosen is not None:
            return self._result(layouts=self._layouts(chosen))
        return self._result(impossible=impossible)

    def _layouts(self, taken: Sequence[Taken]) -> tuple[Taken, ...]:
        """Drop surplus pieces (the others stay where they are) and give every stick a kind of the instance."""
        left = list(self.instance.demands)
        room = list(self.counts)
        kinds = self.rows.automaton.capacities
        layouts: Counter[tuple[int, Pattern]] = Counter()
        for place, row, times in taken:
            for _ in range(times):
                pattern = tuple(min(a, d) for a, d in zip(row, left, strict=True))
                if not any(pattern):
                    continue
                left = [d - a for d, a in zip(left, pattern, strict=True)]
                kind = next(k for k, n in enumerate(room) if n and kinds[k] == self.capacities[place])
                room[kind] -= 1
                layouts[kind, pattern] += 1
        return tuple((kind, pattern, times) for (kind, pattern), times in layouts.items())


def pack_rows(
    instance: Instance,
    counts: Sequence[int],
    *,
    rows: Rows,
    seed: int,
    stop: Callable[[], bool],
    seconds: Callable[[], float],
    effort: int,
    columns: Iterable[tuple[int, Pattern]] = (),
) -> Packing:
    """Cut all parts of a section with angled ends from exactly these sticks, or prove that it can't be done.

    Parameters
    ----------
    instance : Instance
        The section.
    counts : sequence of int
        Sticks of each kind.
    rows : Rows
        Its rows.
    seed : int
        For the random choices of the dives.
    stop : callable
        Whether the caller's clock has run out.
    seconds : callable
        What it has left.
    effort : int
        About so many linear programmes are worth solving; lists and searches grow with it.
    columns : iterable of (int, Pattern)
        Rows made before, by kind of stick.
    """
    bag = _Bag(instance, counts, rows, seed, stop)
    bag.know(columns)
    return bag.run(effort, seconds)
