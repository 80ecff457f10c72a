"""Sums over a plan: pieces, sticks, steel, weight, surface to paint."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from cutting.answer.plan import Plan

__all__ = ["Totals", "add_up"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Totals:
    """Sums over a plan.

    Attributes
    ----------
    parts : int
        Pieces cut.
    sticks : int
        Sticks, rack pieces and own pieces taken.
    length : Fraction
        mm of all of these.
    used : Fraction
        mm of all parts, along their centre lines.
    weight : Fraction or None
        kg of all sticks; None where the weight of any of their sections is unknown.
    surface : Fraction or None
        m2 of outside surface of all parts; None where that of any of their sections is unknown.
    """

    parts: int
    sticks: int
    length: Fraction
    used: Fraction
    weight: Fraction | None
    surface: Fraction | None

    @property
    def share(self) -> Fraction:
        """Used share of the steel taken, 0 to 1."""
        return self.used / self.length if self.length else Fraction(0)


def add_up(plan: Plan) -> Totals:
    """Add a plan up.

    Parameters
    ----------
    plan : Plan
        The plan.

    Returns
    -------
    Totals
        Exact sums.
    """
    pieces = [(cut, piece.centre * cut.quantity) for cut in plan.cuts for piece in cut.pieces]
    return Totals(
        parts=sum(cut.quantity * len(cut.pieces) for cut in plan.cuts),
        sticks=sum(line.quantity for line in plan.buy),
        length=sum((line.quantity * line.length for line in plan.buy), Fraction(0)),
        used=sum((length for _, length in pieces), Fraction(0)),
        weight=_per_metre((line.section.mass, line.quantity * line.length) for line in plan.buy),
        surface=_per_metre((cut.section.surface, length) for cut, length in pieces),
    )


def _per_metre(lengths: Iterable[tuple[Fraction | None, Fraction]]) -> Fraction | None:
    total = Fraction(0)
    for rate, length in lengths:
        if rate is None:
            return None
        total += rate * length / 1000
    return total
