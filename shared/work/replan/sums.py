"""What a plan buys, in the unit of what was minimised, and what layouts that are kept count in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Buy, Objective, Plan
from cutting.buying.rules.leftovers import keep_rate, own_worth
from cutting.question.job import Job, Source, Stick
from shared.work.replan.standing import Judged, wider_trim
from shared.work.saw.sawing import rest_of, saw

__all__ = ["drop_of", "paid", "spent", "value_of", "worth_of"]

_NOTHING = Fraction(0)


def paid(plan: Plan | None) -> Decimal:
    """Money that a plan of a priced job costs, all fees included; a plan of own pieces alone costs none."""
    if plan is None:
        return Decimal(0)
    if plan.paid is not None:
        return plan.paid
    return sum((line.cost for line in plan.buy if line.cost is not None), Decimal(0))


def spent(plan: Plan | None, objective: Objective) -> Fraction:
    """Return what a plan buys: money paid, mm or kg."""
    if plan is None:
        return _NOTHING
    if objective is Objective.MONEY:
        return Fraction(paid(plan))
    bought = [line for line in plan.buy if line.source is not Source.OWN]
    return sum((line.quantity * _measure(line, objective) for line in bought), _NOTHING)


def _measure(line: Buy, objective: Objective) -> Fraction:
    if objective is Objective.LENGTH:
        return line.length
    return line.length * (line.section.mass or _NOTHING) / 1000


def value_of(plan: Plan, objective: Objective) -> Fraction:
    """Return a plan's cost in the unit of another plan's objective."""
    return plan.cost if plan.objective is objective else spent(plan, objective)


def worth_of(pins: Iterable[Judged], job: Job) -> Fraction:
    """Return what own steel under standing layouts is worth, less the worth of the drops they leave.

    Parameters
    ----------
    pins : iterable of Judged
        Layouts that stand.
    job : Job
        One that offers their bars as own pieces; 0 where it gives leftovers no worth.
    """
    if job.keep_value is None or job.currency is None:
        return _NOTHING
    sticks = {stick.id: stick for stick in job.sticks}
    held = ((pin, sticks[pin.bar.name]) for pin in pins if pin.bar.name in sticks)
    return sum((own_worth(job, stick) - _credit(pin, stick, job) for pin, stick in held), _NOTHING)


def _credit(pin: Judged, stick: Stick, job: Job) -> Fraction:
    drop = drop_of(pin, job.saw.kerf)
    shortest = job.keep_value.shortest if job.keep_value is not None else drop
    return keep_rate(job, stick) * drop if drop >= shortest else _NOTHING


def drop_of(pin: Judged, kerf: Fraction) -> Fraction:
    """Return what will be left over (mm) of a layout's bar as it is now, the raw end's trim not counted."""
    count = len(pin.slot.cut.pieces)
    cuts = saw(pin.slot, pin.bar, kerf, count)
    done = replace(pin.slot, sawn=count, used=cuts.used, reached=cuts.reached)
    behind = rest_of(done, pin.bar, kerf).counted_on
    return max(_NOTHING, behind - pin.slot.stick.trims[1] - wider_trim(pin.slot, kerf))
