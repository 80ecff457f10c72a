"""Check what a plan file says about its plan: status, bound, gap, totals."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from cutting.answer.totals import add_up
from cutting.checking.check import check
from cutting.question.job import Job
from cutting.question.lengths import format_length
from shared.files.plan.name import plan_id
from shared.files.plan.read import StatedPlan
from shared.wording.amounts import decimal_text

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
        return (*faults, *_without_plan(stated))
    if file.name not in ("", plan_id(job, stated.plan)):  # plans that were written before it have none
        faults.append(f"The plan is called {file.name}, but this plan of this job is {plan_id(job, stated.plan)}.")
    said = (*_yards(job, stated), *_shared(job, stated), *_status(stated), *_totals(job, stated))
    return (*faults, *check(job, stated.plan), *said)


def _yards(job: Job, stated: StatedPlan) -> Iterator[str]:
    yards = {stick.id: stick.yard for stick in job.sticks}
    for line in stated.file.buy:
        right = yards.get(line.id)
        if right is not None and line.yard != right:
            yield f"{line.id} comes from {right or 'no yard by name'}, not from {line.yard or 'no yard by name'}."


def unproven(stated: StatedPlan) -> tuple[str, ...]:
    """Name what a file says that no check verifies, since only planning anew would."""
    found = ["its lower bound and what that rests on"]
    if stated.file.sharing:
        found.append("what shared cuts save")
    if stated.file.changes:
        found.append("what substitutes save")
    return tuple(found)


def _shared(job: Job, stated: StatedPlan) -> Iterator[str]:
    """Strokes said to be shared that aren't, and reports on shared cuts that count or name others."""
    counted: dict[tuple[str, str], int] = {}
    for number, cut in enumerate(stated.file.cuts, start=1):
        key = (cut.section, cut.material)
        for at, stroke in enumerate(cut.strokes, start=1):
            shared = stroke.ends is not None and stroke.begins is not None and stroke.angle.strip("0.") != ""
            counted[key] = counted.get(key, 0) + cut.quantity * shared
            if stroke.shared != shared:
                is_shared = "makes two angled ends at once" if shared else "doesn't make two angled ends at once"
                yield f"Layout {number}, stroke {at}: it {is_shared}, and the plan says otherwise."
    known = {section.key for section in (*job.sections, *(stick.section for stick in job.sticks))}
    said = [(each.section, each.material) for each in stated.file.sharing]
    for each, key in zip(stated.file.sharing, said, strict=True):
        label = f"{each.section} ({each.material})" if each.material else each.section
        if key not in known or said.count(key) > 1:
            yield f"The report on shared cuts names {label} once too often, or the job doesn't have it."
        elif each.shared != counted.get(key, 0):
            yield f"The plan reports {each.shared} shared cuts of {label}; there are {counted.get(key, 0)}."
        saves = each.sticks != 0 or each.cost is None or _number(each.cost) != 0
        if not each.shared and (saves or not each.certain or not each.possible):
            yield f"No cut of {label} is shared, and the plan reports that sharing saves something."
        if not each.possible and (each.sticks is not None or each.cost is not None):
            yield f"The plan says what shared cuts of {label} save, and that nothing is possible without them."


def _without_plan(stated: StatedPlan) -> Iterator[str]:
    file = stated.file
    if file.status in {"optimal", "feasible"}:
        yield f"The plan is said to be {file.status}, and there is none."
    if file.name:
        yield f"The plan is called {file.name}, and there is none."
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
