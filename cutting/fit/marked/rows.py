"""Rows of parts with angled ends on sticks that a yard cuts: a row for each window between its marks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from cutting.fit.angled.order import Orders
from cutting.fit.angled.pricing import Pattern, RowPricer, Rows
from cutting.fit.angled.rows import RowModel
from cutting.fit.angled.signature import build_automaton
from cutting.fit.knapsack import Best
from cutting.fit.marked.windows import Windows

__all__ = ["WindowRows", "rows_between_marks", "split_rows"]


@dataclass(frozen=True, kw_only=True)
class WindowRows(Rows):
    """What is known about the rows of a section some of whose sticks a yard may cut.

    Attributes
    ----------
    windows : mapping of int to Windows
        For the automaton's capacity of every windowed kind of stick, which no other kind has, its windows.
    """

    windows: Mapping[int, Windows]

    def fits(self, pattern: Sequence[int], capacity: int) -> bool:
        """Whether every stick of this capacity holds these parts, in one row or in a row between marks each."""
        if not super().fits(pattern, capacity):
            return False
        windows = self.windows.get(capacity)
        return windows is None or split_rows(self.orders, tuple(pattern), windows) is not None

    def tightened(self, best: Best, capacities: Sequence[int], values: Sequence[int], demands: Sequence[int]) -> Best:
        """Windows hold no more than each of them alone; and fill them one after the other for a row of their own."""
        totals, patterns = list(best.values), list(best.patterns)
        alone: dict[int, int] | None = None
        for kind, capacity in enumerate(capacities):
            windows = self.windows.get(capacity)
            if windows is None:
                continue
            if alone is None:
                found = RowPricer(self._singles, demands, self._singles.automaton.capacities).best(values)
                alone = dict(zip(self._caps, found.values, strict=True))
            totals[kind] = min(totals[kind], sum(alone[cap] for cap in windows.caps))
            if totals[kind] > self._worth(values, patterns[kind]):
                trial = self._filled(windows, values, demands)
                if self._worth(values, trial) > self._worth(values, patterns[kind]):
                    patterns[kind] = trial
        return Best(values=tuple(totals), patterns=tuple(patterns))

    @staticmethod
    def _worth(values: Sequence[int], pattern: Pattern | None) -> int:
        return 0 if pattern is None else sum(value * n for value, n in zip(values, pattern, strict=True))

    @cached_property
    def _caps(self) -> tuple[int, ...]:
        return tuple(sorted({cap for windows in self.windows.values() for cap in windows.caps}))

    @cached_property
    def _singles(self) -> Rows:
        """The rows of single windows."""
        model = replace(self.orders.model, capacities=self._caps)
        return Rows(automaton=build_automaton(model), orders=Orders(model))

    def _filled(self, windows: Windows, values: Sequence[int], demands: Sequence[int]) -> Pattern:
        """Fill the windows one after the other with the most valuable row, as far as all of them leave room."""
        whole: Pattern = (0,) * len(demands)
        for cap in windows.caps:
            left = [demand - n for demand, n in zip(demands, whole, strict=True)]
            at = self._singles.automaton.capacities[self._caps.index(cap)]
            row = RowPricer(self._singles, left, (at,)).rough[0].best(values).patterns[0]
            if row is not None:
                trial = tuple(a + b for a, b in zip(whole, row, strict=True))
                if split_rows(self.orders, trial, windows) is not None:
                    whole = trial
        return whole


def rows_between_marks(model: RowModel, windows: Sequence[Windows | None]) -> WindowRows:
    """Gather what is known about the rows of a section, by the windows of each kind of stick."""
    automaton = build_automaton(model)
    return WindowRows(
        automaton=automaton,
        orders=Orders(model),
        windows={
            capacity: each for capacity, each in zip(automaton.capacities, windows, strict=True) if each is not None
        },
    )


def split_rows(orders: Orders, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
    """Distribute the parts of a stick over windows, so that each holds a row.

    Parameters
    ----------
    orders : Orders
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

    def __init__(self, orders: Orders, windows: Windows) -> None:
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
