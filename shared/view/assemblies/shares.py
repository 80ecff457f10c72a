"""Who carries what a plan costs.

What is bought for a section is shared by the length of steel that each part takes of it, along its centre line, so
that kerf, trims and drops are carried by all its parts alike. Shares are rounded to the currency's smallest unit by
largest remainder: they add up to the plan's cost exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Objective, Plan
from cutting.answer.totals import KnownSum, sum_known
from cutting.question.job import Job, Part
from cutting.question.money import from_minor
from shared.work.carried import as_taken

__all__ = ["Assembly", "Share", "by_assembly", "steel_lengths"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Share:
    """One part of an assembly: its mark and how many pieces."""

    mark: str
    pieces: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Assembly:
    """One assembly.

    Attributes
    ----------
    name : str
        Empty for parts that belong to none.
    parts : tuple of Share
        In the order of the job.
    pieces : int
        All of them.
    weight : KnownSum
        kg of its parts.
    surface : KnownSum
        m2 of outside surface.
    share : Fraction
        Of what is bought, 0 to 1: of the money, or without prices of the length, or weight, that is bought.
    cost : Decimal or None
        Its share of the money; None in a job without prices.
    """

    name: str
    parts: tuple[Share, ...]
    pieces: int
    weight: KnownSum
    surface: KnownSum
    share: Fraction
    cost: Decimal | None


def by_assembly(job: Job, plan: Plan) -> tuple[Assembly, ...]:
    """Return the plan by assembly, in the order in which the job names them.

    Parameters
    ----------
    job : Job
        The question.
    plan : Plan
        The answer.
    """
    job = as_taken(job, plan)
    groups: dict[str, list[Part]] = {}
    for part in job.parts:
        groups.setdefault(part.assembly, []).append(part)
    steel = steel_lengths(job, plan)
    worth = _worth(job, plan, steel)
    exact = [sum((worth[part.mark] for part in parts), Fraction(0)) for parts in groups.values()]
    whole = sum(exact, Fraction(0))
    costs = _rounded(exact, job.currency)
    return tuple(
        Assembly(
            name=name,
            parts=tuple(Share(mark=part.mark, pieces=part.quantity) for part in parts),
            pieces=sum(part.quantity for part in parts),
            weight=sum_known((part.section, part.section.mass, steel[part.mark] * part.quantity) for part in parts),
            surface=sum_known((part.section, part.section.surface, steel[part.mark] * part.quantity) for part in parts),
            share=amount / whole if whole else Fraction(0),
            cost=cost,
        )
        for (name, parts), amount, cost in zip(groups.items(), exact, costs, strict=True)
    )


def steel_lengths(job: Job, plan: Plan) -> Mapping[str, Fraction]:
    """Return by mark the length of steel (mm) in one piece: along its centre line, where ends are angled."""
    found = {piece.mark: piece.centre for cut in plan.cuts for piece in cut.pieces}
    return {part.mark: found.get(part.mark, part.length) for part in job.parts}


def _worth(job: Job, plan: Plan, steel: Mapping[str, Fraction]) -> Mapping[str, Fraction]:
    """Return for each mark what its pieces cost: money, or without prices the length or weight bought for them.

    Sticks of a section that no part is of are bought for the sake of all, and are shared out as all the rest is.
    """
    spent: dict[tuple[str, str], Fraction] = {}
    for line in plan.buy:
        bought = line.quantity * line.length * _rate(plan, line.section.mass)
        amount = Fraction(line.cost) if line.cost is not None else bought
        spent[line.section.key] = spent.get(line.section.key, Fraction(0)) + amount
    used: dict[tuple[str, str], Fraction] = {}
    for part in job.parts:
        used[part.section.key] = used.get(part.section.key, Fraction(0)) + steel[part.mark] * part.quantity
    needed = sum((spent.get(key, Fraction(0)) for key in used), Fraction(0))
    more = sum(spent.values(), Fraction(0)) / needed if needed else Fraction(1)
    return {
        part.mark: more
        * spent.get(part.section.key, Fraction(0))
        * steel[part.mark]
        * part.quantity
        / used[part.section.key]
        for part in job.parts
    }


def _rate(plan: Plan, mass: Fraction | None) -> Fraction:
    """Return what a millimetre counts in a job without prices."""
    return mass / 1000 if mass is not None and plan.objective is Objective.WEIGHT else Fraction(1)


def _rounded(exact: Sequence[Fraction], currency: str | None) -> list[Decimal | None]:
    if currency is None:
        return [None] * len(exact)
    unit = Fraction(from_minor(1, currency))
    units = [int(amount // unit) for amount in exact]
    missing = int(sum(exact, Fraction(0)) / unit) - sum(units)
    order = sorted(range(len(exact)), key=lambda index: (-(exact[index] / unit - units[index]), index))
    for index in order[:missing]:
        units[index] += 1
    return [from_minor(count, currency) for count in units]
