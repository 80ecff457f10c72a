"""Write a plan as JSON: the same job and plan give the same bytes, so no time and no date is in it."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

from cutting.answer.plan import Buy, Cut, Plan, Result
from cutting.answer.totals import add_up
from cutting.buying.objective import objective_of
from cutting.question.job import Job
from cutting.question.lengths import format_length
from shared.files.plan.angled import lie_fields, sharing_fields, stroke_fields
from shared.files.plan.name import plan_id
from shared.files.plan.terms.write import (
    carried_fields,
    change_fields,
    idle_fields,
    money_fields,
    money_text,
    order_fields,
)
from shared.files.plan.wire import BuyFields, CutFields, PieceFields, PlanFile, TotalFields
from shared.wording.amounts import bound_text, cost_text, decimal_text, exact_text, gap_of, plan_cost_text

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
        buy=() if plan is None else _buy_list(job, plan),
        cuts=() if plan is None else tuple(_cut(job, cut) for cut in plan.cuts),
        sharing=() if plan is None else tuple(sharing_fields(job, each) for each in plan.sharing),
        totals=None if plan is None else _totals(job, plan),
        orders=() if plan is None else tuple(order_fields(order) for order in plan.orders),
        changes=() if plan is None else tuple(change_fields(job, objective, change) for change in plan.changes),
        idle=() if plan is None else tuple(idle_fields(each) for each in plan.idle),
        money=None if plan is None else money_fields(plan),
    )


def _length(job: Job, mm: Fraction) -> str:
    return format_length(mm, job.unit)


def _buy_list(job: Job, plan: Plan) -> tuple[BuyFields, ...]:
    yards = {stick.id: stick.yard for stick in job.sticks}
    return tuple(_buy(job, line, yards.get(line.stick, "")) for line in plan.buy)


def _buy(job: Job, line: Buy, yard: str) -> BuyFields:
    return BuyFields.model_validate(
        {
            "id": line.stick,
            "section": line.section.name,
            "material": line.section.material,
            "length": _length(job, line.length),
            "from": line.source.value,
            "quantity": line.quantity,
            "price": money_text(line.price),
            "cost": money_text(line.cost),
            "yard": yard,
        }
    )


def _cut(job: Job, cut: Cut) -> CutFields:
    return CutFields.model_validate(
        {
            "id": cut.stick,
            "section": cut.section.name,
            "material": cut.section.material,
            "length": _length(job, cut.length),
            "from": cut.source.value,
            "quantity": cut.quantity,
            "parts": tuple(
                PieceFields(
                    mark=piece.mark,
                    length=_length(job, piece.length),
                    start=_length(job, piece.start),
                    end=_length(job, piece.end),
                    lie=None if piece.lie is None else lie_fields(job, piece.lie),
                )
                for piece in cut.pieces
            ),
            "drop": _length(job, cut.drop),
            "skim": cut.skim,
            "unheld": cut.unheld,
            "marks": tuple(_length(job, mark) for mark in cut.marks),
            "carried": tuple(carried_fields(job, piece) for piece in cut.carried),
            "credit": None if cut.credit is None else exact_text(Fraction(cut.credit)),
            "edge": cut.edge,
            "strokes": tuple(stroke_fields(job, stroke) for stroke in cut.strokes),
        }
    )


def _totals(job: Job, plan: Plan) -> TotalFields:
    totals = add_up(plan)
    return TotalFields(
        parts=totals.parts,
        sticks=totals.sticks,
        length=_length(job, totals.length),
        weight=None if totals.weight is None else decimal_text(totals.weight, 3),
        used_share=decimal_text(totals.share, 4),
    )
