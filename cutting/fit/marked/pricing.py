"""The most valuable pattern of every kind of stick, sticks that the yard cuts included.

A windowed stick's value is put together from one table of best values by length: exact but for the demand, which
windows are priced without sharing. That is a weaker V_s at most, so everything it proves holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cutting.fit.knapsack import Best, Knapsack, Pattern
from cutting.fit.marked.windows import Windows, assign

__all__ = ["WindowKnapsack"]

Ints = NDArray[Any]
MOST_UNITS = 60_000  # beyond this many units windows are priced one by one, which is weaker
NOTHING = -(1 << 60)


class WindowKnapsack:
    """Prices patterns like `cutting.fit.knapsack.Knapsack`, for kinds of stick some of which have windows.

    Parameters
    ----------
    sizes, demands, capacities : sequence of int
        As there; the capacity of a windowed kind is that of all its windows together.
    windows : sequence of Windows or None
        For each kind.
    """

    def __init__(
        self,
        sizes: Sequence[int],
        demands: Sequence[int],
        capacities: Sequence[int],
        windows: Sequence[Windows | None],
    ) -> None:
        self.sizes = tuple(sizes)
        self.demands = tuple(demands)
        self.capacities = tuple(capacities)
        self.windows = tuple(windows)
        self.rough: tuple[Knapsack, ...] = ()
        self._plain = Knapsack(sizes, demands, capacities)
        shapes = list(dict.fromkeys(each for each in windows if each is not None))
        self._caps = tuple(sorted({cap for shape in shapes for cap in shape.caps}))
        self._single = Knapsack(sizes, demands, self._caps)

    def best(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int] | None = None
    ) -> Best:
        """Return for each kind a value that no pattern exceeds and a pattern; see `Knapsack.best`."""
        found = self._plain.best(values, demands=demands, floors=floors)
        return self._windowed(found, values, self.demands if demands is None else demands, floors)

    def several(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int], most: int
    ) -> tuple[Best, list[tuple[int, Pattern]]]:
        """Like `best`, with further patterns above the floors; see `Knapsack.several`."""
        found, more = self._plain.several(values, demands=demands, floors=floors, most=most)
        best = self._windowed(found, values, self.demands if demands is None else demands, floors)
        return best, [(kind, pattern) for kind, pattern in more if self.fits(kind, pattern)]

    def fits(self, kind: int, pattern: Pattern) -> bool:
        """Whether one stick of a kind holds a pattern within its capacity."""
        windows = self.windows[kind]
        return windows is None or assign(self.sizes, pattern, windows) is not None

    def _windowed(
        self, found: Best, values: Sequence[int], demands: Sequence[int], floors: Sequence[int] | None
    ) -> Best:
        """Put values and patterns of windowed kinds in the place of those of their capacity."""
        totals, patterns = list(found.values), list(found.patterns)
        pricer = self._pricer(values, demands)
        known: dict[Windows, tuple[int, Pattern]] = {}
        for kind, windows in enumerate(self.windows):
            if windows is None:
                continue
            if windows not in known:
                known[windows] = pricer.best(windows)
            value, pattern = known[windows]
            # The capacity of all windows together is a bound of its own, exact in the demand.
            value = min(value, found.values[kind])
            floor = -1 if floors is None else floors[kind]
            totals[kind], patterns[kind] = (value, pattern) if value > floor else (max(floor, 0), None)
        return Best(values=tuple(totals), patterns=tuple(patterns))

    def _pricer(self, values: Sequence[int], demands: Sequence[int]) -> _Tables | _Singles:
        if self._caps and self._caps[-1] > MOST_UNITS:
            return _Singles(self, self._single, values, demands)
        return _Tables(self.sizes, values, demands, self._caps[-1] if self._caps else 0)


class _Singles:
    """Windows of a long grid, priced one by one: the sum of their best values is a bound on the stick's."""

    def __init__(
        self, knapsack: WindowKnapsack, single: Knapsack, values: Sequence[int], demands: Sequence[int]
    ) -> None:
        self.sizes = knapsack.sizes
        self.single = single
        self.values = values
        self.demands = tuple(demands)
        self.found = dict(zip(single.capacities, single.best(values, demands=demands).values, strict=True))

    def best(self, windows: Windows) -> tuple[int, Pattern]:
        left, pattern = list(self.demands), [0] * len(self.sizes)
        for cap in windows.caps:
            best = self.single.best(self.values, demands=left).patterns[self.single.capacities.index(cap)]
            trial = [a + b for a, b in zip(pattern, best or (0,) * len(pattern), strict=True)]
            if assign(self.sizes, tuple(trial), windows) is not None:
                left = [d - n for d, n in zip(self.demands, trial, strict=True)]
                pattern = trial
        return sum(self.found[cap] for cap in windows.caps), tuple(pattern)


