"""Write what a plan says of yards: orders, carried pieces, changed sections, money apart."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Carried, Change, Idle, Objective, Order, Plan
from cutting.question.job import Job
from cutting.question.lengths import format_length
from shared.files.plan.terms.wire import CarriedFields, ChangeFields, IdleFields, MoneyFields, OrderFields
from shared.wording.amounts import GRAMS, cost_text, decimal_text, exact_text

__all__ = ["carried_fields", "change_fields", "idle_fields", "money_fields", "money_text", "order_fields"]


def money_text(amount: Decimal | None) -> str | None:
    """Write an amount of money as a plain number; None stays None."""
    return None if amount is None else f"{amount:f}"


def order_fields(order: Order) -> OrderFields:
    """Return the wire form of one yard's order."""
    return OrderFields.model_validate(
        {
            "yard": order.yard,
            "transport": order.transport.value,
            "trips": order.trips,
            "weight": None if order.weight is None else decimal_text(order.weight, GRAMS),
            "cuts": order.cuts,
            "material": money_text(order.material),
            "cutting": money_text(order.cutting),
            "delivery": money_text(order.delivery),
            "collecting": money_text(order.collecting),
            "tax": money_text(order.tax),
            "total": money_text(order.total),
        }
    )


def carried_fields(job: Job, piece: Carried) -> CarriedFields:
    """Return the wire form of one carried piece."""
    weight = None if piece.weight is None else decimal_text(piece.weight, GRAMS)
    return CarriedFields(
        length=format_length(piece.length, job.unit),
        weight=weight,
        begin=format_length(piece.begin, job.unit),
        parts=piece.parts,
        drop=format_length(piece.drop, job.unit),
        skim=piece.skim,
    )


def change_fields(job: Job, objective: Objective, change: Change) -> ChangeFields:
    """Return the wire form of one changed section."""
    return ChangeFields(
        mark=change.mark,
        wanted=change.wanted.name,
        wanted_material=change.wanted.material,
        taken=change.taken.name,
        taken_material=change.taken.material,
        remark=change.remark,
        saved=None if change.saved is None else cost_text(job, objective, change.saved),
        certain=change.certain,
        possible=change.possible,
    )


def idle_fields(idle: Idle) -> IdleFields:
    """Return the wire form of one yard's sticks that stay whole."""
    return IdleFields.model_validate(
        {
            "yard": idle.yard,
            "sticks": [{"id": line, "quantity": count} for line, count in idle.sticks],
            "reasons": [reason.value for reason in idle.reasons],
            "saved": None if idle.saved is None else exact_text(idle.saved),
        }
    )


def money_fields(plan: Plan) -> MoneyFields | None:
    """Return the money of a plan apart; None in a plan without terms or prices."""
    if plan.paid is None:
        return None
    return MoneyFields(
        paid=f"{plan.paid:f}",
        kinds=f"{plan.kinds or Decimal(0):f}",
        own_value=exact_text(Fraction(plan.own_value or 0)),
        credit=exact_text(Fraction(plan.credit or 0)),
        layouts=None if plan.layouts is None else f"{plan.layouts:f}",
    )
