"""The least that a row of given parts needs beyond their stated lengths, exactly.

Parts that offer the same edges between the same classes of faces are of one type; only how many of each type lie on
the stick matters. The least total of gaps and outer ends is found by dynamic programming over (pieces left of each
type, last face). Two pieces of one type that may be turned can always be put behind a third of that type, face to
face, without any loss, so more than four of a type need not be looked at one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from cutting.answer.load import held
from cutting.fit.angled.rows import Edge, RowModel
from cutting.fit.angled.shape import Face

__all__ = ["RowOrders"]

_MOST_ALIKE: Final = 4


class RowOrders:
    """Least extra length of every row, with memory.

    Parameters
    ----------
    model : RowModel
        The section.
    tail : bool
        Count behind the row not only its own end but the last cut too, as far as the drop's shorter side.

    Attributes
    ----------
    types : tuple of tuple of Edge
        Distinct edge sets.
    type_of : tuple of int
        Type of each item.
    """

    def __init__(self, model: RowModel, *, tail: bool = False) -> None:
        self.model = model
        self._last = model.behind if tail else model.outer
        known: dict[tuple[Edge, ...], int] = {}
        self.type_of = tuple(known.setdefault(tuple(sorted(item.edges)), len(known)) for item in model.items)
        self.types = tuple(known)
        self._pairs = tuple(self._pair(edges) for edges in self.types)
        self._numbers: dict[Face, int] = {}
        self._memory: dict[tuple[tuple[int, ...], int], int] = {}

    def _pair(self, edges: tuple[Edge, ...]) -> int | None:
        """Extra length of two more pieces of a type that can be turned; None where it can't."""
        left, right = edges[0]
        if (right, left) not in edges:
            return None
        return self.model.gaps[left][left] + self.model.gaps[right][right]

    def number(self, face: Face) -> int:
        """Class of a face in any pose."""
        found = self._numbers.get(face)
        if found is None:
            found = self._numbers[face] = next(
                number
                for number, member in enumerate(self.model.classes)
                if any(roll.face(member) == face for roll in self.model.rolls)
            )
        return found

    def counts(self, pattern: Sequence[int]) -> tuple[int, ...]:
        """Pieces of each type."""
        totals = [0] * len(self.types)
        for part, pieces in held(pattern):
            totals[self.type_of[part]] += pieces
        return tuple(totals)

    def beyond(self, pattern: Sequence[int]) -> int:
        """Least total of gaps and outer ends of a row of these parts."""
        return self.beyond_types(self.counts(pattern))

    def beyond_types(self, of_each: Sequence[int]) -> int:
        """Least total of gaps and outer ends of a row of so many pieces of each type."""
        counts, added = list(of_each), 0
        for kind, pair in enumerate(self._pairs):
            if pair is not None and counts[kind] > _MOST_ALIKE:
                pairs = (counts[kind] - _MOST_ALIKE + 1) // 2
                counts[kind] -= 2 * pairs
                added += pairs * pair
        return added + self.rest(tuple(counts), -1)

    def span(self, pattern: Sequence[int]) -> int:
        """Least clear length that a row of these parts needs."""
        stated = sum(n * self.model.items[part].length for part, n in held(pattern))
        return stated + self.beyond(pattern)

    def rest(self, counts: tuple[int, ...], last: int) -> int:
        """Least extra length of what is left behind a face of class `last` (-1 at the start of the row)."""
        key = (counts, last)
        known = self._memory.get(key)
        if known is None:
            known = self._memory[key] = self._rest(counts, last)
        return known

    def _rest(self, counts: tuple[int, ...], last: int) -> int:
        outer = self.model.outer
        if not any(counts):
            return self._last[last] if last >= 0 else 0
        joint = outer if last < 0 else self.model.gaps[last]
        best: int | None = None
        for kind, pieces in enumerate(counts):
            if not pieces:
                continue
            less = (*counts[:kind], pieces - 1, *counts[kind + 1 :])
            for left, right in self.types[kind]:
                total = joint[left] + self.rest(less, right)
                if best is None or total < best:
                    best = total
        assert best is not None
        return best
