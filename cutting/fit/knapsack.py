"""The most valuable pattern each kind of stick can hold, exactly and in whole numbers.

Both the inequality that ties cutting to buying and the pricing of column generation ask the same
question: given a value for each part, what is the best a stick can hold?  This is a knapsack
bounded by the demands.  Short grids are answered by dynamic programming over every length; long
ones over the lengths that a promising pattern can actually reach.

References
----------
Gilmore, P. C. & Gomory, R. E. (1961, 1963). A linear programming approach to the cutting stock
problem, parts I and II. Operations Research 9 and 11.
Pisinger, D. (1997). A minimal algorithm for the 0-1 knapsack problem. Operations Research 45
(states that no bound allows to win are dropped).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Ints = NDArray[Any]

Pattern = tuple[int, ...]

_DENSE_UNITS = 30_000  # up to this capacity every length is visited
_FEW_STATES = 2_000  # so many states are always worth extending one by one
_MOST_STATES = 40_000  # beyond this many states visiting every length is quicker
_MANY_UNITS = 200_000  # up to this capacity visiting every length for many patterns pays
_ROUGH_UNITS = (4_096, 65_536)  # capacities of the rounded knapsacks of a long grid
_SAFE = 1 << 62  # products of values and lengths must stay below this


@dataclass(frozen=True, kw_only=True, slots=True)
class Best:
    """The best value of every kind of stick and a pattern that has it.

    Attributes
    ----------
    values
        For each capacity the largest total value, or the floor where nothing beats it.
    patterns
        For each capacity a pattern of that value; None where nothing beats the floor.
    """

    values: tuple[int, ...]
    patterns: tuple[Pattern | None, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Item:
    """Several equal pieces taken together or not at all (binary splitting of a bound)."""

    kind: int
    pieces: int
    size: int
    value: int


class Knapsack:
    """Exact knapsack over the parts of a section, for all of its kinds of stick at once.

    Parameters
    ----------
    sizes
        Size of each part in grid units, each at least 1.
    demands
        Most pieces of each part that a pattern may hold, each at least 0.
    capacities
        Capacity of each kind of stick in grid units, each at least 0.

    Attributes
    ----------
    top : int
        The largest capacity.
    order : list of int
        Kinds of stick by ascending capacity.
    rough : tuple of Knapsack
        The same with sizes rounded up to coarser grids, the coarsest first; empty where the grid
        is short. Their patterns fit here too and their values are exact, but what they do not
        find may exist.

    Raises
    ------
    ValueError
        Where a size is below 1, a demand or capacity is negative, or lengths of lists differ.

    Examples
    --------
    >>> Knapsack(sizes=[5, 3], demands=[1, 9], capacities=[9, 8]).best([6, 3])
    Best(values=(9, 9), patterns=((1, 1), (1, 1)))
    """

    def __init__(self, sizes: Sequence[int], demands: Sequence[int], capacities: Sequence[int]) -> None:
        if len(sizes) != len(demands):
            msg = "as many demands as sizes are needed"
            raise ValueError(msg)
        if any(size < 1 for size in sizes) or min(*demands, *capacities, 0) < 0:
            msg = "sizes must be at least 1, demands and capacities at least 0"
            raise ValueError(msg)
        self.sizes = tuple(int(size) for size in sizes)
        self.demands = tuple(int(demand) for demand in demands)
        self.capacities = tuple(int(capacity) for capacity in capacities)
        self.order = sorted(range(len(self.capacities)), key=lambda s: self.capacities[s])
        self.top = max(self.capacities, default=0)
        self.rough: tuple[Knapsack, ...] = tuple(self._rounded(units) for units in _ROUGH_UNITS if self.top > 2 * units)

    def _rounded(self, units: int) -> Knapsack:
        """Return this knapsack with sizes rounded up to a grid of about so many units."""
        unit = -(-self.top // units)
        rounded = Knapsack.__new__(Knapsack)
        rounded.sizes = tuple(-(-size // unit) for size in self.sizes)
        rounded.demands = self.demands
        rounded.capacities = tuple(capacity // unit for capacity in self.capacities)
        rounded.order = self.order
        rounded.top = self.top // unit
        rounded.rough = ()
        return rounded

    def best(
        self,
        values: Sequence[int],
        *,
        demands: Sequence[int] | None = None,
        floors: Sequence[int] | None = None,
    ) -> Best:
        """Return the exact best value and a best pattern for each capacity.

        Parameters
        ----------
        values
            Whole-number value of one piece of each part; parts of no value are left out.
        demands
            Tighter bounds on the pieces of each part, for instance what is still to be cut.
        floors
            For each capacity a value that must be beaten to be of interest; lets the search
            drop what cannot.

        Raises
        ------
        OverflowError
            Where values are so large that 64 bits cannot hold the intermediate products.
        """
        search = self._search(values, self.demands if demands is None else demands, floors)
        if self.top <= _DENSE_UNITS:
            search.dense(0)
        else:
            search.sparse()
        return search.answer()

    def several(
        self,
        values: Sequence[int],
        *,
        demands: Sequence[int] | None = None,
        floors: Sequence[int],
        most: int,
    ) -> tuple[Best, list[tuple[int, Pattern]]]:
        """Like `best`, with up to `most` further patterns above the floors for each capacity.

        Each further pattern is the best one found that holds a certain part, so that together
        they spread over the parts. On very long grids there are none.

        Returns
        -------
        tuple
            What `best` returns, and the patterns as (kind of stick, pattern).
        """
        allowed = self.demands if demands is None else demands
        search = self._search(values, allowed, floors)
        if self.top > _MANY_UNITS:
            search.sparse()
            return search.answer(), []
        search.dense(0)
        return search.answer(), search.around(allowed, most)

    def _search(self, values: Sequence[int], demands: Sequence[int], floors: Sequence[int] | None) -> _Search:
        items = self._items(values, demands)
        # No pattern is worth more than the longest stick full of the best value per length.
        room = sum(item.value for item in items)
        if items:
            room = min(room, items[0].value * self.top // items[0].size + 1)
        most = max((item.value for item in items), default=0)
        if max(room, most) * max(self.top, 1) >= _SAFE:
            msg = "part values are too large for exact 64-bit pricing; scale them down"
            raise OverflowError(msg)
        return _Search(self, items, floors, room)

    def _items(self, values: Sequence[int], demands: Sequence[int]) -> list[_Item]:
        """Split every part with a value into items, the most value per length first."""
        kinds = [i for i, value in enumerate(values) if value > 0 and demands[i] > 0 and self.sizes[i] <= self.top]
        kinds.sort(key=lambda i: (-values[i] / self.sizes[i], self.sizes[i]))
        items = []
        for i in kinds:
            left = min(demands[i], self.demands[i], self.top // self.sizes[i])
            pieces = 1
            while left > 0:
                pieces = min(pieces, left)
                items.append(
                    _Item(
                        kind=i,
                        pieces=pieces,
                        size=pieces * self.sizes[i],
                        value=pieces * int(values[i]),
                    )
                )
                left -= pieces
                pieces *= 2
        return items


class _Search:
    """One run over the items: states first, every length once there are too many states."""

    def __init__(self, knapsack: Knapsack, items: list[_Item], floors: Sequence[int] | None, room: int) -> None:
        self.order = knapsack.order
        self.parts = len(knapsack.sizes)
        self.capacities = knapsack.capacities
        self.sorted_capacities = np.array([self.capacities[s] for s in self.order], dtype=np.int64)
        self.top = knapsack.top
        self.items = items
        self.room = room
        self.floors = None if floors is None else [max(int(floor), -1) for floor in floors]
        self.record = np.array([-1 if self.floors is None else self.floors[s] for s in self.order], dtype=np.int64)
        # Where the record of each capacity was reached: (items seen, size, value).
        self.where: list[tuple[int, int, int] | None] = [None] * len(self.order)
        self.layers: list[tuple[Ints, Ints]] = []  # states before each sparse item
        self.first_dense = len(items)
        self.start: Ints = np.zeros(1, dtype=np.int64)
        self.takes: Ints = np.zeros((0, 0), dtype=np.bool_)
        self.final: Ints = np.zeros(1, dtype=np.int64)  # best value within each length

    # -- states -------------------------------------------------------------------------------

    def sparse(self) -> None:
        """Extend undominated (size, value) states item by item, dropping the hopeless ones."""
        size = np.zeros(1, dtype=np.int64)
        value = np.zeros(1, dtype=np.int64)
        limit = min(_MOST_STATES, max(_FEW_STATES, self.top // 16))
        self._greedy()
        self._note(0, size, value)
        for k, item in enumerate(self.items):
            size, value = self._promising(k, size, value)
            if len(size) == 0:
                return
            if len(size) > limit:
                self.dense(k, size, value)
                return
            self.layers.append((size, value))
            fits = int(np.searchsorted(size, self.top - item.size, side="right"))
            size, value = _merge(size, value, size[:fits] + item.size, value[:fits] + item.value)
            self._note(k + 1, size, value)

    def _greedy(self) -> None:
        """Lift the records to what taking the best items first reaches, so that pruning bites.

        The records are lowered by one again: the search itself must reach them to know a pattern.
        """
        if self.floors is not None:
            return
        for position, s in enumerate(self.order):
            left, total = self.capacities[s], 0
            for item in self.items:
                if item.size <= left:
                    left -= item.size
                    total += item.value
            self.record[position] = total - 1

    def _promising(self, k: int, size: Ints, value: Ints) -> tuple[Ints, Ints]:
        """Keep the states that item k and those after it could lift above some record.

        Filling what is left at the value per length of item k is an upper bound, so a state of
        size w and value v can help a capacity C only if v * w_k + v_k (C - w) > record * w_k.
        """
        item = self.items[k]
        need = self.record * item.size - item.value * self.sorted_capacities
        need = np.minimum.accumulate(need[::-1])[::-1]  # a larger capacity also holds the state
        own = value * item.size - item.value * size
        segment = np.searchsorted(self.sorted_capacities, size, side="left")
        keep = own > need[segment]
        return size[keep], value[keep]

    def _note(self, seen: int, size: Ints, value: Ints) -> None:
        """Remember for each capacity the best state so far."""
        last = np.searchsorted(size, self.sorted_capacities, side="right") - 1
        better = (last >= 0) & (value[last] > self.record)
        for position in np.flatnonzero(better):
            at = last[position]
            self.record[position] = value[at]
            self.where[position] = (seen, int(size[at]), int(value[at]))

    # -- every length -------------------------------------------------------------------------

    def dense(self, first: int, size: Ints | None = None, value: Ints | None = None) -> None:
        """Finish from item `first` on with dynamic programming over every length."""
        self.first_dense = first
        self.start = np.zeros(1, dtype=np.int64) if size is None else size
        small = self.room < (1 << 30)
        best: Ints = np.zeros(self.top + 1, dtype=np.int32 if small else np.int64)
        if size is not None and value is not None:
            # Lengths no surviving state reaches must not pass for the empty pattern.
            best[:] = -self.room - 1
            best[size] = value
            np.maximum.accumulate(best, out=best)
        packed = self.top > _DENSE_UNITS
        width = (self.top + 8) // 8 if packed else self.top + 1
        takes: Ints = np.zeros((len(self.items) - first, width), dtype=np.uint8 if packed else np.bool_)
        better = np.zeros(self.top + 1, dtype=np.bool_)
        trial = np.empty_like(best)
        for row, item in enumerate(self.items[first:]):
            here = trial[: self.top + 1 - item.size]
            target = better if packed else takes[row]
            target[: item.size] = False
            np.add(best[: -item.size], item.value, out=here)
            np.greater(here, best[item.size :], out=target[item.size :])
            np.maximum(best[item.size :], here, out=best[item.size :])
            if packed:
                takes[row] = np.packbits(better)
        self.takes = takes
        self.final = best
        final = best[self.sorted_capacities]
        for position in np.flatnonzero(final > self.record):
            self.record[position] = final[position]
            capacity = int(self.sorted_capacities[position])
            self.where[position] = (len(self.items), capacity, int(final[position]))

    # -- answers ------------------------------------------------------------------------------

    def answer(self) -> Best:
        """Read the patterns back and put the capacities into the order of the caller."""
        patterns: list[Pattern | None] = [None] * len(self.order)
        totals = [0] * len(self.order)
        dense: list[tuple[int, int]] = []
        for position, s in enumerate(self.order):
            found = self.where[position]
            if found is None:
                totals[s] = int(self.record[position])
                continue
            totals[s] = found[2]
            if self.items and self.first_dense == 0 and found[0] == len(self.items):
                dense.append((s, found[1]))
            else:
                patterns[s] = self._pattern(*found)
        if dense:
            counts = self._many(np.array([size for _, size in dense], dtype=np.int64))
            for (s, _), row in zip(dense, counts.tolist(), strict=True):
                patterns[s] = tuple(row)
        return Best(values=tuple(totals), patterns=tuple(patterns))

    def around(self, demands: Sequence[int], most: int) -> list[tuple[int, Pattern]]:
        """For the most promising parts, the best pattern that surely holds one, if it pays."""
        found: list[tuple[int, Pattern]] = []
        single = [item for item in self.items if item.pieces == 1]
        sizes = np.array([item.size for item in single], dtype=np.int64)
        worth = np.array([item.value for item in single], dtype=np.int64)
        chosen: list[tuple[int, Ints, Ints]] = []
        for s, capacity in enumerate(self.capacities):
            room = capacity - sizes
            total = np.where(room >= 0, self.final[np.maximum(room, 0)] + worth, -1)
            floor = -1 if self.floors is None else self.floors[s]
            order = np.argsort(-total, kind="stable")[: 3 * most]
            order = order[total[order] > floor]
            if len(order):
                chosen.append((s, order, room[order]))
        if not chosen:
            return found
        every = self._many(np.concatenate([room for _, _, room in chosen]))
        first = 0
        for s, order, _ in chosen:
            counts = every[first : first + len(order)]
            first += len(order)
            kinds = np.array([single[at].kind for at in order])
            counts[np.arange(len(order)), kinds] += 1
            found.extend((s, pattern) for pattern in _spread(counts, kinds, demands, most))
        return found

    def _many(self, room: Ints) -> Ints:
        """Read back the best patterns within several lengths at once, one a row."""
        room = room.copy()
        counts = np.zeros((len(room), self.parts), dtype=np.int64)
        packed = self.takes.dtype != np.bool_
        for k in range(len(self.items) - 1, -1, -1):
            row = self.takes[k]
            taken = (row[room >> 3] >> (7 - (room & 7))) & 1 if packed else row[room]
            if taken.any():
                item = self.items[k]
                counts[:, item.kind] += item.pieces * taken
                room -= item.size * taken
        return counts

    def _pattern(self, seen: int, size: int, value: int) -> Pattern:
        counts = [0] * self.parts
        k = seen
        while k > self.first_dense:
            k -= 1
            row = self.takes[k - self.first_dense]
            item = self.items[k]
            packed = row.dtype != np.bool_
            if (int(row[size >> 3]) >> (7 - (size & 7))) & 1 if packed else row[size]:
                counts[item.kind] += item.pieces
                size -= item.size
                value -= item.value
        if seen > k:  # the dense part was reached: from which state did it start?
            sizes = self.start
            size = int(sizes[int(np.searchsorted(sizes, size, side="right")) - 1])
        while k > 0:
            k -= 1
            sizes, totals = self.layers[k]
            at = int(np.searchsorted(sizes, size))
            if at < len(sizes) and sizes[at] == size and totals[at] == value:
                continue
            item = self.items[k]
            counts[item.kind] += item.pieces
            size -= item.size
            value -= item.value
        return tuple(counts)


def _merge(size: Ints, value: Ints, more_size: Ints, more_value: Ints) -> tuple[Ints, Ints]:
    """Merge two lists of states sorted by size and keep those no shorter one equals in value."""
    sizes = np.concatenate((size, more_size))
    values = np.concatenate((value, more_value))
    order = np.argsort(sizes, kind="stable")  # two sorted runs: a merge
    sizes = sizes[order]
    values = values[order]
    keep = np.ones(len(sizes), dtype=np.bool_)
    np.greater(values[1:], np.maximum.accumulate(values)[:-1], out=keep[1:])
    sizes = sizes[keep]
    values = values[keep]
    last = np.ones(len(sizes), dtype=np.bool_)
    np.not_equal(sizes[1:], sizes[:-1], out=last[:-1])
    return sizes[last], values[last]


def _spread(counts: Ints, kinds: Ints, demands: Sequence[int], most: int) -> list[Pattern]:
    """Choose patterns within the demands, the next always for a part that none holds yet."""
    covered = np.zeros(counts.shape[1], dtype=np.bool_)
    within = (counts <= np.asarray(demands)).all(axis=1)
    chosen: list[Pattern] = []
    for at in np.flatnonzero(within):
        if covered[kinds[at]]:
            continue
        covered |= counts[at] > 0
        chosen.append(tuple(counts[at].tolist()))
        if len(chosen) == most:
            break
    return chosen
