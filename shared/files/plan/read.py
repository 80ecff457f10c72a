"""Read a plan file back, for the checker."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from pydantic import ValidationError

from cutting.answer.plan import Buy, Objective, Plan
from cutting.question.job import Job, Source
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.files.job.document import read_document
from shared.files.plan.table import Back, Meaning, shown
from shared.files.plan.wire import PlanFile
from shared.wording.amounts import cost_text, plan_cost_text

__all__ = ["StatedPlan", "read_plan"]

_NUMBER: Final = Meaning(lambda text, _: Fraction(Decimal(text)), lambda amount, _: str(amount))


@dataclass(frozen=True, kw_only=True, slots=True)
class StatedPlan:
    """A plan as a file states it.

    Attributes
    ----------
    plan : Plan or None
        What to buy and cut; None where the file says that there is no plan.
    file : PlanFile
        Everything the file says, its status and totals included.
    """

    plan: Plan | None
    file: PlanFile


def read_plan(data: bytes, job: Job) -> tuple[StatedPlan | None, tuple[Problem, ...]]:
    """Read a plan file.

    Parameters
    ----------
    data : bytes
        JSON in UTF-8.
    job : Job
        The job it answers; what its lines are is looked up there, and what the file says else is kept as it is said.

    Returns
    -------
    tuple of (StatedPlan or None, tuple of Problem)
        Every problem at once, with its field path. Whether the plan is right is the checker's to say.
    """
    table, problems = read_document(data, name="plan.json")
    if table is None:
        return None, problems
    try:
        file = PlanFile.model_validate(table)
    except ValidationError as error:
        return None, tuple(
            Problem(where=_path(detail["loc"]), text=shown(detail["input"]), message=detail["msg"])
            for detail in error.errors(include_url=False)
        )
    others = (other.section for part in job.parts for other in part.substitutes)
    back = Back(Unit(file.unit), (*(stick.section for stick in job.sticks), *others, *job.sections))
    plan = None if file.cost is None else _plan(file, job, back)
    return (None, tuple(back.problems)) if back.problems else (StatedPlan(plan=plan, file=file), ())


def _path(loc: tuple[int | str, ...]) -> str:
    return "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in loc).removeprefix(".") or "file"


def _plan(file: PlanFile, job: Job, back: Back) -> Plan:
    """Turn the texts of a file back into values; what can't be is kept in `back`."""
    objective = Objective(file.objective)

    def amount(text: str | None, where: str) -> Fraction | None:
        return None if text is None else _amount(back, objective, text, where)

    buy = tuple(line.value(back, f"buy[{n}]") for n, line in enumerate(file.buy))
    changes = [(each, f"changes[{n}]") for n, each in enumerate(file.changes)]
    sharing = [(each, f"sharing[{n}]") for n, each in enumerate(file.sharing)]
    return Plan(
        objective=objective,
        cost=_cost(file, job, back, buy),
        buy=buy,
        cuts=tuple(cut.value(back, f"cuts[{n}]") for n, cut in enumerate(file.cuts)),
        sharing=tuple(each.value(back, at, cost=amount(each.cost, f"{at}.cost")) for each, at in sharing),
        orders=tuple(order.of_lines(back, f"orders[{n}]", job, buy) for n, order in enumerate(file.orders)),
        changes=tuple(each.value(back, at, saved=amount(each.saved, f"{at}.saved")) for each, at in changes),
        idle=tuple(each.value(back, f"idle[{n}]") for n, each in enumerate(file.idle)),
        **({} if file.money is None else file.money.told(back, "money")),
    )


def _amount(back: Back, objective: Objective, text: str, where: str) -> Fraction:
    """Read an amount in terms of the objective."""
    if objective is Objective.LENGTH:
        return back.length(text, where)
    amount: Fraction = back.read(_NUMBER, text, where)
    return amount


def _cost(file: PlanFile, job: Job, back: Back, buy: tuple[Buy, ...]) -> Fraction:
    """Return the stated cost; of a weight or with leftovers, stated rounded, the exact one where it agrees."""
    objective, text = Objective(file.objective), file.cost or ""
    stated = _amount(back, objective, text, "cost")
    money = file.money
    if objective is Objective.MONEY and job.keep_value is not None and money is not None:
        plan = Plan(objective=objective, cost=money.cost, buy=(), cuts=())
        return plan.cost if plan_cost_text(job, plan) == text else stated
    if objective is not Objective.WEIGHT:
        return stated
    bought = (line for line in buy if line.source is not Source.OWN)
    exact = sum((line.quantity * line.length * (line.section.mass or 0) / 1000 for line in bought), Fraction(0))
    return exact if cost_text(job, objective, exact) == text else stated
