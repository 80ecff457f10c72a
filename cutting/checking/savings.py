"""The checker on what a plan's choices save: shared cuts and substitutes.

How much they save takes planning anew and isn't judged here. Whether the report is whole, names what is there, counts
the shared cuts rightly, and agrees with itself is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from cutting.answer.plan import Change, Objective, Plan, Sharing
from cutting.question.job import Job, Section
from cutting.question.money import minor_digits

__all__ = ["savings_faults"]


def savings_faults(job: Job, plan: Plan) -> Iterator[str]:
    """Judge what a plan reports of its shared cuts and of its changed sections."""
    yield from _reported(plan)
    changed = [change.mark for change in plan.changes]
    if changed != [part.mark for part in job.parts if part.mark in changed]:
        yield f"The plan doesn't tell changes of section in the order of the job: {changed}."
    for sharing in plan.sharing:
        yield from _sharing(sharing)
        yield from _amount(job, plan, sharing.cost, f"shared cuts of {sharing.section.label} save")
    for change in plan.changes:
        yield from _change(change)
        yield from _amount(job, plan, change.saved, f"the change of {change.mark} saves")


def _reported(plan: Plan) -> Iterator[str]:
    """Sections without a report beside others that have one, with two, or with a count that isn't theirs."""
    shared: Counter[tuple[str, str]] = Counter()
    angled: dict[tuple[str, str], Section] = {}
    for cut in plan.cuts:
        if cut.strokes:
            angled[cut.section.key] = cut.section
            shared[cut.section.key] += cut.quantity * sum(stroke.shared for stroke in cut.strokes)
    told = Counter(sharing.section.key for sharing in plan.sharing)
    for sharing in plan.sharing:
        there = shared[sharing.section.key]
        if sharing.shared != there:
            yield f"The plan counts {sharing.shared} shared cuts of {sharing.section.label}; there are {there}."
        if told[sharing.section.key] > 1 or sharing.section.key not in angled:
            yield f"The report on shared cuts names {sharing.section.label} once too often: no other ends are angled."
    for key, section in angled.items():
        if told and shared[key] and not told[key]:
            yield f"The plan reports shared cuts of other sections, and not the {shared[key]} of {section.label}."


def _sharing(sharing: Sharing) -> Iterator[str]:
    label, said = sharing.section.label, (sharing.sticks, sharing.cost)
    nothing = sharing.sticks == 0 and sharing.cost == 0 and sharing.certain and sharing.possible
    if not sharing.shared and not nothing:
        yield f"No cut of {label} is shared, and the plan reports that sharing saves something."
    elif not sharing.possible and (said != (None, None) or not sharing.certain):
        yield f"The plan says what shared cuts of {label} save, and that nothing is possible without them."
    elif sharing.possible and sharing.certain and None in said:
        yield f"The plan is certain of what shared cuts of {label} save, and doesn't say it."
    elif not sharing.certain and sharing.sticks is not None:
        yield f"The plan counts the sticks that shared cuts of {label} save, and isn't certain of them."
    if sharing.sticks is not None and sharing.sticks < 0:
        yield f"The plan says that shared cuts of {label} save {sharing.sticks} sticks."


def _change(change: Change) -> Iterator[str]:
    if not change.possible and (change.saved is not None or not change.certain):
        yield f"The plan says what the change of {change.mark} saves, and that nothing is possible without it."
    elif change.possible and change.certain and change.saved is None:
        yield f"The plan is certain of what the change of {change.mark} saves, and doesn't say it."


def _amount(job: Job, plan: Plan, amount: Fraction | None, what: str) -> Iterator[str]:
    """Nothing saves less than nothing, and prices are whole units of the currency's smallest."""
    if amount is None:
        return
    if amount < 0:
        yield f"The plan says that {what} {float(amount):.6g}, less than nothing."
    money = plan.objective is Objective.MONEY and job.currency is not None and job.keep_value is None
    if money and (amount * 10 ** minor_digits(job.currency or "")).denominator != 1:
        yield f"The plan says that {what} {float(amount):.6g}, and no sum of prices is that."
