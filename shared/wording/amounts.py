"""Texts for what a plan costs, by what it minimises: money, length or weight."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Final

from cutting.answer.plan import Objective, Plan, Result
from cutting.question.job import Job
from cutting.question.lengths import format_length
from cutting.question.money import minor_digits

__all__ = ["GRAMS", "bound_text", "cost_text", "decimal_text", "exact_text", "gap_of", "plan_cost_text"]

GRAMS: Final = 3
"""Decimals of a weight in kg."""

_FINER: Final = 4
_MOST_PLACES: Final = 13


def decimal_text(value: Fraction, places: int) -> str:
    """Write a number of 0 or more with `places` decimals, rounded half up."""
    return _scaled(floor(value * 10**places + Fraction(1, 2)), places)


def _scaled(units: int, places: int) -> str:
    return f"{Decimal(units).scaleb(-places):.{places}f}"


def exact_text(value: Fraction) -> str:
    """Write a number of 0 or more exactly: as a decimal, or as a fraction where a decimal has no end.

    Examples
    --------
    >>> exact_text(Fraction(41, 8)), exact_text(Fraction(10, 3))
    ('5.125', '10/3')
    """
    places = next((places for places in range(_MOST_PLACES) if (value * 10**places).denominator == 1), None)
    return str(value) if places is None else _scaled(int(value * 10**places), places)


def _places(job: Job) -> int:
    """Decimals of a sum of money: what leftovers are worth is no whole number of cents, since nobody pays it."""
    return minor_digits(job.currency or "") + (_FINER if job.keep_value is not None else 0)


def cost_text(job: Job, objective: Objective, value: Fraction) -> str:
    """Write a cost: money in the currency's decimals, length exactly in the job's unit, weight in kg to the gram.

    Where leftovers have a worth, money has four decimals more.
    """
    if objective is Objective.LENGTH:
        return format_length(value, job.unit)
    return decimal_text(value, GRAMS if objective is Objective.WEIGHT else _places(job))


def plan_cost_text(job: Job, plan: Plan) -> str:
    """Write what a plan costs; where leftovers have a worth rounded up, so that no bound below it is written as it."""
    if job.keep_value is None or plan.objective is not Objective.MONEY:
        return cost_text(job, plan.objective, plan.cost)
    return _scaled(ceil(plan.cost * 10 ** _places(job)), _places(job))


def bound_text(job: Job, objective: Objective, value: Fraction, plan: Plan | None = None) -> str:
    """Write a lower bound, which reaches the cost of `plan` or not.

    Since prices are whole minor units, a bound on money holds for the next whole one as well; but not where leftovers
    have a worth. A weight is rounded, down where it doesn't reach the plan's.
    """
    if objective is Objective.LENGTH:
        return cost_text(job, objective, value)
    if objective is Objective.WEIGHT:
        return cost_text(job, objective, value if plan is None or value >= plan.cost else _below(value, plan.cost))
    if job.keep_value is None:
        return _scaled(ceil(value * 10 ** _places(job)), _places(job))
    if plan is not None and value >= plan.cost:
        return plan_cost_text(job, plan)
    return _scaled(floor(value * 10 ** _places(job)), _places(job))


def _below(value: Fraction, cost: Fraction) -> Fraction:
    """Return a bound in whole grams that isn't written like the cost it doesn't reach."""
    grams = min(floor(value * 10**GRAMS), floor(cost * 10**GRAMS + Fraction(1, 2)) - 1)
    return Fraction(max(0, grams), 10**GRAMS)


def gap_of(job: Job, result: Result) -> Fraction | None:
    """What could at most still be saved, between cost and bound as they are written; None without a plan."""
    plan = result.plan
    if plan is None or result.gap is None or plan.objective is Objective.LENGTH:
        return result.gap
    bound = Fraction(bound_text(job, plan.objective, result.proof.lower_bound, plan))
    return max(Fraction(plan_cost_text(job, plan)) - bound, Fraction(0))
