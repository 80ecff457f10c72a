"""Rows of parts with angled ends on a stick: how long a row is depends on what lies next to what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from cutting.answer.load import held
from cutting.fit.angled.chunks import RowLengths
from cutting.fit.angled.order import RowOrders
from cutting.fit.angled.pricing import Pattern, RowPricer
from cutting.fit.angled.rows import RowModel
from cutting.fit.angled.signature import build_automaton
from cutting.fit.marked.rows import split_rows
from cutting.fit.marked.windows import Windows

__all__ = ["Rows", "lengths_of_rows"]


def lengths_of_rows(model: RowModel) -> RowLengths:
    """Gather what is known about the lengths of a section's rows."""
    return RowLengths(automaton=build_automaton(model), orders=RowOrders(model))


class Rows(RowPricer):
    """What parts with angled ends do on a stick; see `cutting.fit.fit.Fit`, and `RowPricer` for the parameters."""

    def holds(self, kind: int, pattern: Pattern) -> bool:
        """Whether a stick of a kind holds a row of these parts."""
        return self.waste(kind, pattern) >= 0

    def filled(self, kind: int, left: Sequence[int], first: int | None = None) -> Pattern:
        """Fill one row: one piece of `first`, then in the order of the parts whatever still fits."""
        row = [0] * len(left)
        if first is not None:
            row[first] = 1
            if not self.holds(kind, tuple(row)):
                row[first] = 0
        items, type_of = self.rows.orders.model.items, self.rows.orders.type_of
        clear = self.rows.clear[self.capacities[kind]]
        stated = sum(n * item.length for n, item in zip(row, items, strict=True) if n)
        counts = list(self.rows.orders.counts(row))
        beyond: dict[int, int] = {}  # with one more of a type, as long as nothing is added
        for part, have in held(left):
            type_ = type_of[part]
            while row[part] < have:
                if type_ not in beyond:
                    counts[type_] += 1
                    beyond[type_] = self.rows.orders.beyond_types(counts)
                    counts[type_] -= 1
                if stated + items[part].length + beyond[type_] > clear:
                    break
                row[part] += 1
                stated += items[part].length
                counts[type_] += 1
                beyond.clear()
        return tuple(row)

    def fullest(self, kind: int, counts: Sequence[int]) -> Pattern:
        """Fill one row by hand's rule: how full it can be is not asked exactly."""
        return self.filled(kind, counts)

    def waste(self, kind: int, pattern: Pattern) -> int:
        """What a row of these parts leaves of a stick."""
        return self.rows.left(pattern, self.capacities[kind])

    def split(self, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
        """Distribute parts over the windows between a yard's marks, a row for each."""
        return split_rows(self.rows.orders, pattern, windows)

    def alike(self, kind: int) -> int:
        """Return what sticks that hold the same have in common: the automaton's capacity."""
        return self.capacities[kind]

    def on(self, kinds: Sequence[int]) -> Rows:
        """Only these kinds of stick."""
        return Rows(self.rows, self.demands, [self.capacities[kind] for kind in kinds])

    def among(self, parts: Sequence[int], demands: Sequence[int]) -> Rows:
        """Only these parts, so many of each."""
        automaton, model = self.rows.automaton, self.rows.orders.model
        fewer = replace(
            automaton,
            sizes=tuple(automaton.sizes[part] for part in parts),
            steps=tuple(automaton.steps[part] for part in parts),
        )
        orders = RowOrders(replace(model, items=tuple(model.items[part] for part in parts)))
        return Rows(RowLengths(automaton=fewer, orders=orders), demands, self.capacities)

    def cut_to(self, lengths: Sequence[int]) -> Rows:
        """The same parts on sticks of these clear lengths."""
        rows = lengths_of_rows(replace(self.rows.orders.model, capacities=tuple(lengths)))
        return Rows(rows, self.demands, rows.automaton.capacities)
