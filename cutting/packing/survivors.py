"""All patterns that several inequalities at once leave alive, for a bag that resists.

Under part values pi with best values V_s, sticks that pack all parts waste sum_s V_s n_s - pi d of
value together, so a pattern that by itself wastes more can be in no packing.  That holds for each
of several inequalities, and each kills other patterns; often so few survive that they can be listed.

References
----------
Irnich, S., Desaulniers, G., Desrosiers, J. & Hadjar, A. (2010). Path-reduced costs for eliminating
arcs in routing and scheduling. INFORMS Journal on Computing 22.
Baldacci, R., Christofides, N. & Mingozzi, A. (2008). An exact algorithm for the vehicle routing
problem based on the set partitioning formulation. Mathematical Programming 115 (listing all
columns within the gap).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cutting.packing.bag import Bag

__all__ = ["Pool", "Test", "survivors"]

Ints = NDArray[Any]

_TABLE_UNITS = 32_768  # longest table of what the remaining parts can add
_TABLE_CELLS = 8_000_000  # and its length times the parts


@dataclass(frozen=True, kw_only=True, slots=True)
class Test:
    """An inequality as a test for patterns.

    Attributes
    ----------
    values
        Whole-number part values.
    best
        For each capacity of the bag, a value no pattern exceeds.
    """

    values: tuple[int, ...]
    best: tuple[int, ...]

    def slack(self, bag: Bag) -> int:
        """Value the sticks can hold beyond that of the parts; below 0 the bag cannot be packed."""
        held = sum(v * n for v, n in zip(self.best, bag.counts, strict=True))
        return held - sum(v * d for v, d in zip(self.values, bag.demands, strict=True))


@dataclass(frozen=True, kw_only=True, slots=True)
class Pool:
    """Patterns, and for each the kind of stick it is for.

    Attributes
    ----------
    kinds
        Capacity of the bag that each pattern is for.
    patterns
        One row a pattern, one column a part.
    """

    kinds: Ints
    patterns: Ints

    def __len__(self) -> int:
        return len(self.kinds)

    def only(self, keep: Ints) -> Pool:
        """Return the patterns chosen by a mask or by indices."""
        return Pool(kinds=self.kinds[keep], patterns=self.patterns[keep])

    def alive(self, test: Test, bag: Bag) -> Ints:
        """Return the mask of patterns whose waste is within the slack of the test."""
        worth = self.patterns.astype(np.int64) @ np.array(test.values, dtype=np.int64)
        waste = np.array(test.best, dtype=np.int64)[self.kinds] - worth
        return np.asarray(waste <= test.slack(bag))


def survivors(bag: Bag, tests: Sequence[Test], most: int, should_stop: Callable[[], bool]) -> Pool | None:
    """List the patterns within the demands that every test leaves alive.

    Parameters
    ----------
    bag
        The bag.
    tests
        At least one test; the slack of each must not be negative.
    most
        Most partial patterns to hold at any time.
    should_stop
        Asked once a part.

    Returns
    -------
    Pool or None
        All surviving patterns, the empty ones left out; None where there are too many.
    """
    tables = [_Table(bag, test) for test in tests]
    kinds, patterns = [], []
    for kind in range(len(bag.capacities)):
        if bag.counts[kind] == 0:
            continue
        found = _of_kind(bag, kind, tests, tables, most=most, should_stop=should_stop)
        if found is None:
            return None
        most -= len(found)
        kinds.append(np.full(len(found), kind, dtype=np.int32))
        patterns.append(found)
    if not kinds:
        return Pool(
            kinds=np.zeros(0, dtype=np.int32),
            patterns=np.zeros((0, len(bag.sizes)), dtype=np.int16),
        )
    return Pool(kinds=np.concatenate(kinds), patterns=np.concatenate(patterns))


class _Table:
    """For each part, the most value that it and those after it can add within a length.

    On long grids the sizes are rounded down to a coarser one, which can only overstate.
    """

    def __init__(self, bag: Bag, test: Test) -> None:
        top = max(bag.capacities)
        self.unit = -(-top // min(_TABLE_UNITS, max(_TABLE_CELLS // len(bag.sizes), 1)))
        width = top // self.unit + 1
        small = self.unit == 1 and max(test.best) < (1 << 30)  # rounded sizes may overstate a lot
        best: Ints = np.zeros(width, dtype=np.int32 if small else np.int64)
        self.rows: list[Ints] = [best]
        for size, demand, value in zip(reversed(bag.sizes), reversed(bag.demands), reversed(test.values), strict=True):
            best = _extended(best, size // self.unit, min(demand, top // size), value)
            self.rows.append(best)
        self.rows.reverse()

    def reach(self, part: int, room: Ints) -> Ints:
        """Return the most value that parts from `part` on can add within each room."""
        return np.asarray(self.rows[part][room // self.unit])


def _extended(best: Ints, size: int, most: int, value: int) -> Ints:
    """Return the table with up to `most` pieces of one more part (binary splitting)."""
    best = best.copy()
    pieces = 1
    while most > 0 and value > 0:
        pieces = min(pieces, most)
        length = pieces * size
        if length == 0:
            best += pieces * value
        elif length < len(best):
            best[length:] = np.maximum(best[length:], best[:-length] + pieces * value)
        most -= pieces
        pieces *= 2
    return best


def _of_kind(
    bag: Bag,
    kind: int,
    tests: Sequence[Test],
    tables: Sequence[_Table],
    *,
    most: int,
    should_stop: Callable[[], bool],
) -> Ints | None:
    """List the surviving patterns of one kind of stick, all at once, part by part."""
    room = np.array([bag.capacities[kind]], dtype=np.int64)
    needs = [test.best[kind] - test.slack(bag) for test in tests]
    # Value still missing under each test for the pattern to survive.
    missing = [np.array([need], dtype=np.int64) for need in needs]
    history: list[tuple[Ints, Ints]] = []  # for each part: parent state and pieces
    for part, (size, demand) in enumerate(zip(bag.sizes, bag.demands, strict=True)):
        if should_stop():
            return None
        parents, pieces = [], []
        for count in range(min(demand, bag.capacities[kind] // size) + 1):
            at = np.flatnonzero(room >= count * size)
            if len(at) == 0:
                break
            for test, table, lack in zip(tests, tables, missing, strict=True):
                reach = table.reach(part + 1, room[at] - count * size)
                at = at[reach >= lack[at] - count * test.values[part]]
            parents.append(at)
            pieces.append(np.full(len(at), count, dtype=np.int16))
        if not any(len(at) for at in parents):
            return np.zeros((0, len(bag.sizes)), dtype=np.int16)
        parent = np.concatenate(parents)
        piece = np.concatenate(pieces)
        if len(parent) > most:
            return None
        room = room[parent] - piece.astype(np.int64) * size
        missing = [
            lack[parent] - piece.astype(np.int64) * test.values[part] for test, lack in zip(tests, missing, strict=True)
        ]
        history.append((parent, piece))
    return _read_back(history, len(room))


def _read_back(history: list[tuple[Ints, Ints]], count: int) -> Ints:
    at = np.arange(count)
    patterns = np.zeros((count, len(history)), dtype=np.int16)
    for part in range(len(history) - 1, -1, -1):
        parent, piece = history[part]
        patterns[:, part] = piece[at]
        at = parent[at]
    return np.asarray(patterns[patterns.any(axis=1)])
