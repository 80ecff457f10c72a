"""Texts for what a plan costs, by what it minimises: money, length or weight."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Final

from cutting.job import Job
from cutting.lengths import format_length
from cutting.money import minor_digits
from cutting.plan import Objective, Result

__all__ = ["GRAMS", "bound_text", "cost_text", "decimal_text", "gap_of"]

GRAMS: Final = 3
"""Decimals of a weight in kg."""


def decimal_text(value: Fraction, places: int) -> str:
    """Write a number of 0 or more with `places` decimals, rounded half up."""
    return _scaled(floor(value * 10**places + Fraction(1, 2)), places)


def _scaled(units: int, places: int) -> str:
    return f"{Decimal(units).scaleb(-places):.{places}f}"


def cost_text(job: Job, objective: Objective, value: Fraction) -> str:
    """Write a cost: money in the currency's decimals, length exactly in the job's unit, weight in kg to the gram."""
    if objective is Objective.LENGTH:
        return format_length(value, job.unit)
    return decimal_text(value, GRAMS if objective is Objective.WEIGHT else minor_digits(job.currency or ""))


def bound_text(job: Job, objective: Objective, value: Fraction) -> str:
    """Write a lower bound; since prices are whole minor units, one on money holds for the next whole one as well."""
    if objective is not Objective.MONEY:
        return cost_text(job, objective, value)
    places = minor_digits(job.currency or "")
    return _scaled(ceil(value * 10**places), places)


def gap_of(job: Job, result: Result) -> Fraction | None:
    """What could at most still be saved, against the bound as `bound_text` writes it; None without a plan."""
    if result.plan is None or result.gap is None or result.plan.objective is not Objective.MONEY:
        return result.gap
    bound = Fraction(bound_text(job, Objective.MONEY, result.proof.lower_bound))
    return max(result.plan.cost - bound, Fraction(0))
