"""The seam between column generation and what prices its columns: plain patterns, or rows of angled parts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from cutting.fit.knapsack import Best, Pattern

__all__ = ["Pricer"]


class Pricer(Protocol):
    """Names for each kind of stick the most valuable pattern it can hold.

    Values are whole numbers, and what `best` returns is exact or an upper bound: inequalities made from it hold.
    """

    def best(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int] | None = None
    ) -> Best:
        """For each kind the largest value above its floor, and a pattern of that value."""
        ...

    def several(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int], most: int
    ) -> tuple[Best, list[tuple[int, Pattern]]]:
        """Like `best`, perhaps not quite the best, with up to `most` further patterns for each kind."""
        ...
