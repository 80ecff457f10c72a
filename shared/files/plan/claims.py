"""Check what a plan file says about its plan: status, bound, gap, totals."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from cutting.answer.totals import add_up
from cutting.checking.check import check
from cutting.question.job import Job
from cutting.question.lengths import format_length
from shared.files.plan.read import StatedPlan
from shared.wording.amounts import decimal_text

__all__ = ["check_file"]


def check_file(job: Job, stated: StatedPlan) -> tuple[str, ...]:
    """Check a plan file against its job.

    Parameters
    ----------
    job : Job
        The question.
    stated : StatedPlan
        What the file says.

    Returns
    -------
    tuple of str
        Every fault, a sentence each. The lower bound itself is not proven anew; that takes a solve.
    """
    file = stated.file
    faults = []
    if (file.unit, file.currency) != (job.unit.value, job.currency):
        faults.append(
            f"The plan is in {file.unit} and {file.currency or 'without money'}, "
            f"the job in {job.unit} and {job.currency or 'without money'}."
        )
    if stated.plan is None:
        return (*faults, *_without_plan(stated))
    return (*faults, *check(job, stated.plan), *_yards(job, stated), *_status(stated), *_totals(job, stated))


def _yards(job: Job, stated: StatedPlan) -> Iterator[str]:
    yards = {stick.id: stick.yard for stick in job.sticks}
    for line in stated.file.buy:
        right = yards.get(line.id)
        if right is not None and line.yard != right:
            yield f"{line.id} comes from {right or 'no yard by name'}, not from {line.yard or 'no yard by name'}."


def _without_plan(stated: StatedPlan) -> Iterator[str]:
    file = stated.file
    if file.status in {"optimal", "feasible"}:
        yield f"The plan is said to be {file.status}, and there is none."
    if file.buy or file.cuts:
        yield "The plan states no cost, and buys or cuts all the same."


def _status(stated: StatedPlan) -> Iterator[str]:
    file = stated.file
    if file.status not in {"optimal", "feasible"}:
        yield f"The plan is said to be {file.status}, and here it is."
    if file.objective == "length":
        closed = file.lower_bound == file.cost
    else:
        cost, bound, gap = (_number(text) for text in (file.cost, file.lower_bound, file.gap))
        if cost is None or bound is None or gap is None:
            yield "Cost, lower bound and gap must all be stated as plain numbers."
            return
        if bound > cost:
            yield f"The lower bound of {bound} is above the plan's own cost of {cost}, so it is none."
        closed = bound >= cost
        if gap != max(cost - bound, Decimal(0)) and file.objective == "money":
            yield f"The gap between {cost} and {bound} is {max(cost - bound, Decimal(0))}, not {gap}."
    if closed != (file.status == "optimal"):
        yield f"With a cost of {file.cost} and a lower bound of {file.lower_bound} a plan is not {file.status}."


def _number(text: str | None) -> Decimal | None:
    try:
        value = Decimal(text or "")
    except InvalidOperation:
        return None
    return value if value.is_finite() else None


def _totals(job: Job, stated: StatedPlan) -> Iterator[str]:
    said = stated.file.totals
    if said is None or stated.plan is None:
        yield "The totals are missing."
        return
    sums = add_up(stated.plan)
    right = {
        "parts": sums.parts,
        "sticks": sums.sticks,
        "length": format_length(sums.length, job.unit),
        "weight": None if sums.weight is None else decimal_text(sums.weight, 3),
        "used_share": decimal_text(sums.share, 4),
    }
    for field, value in right.items():
        if getattr(said, field) != value:
            yield f"totals.{field} is {value}, not {getattr(said, field)}."
