"""Check what a plan file says about its plan: status, bound, gap, totals."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from cutting.answer.totals import add_up
from cutting.checking.check import check, objective_due
from cutting.question.errors import LengthError
from cutting.question.job import Job
from cutting.question.lengths import parse_length
from shared.files.plan.name import plan_id
from shared.files.plan.read import StatedPlan
from shared.files.plan.wire import TotalFields
from shared.wording.amounts import cost_text

__all__ = ["check_file", "unproven"]


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
    if file.title != job.title:
        faults.append(f'The plan is for "{file.title}", the job is "{job.title}".')
    if (file.unit, file.currency) != (job.unit.value, job.currency):
        faults.append(
            f"The plan is in {file.unit} and {file.currency or 'without money'}, "
            f"the job in {job.unit} and {job.currency or 'without money'}."
        )
    if stated.plan is None:
        return (*faults, *_without_plan(job, stated))
    if file.name not in ("", plan_id(job, stated.plan)):  # plans that were written before it have none
        faults.append(f"The plan is called {file.name}, but this plan of this job is {plan_id(job, stated.plan)}.")
    said = (*_yards(job, stated), *_shared(stated), *_status(job, stated), *_totals(job, stated))
    return (*faults, *check(job, stated.plan), *said)


def _yards(job: Job, stated: StatedPlan) -> Iterator[str]:
    yards = {stick.id: stick.yard for stick in job.sticks}
    for line in stated.file.buy:
        right = yards.get(line.id)
        if right is not None and line.yard != right:
            yield f"{line.id} comes from {right or 'no yard by name'}, not from {line.yard or 'no yard by name'}."


def unproven(stated: StatedPlan) -> tuple[str, ...]:
    """Name what a file says that no check verifies, since only planning anew would."""
    found = ["why no plan can exist"] if stated.file.why else ["its lower bound and what that rests on"]
    if stated.file.sharing:
        found.append("what shared cuts save")
    if stated.file.changes:
        found.append("what substitutes save")
    return tuple(found)


def _shared(stated: StatedPlan) -> Iterator[str]:
    """Strokes said to be shared that aren't; the report on shared cuts is the checker's."""
    for number, cut in enumerate(stated.file.cuts, start=1):
        for at, stroke in enumerate(cut.strokes, start=1):
            shared = stroke.ends is not None and stroke.begins is not None and stroke.angle.strip("0.") != ""
            if stroke.shared != shared:
                is_shared = "makes two angled ends at once" if shared else "doesn't make two angled ends at once"
                yield f"Layout {number}, stroke {at}: it {is_shared}, and the plan says otherwise."


def _without_plan(job: Job, stated: StatedPlan) -> Iterator[str]:
    file = stated.file
    if file.status in {"optimal", "feasible"}:
        yield f"The plan is said to be {file.status}, and there is none."
    if file.name:
        yield f"The plan is called {file.name}, and there is none."
    if file.objective != objective_due(job):
        yield f"The plan minimises {file.objective}; for this job it is {objective_due(job)}."
    if file.buy or file.cuts:
        yield "The plan states no cost, and buys or cuts all the same."
    if file.sharing or file.orders or file.changes or file.idle or file.money or file.totals or file.gap is not None:
        yield "The plan states no cost, and a gap, totals, orders, changes, idle sticks or money all the same."
    if (file.status == "infeasible") != bool(file.why):
        yield f"A plan that says {'why' if file.why else 'nothing of why'} none can exist is not {file.status}."
    if (file.status == "infeasible") != (file.lower_bound is None):
        yield f"The plan is said to be {file.status}, with a lower bound of {file.lower_bound}."


def _status(job: Job, stated: StatedPlan) -> Iterator[str]:
    file = stated.file
    if file.status not in {"optimal", "feasible"}:
        yield f"The plan is said to be {file.status}, and here it is."
    if file.why:
        yield "The plan says why none can exist, and here it is."
    cost, bound, gap = (_number(job, file.objective, text) for text in (file.cost, file.lower_bound, file.gap))
    if cost is None or bound is None or gap is None:
        yield "Cost, lower bound and gap must all be stated as plain numbers."
        return
    if bound > cost:
        yield f"The lower bound of {file.lower_bound} is above the plan's own cost of {file.cost}, so it is none."
    if gap != max(cost - bound, Fraction(0)) or (file.gap or "").startswith("-"):
        right = cost_text(job, objective_due(job), max(cost - bound, Fraction(0)))
        yield f"The gap between {file.cost} and {file.lower_bound} is {right}, not {file.gap}."
    if (bound >= cost) != (file.status == "optimal"):
        yield f"With a cost of {file.cost} and a lower bound of {file.lower_bound} a plan is not {file.status}."


def _number(job: Job, objective: str, text: str | None) -> Fraction | None:
    """Read an amount of what was minimised; None where it is none."""
    try:
        return parse_length(text or "", job.unit) if objective == "length" else Fraction(Decimal(text or ""))
    except (ArithmeticError, ValueError, LengthError):
        return None


def _totals(job: Job, stated: StatedPlan) -> Iterator[str]:
    said = stated.file.totals
    if said is None or stated.plan is None:
        yield "The totals are missing."
        return
    right = TotalFields.of(add_up(stated.plan), job.unit)
    for field in TotalFields.model_fields:
        if getattr(said, field) != getattr(right, field):
            yield f"totals.{field} is {getattr(right, field)}, not {getattr(said, field)}."
