"""One line of sticks as the buying model sees it: who sells it, what it costs, the ways to take a stick of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutting.question.job import Stick

__all__ = ["Line", "taken"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One line of sticks.

    Attributes
    ----------
    stick : Stick
        The job's line.
    section : int
        Number of its section.
    kinds : tuple of (int, int)
        Rooms and their kinds of stick that are ways to take it.
    yard : int or None
        Number of its yard's terms; None for own pieces.
    steps : tuple of (int, int)
        (from so many, price of each in units of cost), ascending, the first from 1; of own pieces what using one costs.
    most : int
        Sticks of it that may be taken.
    mass : Fraction
        kg of one stick; 0 where unknown.
    idle : int
        How many of these may stay whole, no part being cut from them.
    idle_delivered : bool
        Whole, one is too long or too heavy to be carried.
    idle_credit : int
        Worth of one that stays whole, in units of cost.
    """

    stick: Stick
    section: int
    kinds: tuple[tuple[int, int], ...]
    yard: int | None
    steps: tuple[tuple[int, int], ...]
    most: int
    mass: Fraction
    idle: int = 0
    idle_delivered: bool = False
    idle_credit: int = 0

    def price(self, count: int) -> int:
        """Return the price of each of so many sticks."""
        return next(price for least, price in reversed(self.steps) if count >= least or least == 1)


def taken(line: Line, counts: Sequence[Sequence[int]], idle: int) -> int:
    """Return how many sticks of a line are taken, of which so many stay whole."""
    return sum(counts[room][kind] for room, kind in line.kinds) + idle
