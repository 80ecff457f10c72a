"""The sheets about yards: each order with its charges, and what a yard cuts so that it can be carried."""

from __future__ import annotations

from cutting.answer.plan import Order
from shared.view.terms import idle_words, yard_cuts_view
from shared.writers.xlsx.cells import Cell, Column, Formula, Leaf, Text
from shared.writers.xlsx.frame import Frame, total_of

__all__ = ["extra_charges", "orders"]

_ORDERS = "Orders"


def extra_charges(frame: Frame) -> str:
    """Return, for use in a formula, what is paid beyond the sticks: cutting, delivery, trips, tax."""
    last = len(frame.plan.orders) + 1
    return f"SUM('{_ORDERS}'!$G$2:$J${last})"


def orders(frame: Frame) -> tuple[Leaf, ...]:
    """Return the sheets of a plan with orders; none where there are no orders."""
    if not frame.plan.orders:
        return ()
    return (_orders(frame), _cuts(frame)) if any(cut.marks for cut in frame.plan.cuts) else (_orders(frame),)


def _orders(frame: Frame) -> Leaf:
    count = len(frame.plan.orders)
    money = tuple(
        Column(head=f"{what} {frame.money}".strip(), wide=13, form=frame.money_form)
        for what in ("sticks", "cutting", "delivery", "trips", "tax", "together")
    )
    total: list[Cell] = [Text("together"), *[None] * (11 if frame.plan.idle else 10)]
    if frame.money:
        total[5:11] = [total_of(column, count) for column in "FGHIJK"]
    return Leaf(
        name=_ORDERS,
        columns=(
            Column(head="yard", wide=24),
            Column(head="comes home", wide=12),
            Column(head="trips", wide=8, form="0"),
            Column(head="cuts", wide=8, form="0"),
            Column(head=f"weight {frame.weight_unit}", wide=12, form="#,##0.0"),
            *money,
            *([Column(head="stays whole", wide=60)] if frame.plan.idle else []),
        ),
        rows=tuple(_order(frame, at, order) for at, order in enumerate(frame.plan.orders, start=2)),
        total=tuple(total),
    )


def _order(frame: Frame, at: int, order: Order) -> tuple[Cell, ...]:
    whole: list[Cell] = [Text(idle_words(frame.job, each)) for each in frame.plan.idle if each.yard == order.yard]
    return (
        Text(order.yard or "the yard"),
        Text(order.transport.value),
        order.trips,
        order.cuts,
        frame.weight(order.weight),
        order.material,
        order.cutting,
        order.delivery,
        order.collecting,
        order.tax,
        Formula(text=f"=SUM(F{at}:J{at})") if order.total is not None else None,
        *(whole or ([None] if frame.plan.idle else [])),
    )


def _cuts(frame: Frame) -> Leaf:
    found = yard_cuts_view(frame.job, frame.plan)
    return Leaf(
        name="Yard cuts",
        columns=(
            Column(head="yard", wide=24),
            Column(head="sticks", wide=48),
            Column(head="quantity", wide=10, form="0"),
            Column(head="marks from one end", wide=28),
            Column(head="pieces carried home", wide=60),
        ),
        rows=tuple(
            (
                Text(cut.yard),
                Text(cut.what),
                cut.quantity,
                Text(", ".join(cut.marks)),
                Text("; ".join(piece.words for piece in cut.pieces)),
            )
            for cut in found
        ),
    )
