"""Rows of parts with angled ends on sticks that a yard cuts: a row for each window between its marks."""

from __future__ import annotations

from cutting.fit.angled.order import RowOrders
from cutting.fit.knapsack import Pattern
from cutting.fit.marked.windows import Windows

__all__ = ["split_rows"]


def split_rows(orders: RowOrders, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
    """Distribute the parts of a stick over windows, so that each holds a row.

    Parameters
    ----------
    orders : RowOrders
        The section's.
    pattern : tuple of int
        Pieces of each size on the whole stick.
    windows : Windows
        The stick's; together they hold the same however many of them hold something.

    Returns
    -------
    tuple of tuple of int or None
        A pattern for each window; None where there is no way.
    """
    return _Split(orders, windows).find(pattern)


class _Split:
    """Depth-first search for a window for each piece, size by size; what was seen to fail isn't tried again."""

    def __init__(self, orders: RowOrders, windows: Windows) -> None:
        self.orders = orders
        self.caps = windows.caps
        self.kept = windows.totals[-1]
        self.failed: set[tuple[int, tuple[Pattern, ...]]] = set()

    def find(self, pattern: Pattern) -> tuple[Pattern, ...] | None:
        self.pieces = [size for size, count in enumerate(pattern) for _ in range(count)]
        return self._place(0, ((0,) * len(pattern),) * len(self.caps))

    def _span(self, row: Pattern) -> int:
        return self.orders.span(row) if any(row) else 0

    def _place(self, at: int, rows: tuple[Pattern, ...]) -> tuple[Pattern, ...] | None:
        if at == len(self.pieces):
            return rows
        if (at, rows) in self.failed:
            return None
        size = self.pieces[at]
        spans = [self._span(row) for row in rows]
        tried: set[tuple[Pattern, int]] = set()
        # Fullest window first that still takes the piece: best fit, which mostly succeeds at once.
        for window in sorted(range(len(rows)), key=lambda number: self.caps[number] - spans[number]):
            if (rows[window], self.caps[window]) in tried:
                continue
            tried.add((rows[window], self.caps[window]))
            row = (*rows[window][:size], rows[window][size] + 1, *rows[window][size + 1 :])
            longer = self._span(row)
            if longer > self.caps[window] or sum(spans) - spans[window] + longer > self.kept:
                continue
            found = self._place(at + 1, (*rows[:window], row, *rows[window + 1 :]))
            if found is not None:
                return found
        self.failed.add((at, rows))
        return None
