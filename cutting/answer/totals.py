"""Sums over a plan: pieces, sticks, steel, weight, surface to paint."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from cutting.answer.plan import Plan
from cutting.question.job import Section

__all__ = ["KnownSum", "Totals", "add_up", "sum_known"]


@dataclass(frozen=True, kw_only=True, slots=True)
class KnownSum:
    """A sum over sections of which some may be of unknown weight or surface.

    Attributes
    ----------
    known : Fraction or None
        The sum of those that are known; None where none is.
    without : tuple of str
        The sections that aren't in it, each once, in the order in which they were met.
    """

    known: Fraction | None
    without: tuple[str, ...] = ()

    @property
    def whole(self) -> Fraction | None:
        """The sum where nothing is missing from it, else None."""
        return None if self.without else self.known

    @property
    def partial(self) -> bool:
        """Whether there is a sum and something is missing from it."""
        return self.known is not None and bool(self.without)


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
    weights : KnownSum
        kg of all sticks.
    surfaces : KnownSum
        m2 of outside surface of all parts.
    """

    parts: int
    sticks: int
    length: Fraction
    used: Fraction
    weights: KnownSum
    surfaces: KnownSum

    @property
    def weight(self) -> Fraction | None:
        """Kg of all sticks; None where the weight of any of their sections is unknown."""
        return self.weights.whole

    @property
    def surface(self) -> Fraction | None:
        """Return the m2 of all parts; None where the surface of any of their sections is unknown."""
        return self.surfaces.whole

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
        weights=sum_known((line.section, line.section.mass, line.quantity * line.length) for line in plan.buy),
        surfaces=sum_known((cut.section, cut.section.surface, length) for cut, length in pieces),
    )


def sum_known(rated: Iterable[tuple[Section, Fraction | None, Fraction]]) -> KnownSum:
    """Add up what is known: one section of unknown weight leaves the sum of the others standing.

    Parameters
    ----------
    rated : iterable of (Section, Fraction or None, Fraction)
        Section, what a metre of it counts, and its length (mm).
    """
    known: Fraction | None = None
    without: dict[str, None] = {}
    for section, rate, length in rated:
        if rate is None:
            without[section.label] = None
        else:
            known = (known or Fraction(0)) + rate * length / 1000
    return KnownSum(known=known, without=tuple(without))
