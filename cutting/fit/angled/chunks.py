"""What rows are made from: chunks of equal parts, and tables of what those not yet looked at can still add."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from cutting.fit.angled.order import RowOrders
from cutting.fit.angled.signature import Automaton

__all__ = ["COARSE", "Chunk", "Ints", "RowLengths", "Table", "split", "suffix_table"]

Ints = NDArray[Any]

COARSE: Final = 2_048
"""Cells of a coarse table."""

_SMALL: Final = 1 << 29


@dataclass(frozen=True, kw_only=True)
class RowLengths:
    """What is known about the rows of a section, whichever sticks and demands are looked at.

    Attributes
    ----------
    automaton : Automaton
        Bounds the length of a row from below.
    orders : RowOrders
        Knows it exactly.
    """

    automaton: Automaton
    orders: RowOrders

    @cached_property
    def clear(self) -> dict[int, int]:
        """For each capacity of the automaton the clear length of the shortest stick that has it."""
        clear: dict[int, int] = {}
        for capacity, length in zip(self.automaton.capacities, self.orders.model.capacities, strict=True):
            clear[capacity] = min(length, clear.get(capacity, length))
        return clear

    def left(self, pattern: Sequence[int], capacity: int) -> int:
        """Return what a row of these parts leaves of the shortest stick of this capacity (the automaton's)."""
        return self.clear[capacity] - (self.orders.span(pattern) if any(pattern) else 0)

    def fits(self, pattern: Sequence[int], capacity: int) -> bool:
        """Whether a row of these parts fits every stick of this capacity (the automaton's)."""
        return self.left(pattern, capacity) >= 0


@dataclass(frozen=True, slots=True)
class Chunk:
    """Several equal pieces taken together or not at all (binary splitting of a bound)."""

    kind: int
    pieces: int
    size: int
    value: int
    step: Ints


def split(rows: RowLengths, kind: int, most: int, value: int) -> list[Chunk]:
    """Chunks of 1, 2, 4, ... pieces that make up every number up to `most`."""
    single = rows.automaton.steps[kind]
    chunks = []
    left, pieces = most, 1
    while left > 0:
        pieces = min(pieces, left)
        step = tuple(range(len(single)))
        for _ in range(pieces):
            step = tuple(single[state] for state in step)
        chunks.append(Chunk(kind, pieces, pieces * rows.automaton.sizes[kind], pieces * value, np.array(step)))
        left -= pieces
        pieces *= 2
    return chunks


class Table:
    """What the chunks from k on can still add, by state and room, on a coarse grid.

    Attributes
    ----------
    unit : int
        Grid step.
    adds : array
        ``adds[k, state, room // unit]``; far below 0 where not even nothing fits.
    """

    def __init__(self, chunks: Sequence[Chunk], losses: Sequence[int], top: int, cells: int, *, up: bool) -> None:
        self.unit = max(1, -(-top // cells))
        total = sum(chunk.value for chunk in chunks) + 1
        if up:  # sizes rounded up: nothing beats the longest stick full of the best value per length
            total = min(total, _densest(chunks, top))
        elif all(chunk.size >= self.unit for chunk in chunks):  # rounded down no size loses more than half
            total = min(total, 2 * _densest(chunks, top))
        width = top // self.unit + 1
        shape = (len(chunks) + 1, len(losses), width)
        self.adds: Ints = np.empty(shape, dtype=np.int32 if total < _SMALL else np.int64)
        self.adds[-1] = -total  # not even nothing fits
        for state, loss in enumerate(losses):
            self.adds[-1, state, self._cells(loss, up=up) :] = 0
        for k in range(len(chunks) - 1, -1, -1):
            chunk, after, here = chunks[k], self.adds[k + 1], self.adds[k]
            size = self._cells(chunk.size, up=up)
            here[:, :size] = after[:, :size]
            if size < width:
                taken = after[chunk.step, : width - size]
                taken += chunk.value
                np.maximum(after[:, size:], taken, out=here[:, size:])

    def _cells(self, length: int, *, up: bool) -> int:
        return -(-length // self.unit) if up else length // self.unit

    def bound(self, k: int, states: Ints, rooms: Ints) -> Ints:
        """What the chunks from k on can add in these states with these rooms, all of them at least 0."""
        found: Ints = self.adds[k, states, rooms // self.unit]
        return found


def _densest(chunks: Sequence[Chunk], top: int) -> int:
    """More than a stick of this length is worth, full of the best value per length."""
    return max((-(-chunk.value * top // chunk.size) for chunk in chunks), default=0) + 1


def suffix_table(
    rows: RowLengths, kinds: Sequence[int], demands: Sequence[int], values: Sequence[int], capacity: int
) -> tuple[Table, list[int]]:
    """Table of what parts taken in this order can still add at most, and where in it each part begins."""
    chunks: list[Chunk] = []
    starts = []
    for kind in kinds:
        starts.append(len(chunks))
        chunks += split(rows, kind, min(demands[kind], capacity // rows.automaton.sizes[kind]), int(values[kind]))
    starts.append(len(chunks))
    return Table(chunks, rows.automaton.losses, capacity, COARSE, up=False), starts