class _Tables:
    """Best values by length, and what several windows together hold."""

    def __init__(self, sizes: Sequence[int], values: Sequence[int], demands: Sequence[int], top: int) -> None:
        self.sizes = tuple(sizes)
        self.values = tuple(values)
        self.demands = tuple(demands)
        self.top = top
        self.items = [
            (part, pieces)
            for part, size in enumerate(sizes)
            if values[part] > 0
            for pieces in _powers(min(demands[part], top // size))
        ]
        self.table, self.takes = self._fill()
        rises = np.flatnonzero(np.diff(self.table)) + 1
        self.steps = [int(length) for length in rises]
        self._sums: dict[tuple[int, ...], Ints] = {}

    def _fill(self) -> tuple[Ints, list[Ints]]:
        best: Ints = np.zeros(self.top + 1, dtype=np.int64)
        takes = []
        for part, pieces in self.items:
            size, value = pieces * self.sizes[part], pieces * self.values[part]
            taken = np.zeros(self.top + 1, dtype=np.bool_)
            trial = best[: self.top + 1 - size] + value
            taken[size:] = trial > best[size:]
            best[size:] = np.maximum(best[size:], trial)
            takes.append(taken)
        return best, takes

    def best(self, windows: Windows) -> tuple[int, Pattern]:
        """Return the most that windows hold, over how many of them hold something, and a pattern."""
        caps = sorted(windows.caps, reverse=True)
        value, contents = 0, [0]
        for filled, total in enumerate(windows.totals, start=1):
            some, lengths = self._most(tuple(caps[:filled]), total)
            if some > value:
                value, contents = some, lengths
        return value, self._pattern(contents, windows)

    def _most(self, caps: tuple[int, ...], total: int) -> tuple[int, list[int]]:
        """Return the most value that windows of these caps hold within a total, none of them empty, and how."""
        if len(caps) == 1:
            length = min(caps[0], total, self.top)
            return (int(self.table[length]), [length]) if length >= 0 else (0, [0])
        before = self._sum(caps[:-1])
        value, best = NOTHING, (0, 0)
        for step in self.steps:
            rest = min(total - step, len(before) - 1)
            if step > caps[-1] or rest < 0:
                break
            if (some := int(self.table[step]) + int(before[rest])) > value:
                value, best = some, (step, rest)
        if value <= 0:
            return 0, [0]
        step, rest = best
        return value, [*self._most(caps[:-1], rest)[1], step]

    def _sum(self, caps: tuple[int, ...]) -> Ints:
        """Return the most value of these windows, none empty, within each total."""
        if caps in self._sums:
            return self._sums[caps]
        if len(caps) == 1:
            sums = self.table[: min(caps[0], self.top) + 1].copy()
            sums[sums == 0] = NOTHING
        else:
            before = self._sum(caps[:-1])
            sums = np.full(len(before) + caps[-1], NOTHING, dtype=np.int64)
            for step in self.steps:
                if step > caps[-1]:
                    break
                here = sums[step : step + len(before)]
                np.maximum(here, before + self.table[step], out=here)
            sums = np.maximum.accumulate(sums)
        self._sums[caps] = sums
        return sums

    def _pattern(self, contents: Sequence[int], windows: Windows) -> Pattern:
        """Read back what each window holds; where that is more than is wanted, fill one window after the other."""
        whole = [0] * len(self.sizes)
        for length in contents:
            whole = [a + b for a, b in zip(whole, self._back(length), strict=True)]
        if all(a <= d for a, d in zip(whole, self.demands, strict=True)):
            return tuple(whole)
        whole = [0] * len(self.sizes)
        for length in contents:
            left = [d - n for d, n in zip(self.demands, whole, strict=True)]
            again = _Tables(self.sizes, self.values, left, length)
            whole = [a + b for a, b in zip(whole, again._back(length), strict=True)]
        trial = tuple(whole)
        return trial if assign(self.sizes, trial, windows) is not None else (0,) * len(self.sizes)

    def _back(self, length: int) -> list[int]:
        pattern = [0] * len(self.sizes)
        for (part, pieces), taken in zip(reversed(self.items), reversed(self.takes), strict=True):
            if taken[length]:
                pattern[part] += pieces
                length -= pieces * self.sizes[part]
        return pattern


def _powers(most: int) -> list[int]:
    """Split a count into parts from which every smaller count can be put together."""
    found = []
    pieces = 1
    while most > 0:
        found.append(min(pieces, most))
        most -= found[-1]
        pieces *= 2
    return found
