"""What windows between a yard's marks hold together, at most, and a pattern that fills them.

For square parts on a short grid it is put together from one table of best values by length: exact but for the demand,
which windows are priced without sharing. Otherwise the windows are priced one by one. Either is a weaker V_s at most,
so everything it proves holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import NDArray

from cutting.fit.knapsack import Pattern
from cutting.fit.marked.windows import Windows, assign

if TYPE_CHECKING:
    from cutting.fit.fit import Fit

__all__ = ["Singles", "Tables", "Together"]

Ints = NDArray[Any]
NOTHING = -(1 << 60)


class Together(Protocol):
    """What windows hold at some part values."""

    def value(self, windows: Windows) -> int:
        """No pattern on these windows is worth more."""
        ...

    def pattern(self, windows: Windows) -> Pattern:
        """A pattern that these windows hold, of about that value."""
        ...


class Singles:
    """Windows priced one by one: the sum of their best values is a bound on the stick's.

    Parameters
    ----------
    single : Fit
        The parts on sticks that are as long as one window each.
    places : dict of int to int
        The kind of such stick for each length.
    values, demands : sequence of int
        Of the parts.
    """

    def __init__(self, single: Fit, places: dict[int, int], values: Sequence[int], demands: Sequence[int]) -> None:
        self.single = single
        self.places = places
        self.values = values
        self.demands = demands
        self._alone = single.best(values, demands=demands).values

    def value(self, windows: Windows) -> int:
        """Sum up what each window holds alone."""
        return sum(self._alone[self.places[cap]] for cap in windows.caps)

    def pattern(self, windows: Windows) -> Pattern:
        """Fill the windows one after the other with the most valuable pattern, as far as all of them leave room."""
        whole: Pattern = (0,) * len(self.demands)
        for cap in windows.caps:
            left = [demand - n for demand, n in zip(self.demands, whole, strict=True)]
            here = self.single.on([self.places[cap]])
            best, _ = (*here.rough, here)[0].several(self.values, demands=left, floors=[0], most=0)
            if best.patterns[0] is not None:
                trial = tuple(a + b for a, b in zip(whole, best.patterns[0], strict=True))
                if self.single.split(trial, windows) is not None:
                    whole = trial
        return whole


class Tables:
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
        self._known: dict[Windows, tuple[int, list[int]]] = {}

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

    def value(self, windows: Windows) -> int:
        """Return the most that windows hold, over how many of them hold something."""
        return self._best(windows)[0]

    def pattern(self, windows: Windows) -> Pattern:
        """Return a pattern of that value, or one that fills the windows one after the other."""
        return self._pattern(self._best(windows)[1], windows)

    def _best(self, windows: Windows) -> tuple[int, list[int]]:
        if windows not in self._known:
            caps = sorted(windows.caps, reverse=True)
            value, contents = 0, [0]
            for filled, total in enumerate(windows.totals, start=1):
                some, lengths = self._most(tuple(caps[:filled]), total)
                if some > value:
                    value, contents = some, lengths
            self._known[windows] = (value, contents)
        return self._known[windows]

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
            again = Tables(self.sizes, self.values, left, length)
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
