"""Write a plan as JSON: the same job and plan give the same bytes, so no time and no date is in it."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from cutting.answer.plan import Plan, Result
from cutting.answer.totals import add_up
from cutting.buying.objective import objective_of
from cutting.question.job import Job
from cutting.question.lengths import Unit
from shared.files.plan.name import plan_id
from shared.files.plan.orders import ChangeFields, IdleFields, MoneyFields, OrderFields
from shared.files.plan.wire import BuyFields, CutFields, PlanFile, SharingFields, TotalFields
from shared.wording.amounts import bound_text, cost_text, gap_of, plan_cost_text

__all__ = ["plan_file", "write_plan"]


def write_plan(job: Job, result: Result) -> bytes:
    """Write what `solve` gave for a job.

    Parameters
    ----------
    job : Job
        The question.
    result : Result
        The answer with its proof.

    Returns
    -------
    bytes
        JSON in UTF-8 as described by `shared.files.plan.plan_schema`.
    """
    table = plan_file(job, result).model_dump(by_alias=True)
    text = json.dumps(_without_empty(table), ensure_ascii=False, indent=2)
    return (text + "\n").encode()


def _without_empty(table: dict[str, Any]) -> dict[str, Any]:
    """Leave out what only concerns angled ends where there are none."""
    for cut in table["cuts"]:
        for piece in cut["parts"]:
            if piece["lie"] is None:
                del piece["lie"]
        if not cut["strokes"]:
            del cut["strokes"], cut["edge"]
    if not table["sharing"]:
        del table["sharing"]
    return table


def plan_file(job: Job, result: Result) -> PlanFile:
    """Return the wire form of what `solve` gave for a job."""
    plan = result.plan
    objective = objective_of(job)
    gap = gap_of(job, result)
    return PlanFile(
        title=job.title,
        name="" if plan is None else plan_id(job, plan),
        unit=job.unit.value,
        currency=job.currency,
        status=result.status.value,
        objective=objective.value,
        cost=None if plan is None else plan_cost_text(job, plan),
        lower_bound=None if result.proof.infeasible else bound_text(job, objective, result.proof.lower_bound, plan),
        gap=None if gap is None else cost_text(job, objective, gap),
        rests=result.proof.rests.value,
        why=result.proof.infeasible,
        **({} if plan is None else _planned(job, plan)),
    )


def _planned(job: Job, plan: Plan) -> dict[str, Any]:
    """Return what is said of a plan, by field."""
    unit = job.unit
    yards = {stick.id: stick.yard for stick in job.sticks}
    return {
        "buy": tuple(BuyFields.of(line, unit, yard=yards.get(line.stick, "")) for line in plan.buy),
        "cuts": tuple(CutFields.of(cut, unit) for cut in plan.cuts),
        "sharing": tuple(SharingFields.of(each, unit, cost=_cost(job, each.cost)) for each in plan.sharing),
        "totals": TotalFields.of(add_up(plan), unit),
        "orders": tuple(OrderFields.of(order, unit) for order in plan.orders),
        "changes": tuple(ChangeFields.of_change(each, unit, _cost(job, each.saved)) for each in plan.changes),
        "idle": tuple(IdleFields.of_idle(each, unit) for each in plan.idle),
        "money": None if plan.paid is None else _money(plan, unit),
    }


def _cost(job: Job, value: Fraction | None) -> str | None:
    return None if value is None else cost_text(job, objective_of(job), value)


def _money(plan: Plan, unit: Unit) -> MoneyFields:
    nothing, none = Decimal(0), Fraction(0)
    counted = replace(plan, kinds=plan.kinds or nothing, own_value=plan.own_value or none, credit=plan.credit or none)
    return MoneyFields.of(counted, unit)
