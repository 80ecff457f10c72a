"""The most valuable row each kind of stick can hold, with bounded counts and the steel that its ends lose.

A knapsack that carries the signature of the row along (`cutting.fit.angled.signature`). Two tables over a coarse grid
say what the parts not yet looked at can still add: one with sizes rounded up, from which rows are read that surely fit,
and one with sizes rounded down, which bounds every row. Where the two don't meet, the states between them are
searched exactly, on the section's own grid, and a state that the lower table proves hopeless is dropped.

References
----------
Gilmore & Gomory, Operations Research 11 (1963); Pisinger, Operations Research 45 (1997) for states dropped by a bound.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from cutting.fit.angled.chunks import COARSE, Chunk, Ints, RowLengths, Table, split
from cutting.fit.knapsack import Best

__all__ = ["Pattern", "RowLengths", "RowPricer"]

Pattern = tuple[int, ...]
_States = tuple[Ints, Ints, Ints]  # size, value, state of the automaton

_FINE: Final = 16_384
_MOST_STATES: Final = 30_000


class RowPricer:
    """Prices the rows of a section for all of its kinds of stick at once; answers like `cutting.fit.knapsack.Knapsack`.

    Parameters
    ----------
    rows : RowLengths
        The section.
    demands : sequence of int
        Most pieces of each part in a row.
    capacities : sequence of int
        Capacities (the automaton's) of the kinds of stick looked at.
    rough : bool
        Only read rows that surely fit from a coarse table: quick, and what it doesn't find may exist.

    Attributes
    ----------
    rough : tuple of RowPricer
        The rough pricer of the same rows; empty for a rough one.
    """

    def __init__(
        self, rows: RowLengths, demands: Sequence[int], capacities: Sequence[int], *, rough: bool = False
    ) -> None:
        self.rows = rows
        self.sizes = rows.automaton.sizes
        self.demands = tuple(demands)
        self.capacities = tuple(capacities)
        self.top = max(self.capacities, default=0)
        self.rough: tuple[RowPricer, ...] = () if rough else (RowPricer(rows, demands, capacities, rough=True),)

    def best(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int] | None = None
    ) -> Best:
        """Return for each capacity the best value, or a bound on it, and the best row found.

        Where nothing beats the floor the value is the floor and there is no row. Otherwise the value is exact, or an
        upper bound where the search was cut short or the automaton is only a bound; the row is the best one found, None
        where none beats the floor. A rough pricer's values are those of its rows.
        """
        return self.several(values, demands=demands, floors=floors, most=0)[0]

    def several(
        self,
        values: Sequence[int],
        *,
        demands: Sequence[int] | None = None,
        floors: Sequence[int] | None = None,
        most: int,
    ) -> tuple[Best, list[tuple[int, Pattern]]]:
        """Like `best`, with up to `most` further rows above the floors for each capacity, spread over the parts."""
        allowed = self.demands if demands is None else demands
        search = _Search(
            self, _chunks(self, values, allowed), [-1] * len(self.capacities) if floors is None else floors
        )
        search.read()
        more = search.around(most) if most else []
        if not self.rough:
            return search.answer(), more
        search.close()
        return search.answer(), more


def _chunks(pricer: RowPricer, values: Sequence[int], demands: Sequence[int]) -> list[Chunk]:
    """Split every part with a value into chunks, the most value per length first."""
    sizes = pricer.sizes
    kinds = [i for i, value in enumerate(values) if value > 0 and demands[i] > 0 and sizes[i] <= pricer.top]
    kinds.sort(key=lambda i: (-values[i] / sizes[i], sizes[i]))
    chunks: list[Chunk] = []
    for i in kinds:
        most = min(demands[i], pricer.demands[i], pricer.top // sizes[i])
        chunks += split(pricer.rows, i, most, int(values[i]))
    return chunks


class _Search:
    """One pricing."""

    def __init__(self, pricer: RowPricer, chunks: list[Chunk], floors: Sequence[int]) -> None:
        self.pricer = pricer
        self.chunks = chunks
        self.floors = [max(int(floor), -1) for floor in floors]
        self.record = list(self.floors)
        self.ceiling: list[int] | None = None
        self.patterns: list[Pattern | None] = [None] * len(floors)
        self.losses: Ints = np.array(pricer.rows.automaton.losses, dtype=np.int64)
        self.values: Ints = np.zeros(len(pricer.sizes), dtype=np.int64)
        for chunk in chunks:
            self.values[chunk.kind] = chunk.value // chunk.pieces
        self.upper = Table(chunks, pricer.rows.automaton.losses, pricer.top, COARSE, up=True)

    # -- rows read from the table with sizes rounded up --------------------------------------------

    def read(self) -> None:
        """Read one row for each capacity."""
        rooms: Ints = np.array(self.pricer.capacities, dtype=np.int64)
        counts = self._read(rooms, np.zeros(len(rooms), dtype=np.int64), np.full(len(rooms), -1))
        for kind, row in enumerate(counts):
            self._offer(kind, tuple(row.tolist()))

    def _offer(self, kind: int, pattern: Pattern) -> None:
        """Take a row for the record where it beats it, without the parts that make it too long."""
        value = int(np.dot(self.values, pattern))
        while value > self.record[kind]:
            if self.pricer.rows.fits(pattern, self.pricer.capacities[kind]):
                self.record[kind], self.patterns[kind] = value, pattern
                return
            least = min((i for i, n in enumerate(pattern) if n), key=lambda i: self.values[i])
            pattern = (*pattern[:least], pattern[least] - 1, *pattern[least + 1 :])
            value -= int(self.values[least])

    def _read(self, rooms: Ints, states: Ints, skipped: Ints) -> Ints:
        """Read the rows that the table promises within these rooms, each without one chunk."""
        counts = np.zeros((len(rooms), len(self.values)), dtype=np.int64)
        for k, chunk in enumerate(self.chunks):
            left = np.maximum(rooms - chunk.size, 0)
            with_it = chunk.value + self.upper.bound(k + 1, chunk.step[states], left)
            take = (with_it > self.upper.bound(k + 1, states, rooms)) & (rooms >= chunk.size) & (skipped != k)
            counts[take, chunk.kind] += chunk.pieces
            rooms = np.where(take, left, rooms)
            states = np.where(take, chunk.step[states], states)
        return counts

    def around(self, most: int) -> list[tuple[int, Pattern]]:
        """For the most promising parts the row that surely holds one, if it beats the floor."""
        singles = [k for k, chunk in enumerate(self.chunks) if chunk.pieces == 1]
        if not singles:
            return []
        sizes = np.array([self.chunks[k].size for k in singles], dtype=np.int64)
        worth = np.array([self.chunks[k].value for k in singles], dtype=np.int64)
        states = np.array([self.chunks[k].step[0] for k in singles], dtype=np.int64)
        starts: list[tuple[int, int]] = []
        for kind, capacity in enumerate(self.pricer.capacities):
            rooms = capacity - sizes
            total = np.where(rooms >= 0, worth + self.upper.bound(0, states, np.maximum(rooms, 0)), -1)
            order = np.argsort(-total, kind="stable")[:most]
            starts += [(kind, int(at)) for at in order if total[at] > self.floors[kind]]
        if not starts:
            return []
        chosen = np.array([at for _, at in starts])
        rooms = np.array([self.pricer.capacities[kind] for kind, _ in starts], dtype=np.int64) - sizes[chosen]
        counts = self._read(rooms, states[chosen], np.array(singles)[chosen])
        return self._spread(starts, singles, counts)

    def _spread(self, starts: list[tuple[int, int]], singles: list[int], counts: Ints) -> list[tuple[int, Pattern]]:
        """Complete the rows read with the part each surely holds and keep those that fit and beat their floor."""
        found: dict[tuple[int, Pattern], None] = {}
        for (kind, at), row in zip(starts, counts, strict=True):
            row[self.chunks[singles[at]].kind] += 1
            pattern = tuple(row.tolist())
            key = (kind, pattern)
            beats = int(np.dot(self.values, row)) > self.floors[kind]
            if key not in found and beats and self.pricer.rows.fits(pattern, self.pricer.capacities[kind]):
                found[key] = None
        return list(found)

    # -- the exact search ------------------------------------------------------------------------

    def close(self) -> None:
        """Find whether anything beats the records; finer tables until few states are left between the bounds."""
        for cells in (COARSE, _FINE):
            lower = Table(self.chunks, self.pricer.rows.automaton.losses, self.pricer.top, cells, up=False)
            start = np.zeros(1, dtype=np.int64)
            top = [int(lower.bound(0, start, np.array([c]))[0]) for c in self.pricer.capacities]
            self.ceiling = [max(a, b) for a, b in zip(top, self.record, strict=True)]
            if self._extend(lower):
                return

    def _extend(self, lower: Table) -> bool:
        """Extend states chunk by chunk; False where they became too many."""
        open_kinds = [s for s, held in enumerate(self.record) if self.ceiling is not None and self.ceiling[s] > held]
        size: Ints = np.zeros(1, dtype=np.int64)
        value, state = size.copy(), size.copy()
        layers: list[tuple[Ints, Ints]] = []
        for k, chunk in enumerate(self.chunks):
            if not len(size) or not open_kinds:
                break
            fits = size + chunk.size <= self.pricer.top
            origin = np.concatenate([np.arange(len(size)), np.flatnonzero(fits)])
            taken = np.concatenate([np.zeros(len(size), dtype=bool), np.ones(int(fits.sum()), dtype=bool)])
            size = np.concatenate([size, size[fits] + chunk.size])
            value = np.concatenate([value, value[fits] + chunk.value])
            state = np.concatenate([state, chunk.step[state[fits]]])
            kept = self._promising(lower, k + 1, (size, value, state), open_kinds)
            kept = kept[_undominated(size[kept], value[kept], state[kept])]
            size, value, state = size[kept], value[kept], state[kept]
            layers.append((origin[kept], taken[kept]))
            if len(size) > _MOST_STATES:
                return False
        self._conclude(open_kinds, layers, size, value, state)
        return True

    def _promising(self, lower: Table, k: int, states: _States, kinds: Sequence[int]) -> Ints:
        """Return the states that the chunks from k on could lift above some record."""
        size, value, state = states
        keep = np.zeros(len(size), dtype=bool)
        for s in kinds:
            room = self.pricer.capacities[s] - size
            reach = value + lower.bound(k, state, np.maximum(room, 0))
            keep |= (room >= 0) & (reach > self.record[s])
        return np.flatnonzero(keep)

    def _conclude(
        self, kinds: Sequence[int], layers: list[tuple[Ints, Ints]], size: Ints, value: Ints, state: Ints
    ) -> None:
        """Take the best final states; what none of them beats is closed."""
        ceiling = list(self.record)
        for s in kinds:
            ends = np.flatnonzero(size + self.losses[state] <= self.pricer.capacities[s])
            if len(ends):
                at = int(ends[np.argmax(value[ends])])
                ceiling[s] = max(ceiling[s], int(value[at]))
                self._offer(s, self._traced(layers, at))
        self.ceiling = ceiling

    def _traced(self, layers: list[tuple[Ints, Ints]], at: int) -> Pattern:
        counts = [0] * len(self.values)
        for k in range(len(layers) - 1, -1, -1):
            origin, taken = layers[k]
            if taken[at]:
                counts[self.chunks[k].kind] += self.chunks[k].pieces
            at = int(origin[at])
        return tuple(counts)

    def answer(self) -> Best:
        """Put records, bounds and rows together."""
        return Best(values=tuple(self.ceiling or self.record), patterns=tuple(self.patterns))


def _undominated(size: Ints, value: Ints, state: Ints) -> Ints:
    """Return the entries that no other of the same state beats with less length."""
    order = np.lexsort((-value, size, state))
    spread = int(value.max()) + 1 if len(value) else 1
    key = value[order] + state[order] * spread
    best = np.maximum.accumulate(key)
    first = np.ones(len(key), dtype=bool)
    first[1:] = key[1:] > best[:-1]
    kept: Ints = order[first]
    return kept
