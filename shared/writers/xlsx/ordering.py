"""The sheets about yards: each order with its charges, and what a yard cuts so that it can be carried."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from cutting.answer.plan import Order, Transport
from cutting.question.money import minor_digits
from shared.view.terms import idle_words, yard_cuts_view
from shared.writers.xlsx.cells import Cell, Column, Formula, Leaf, Text
from shared.writers.xlsx.frame import BUY_LIST, Frame, total_of
from shared.writers.xlsx.terms import TERMS, yard_name

__all__ = ["extra_charges", "orders"]

_ORDERS = "Orders"
_TERMS: Final = (
    "delivery",
    "free from",
    "one trip",
    "smallest order",
    "tax",
    "on material",
    "on cuts",
    "on delivery",
    "one cut",
    "cuts free",
)


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
    rows = tuple(_order(frame, at, order) for at, order in enumerate(frame.plan.orders, start=2))
    money = tuple(
        Column(head=f"{what} {frame.money}".strip(), wide=13, form=frame.money_form)
        for what in ("sticks", "cutting", "delivery", "trips", "tax", "together")
    )
    total: list[Cell] = [Text("together"), *[None] * (12 if frame.plan.idle else 11)]
    if frame.money:
        total[5:11] = [total_of(column, rows) for column in "FGHIJK"]
    return Leaf(
        name=_ORDERS,
        columns=(
            Column(head="yard", wide=24),
            Column(head="comes home", wide=12),
            Column(head="trips", wide=8, form="0"),
            Column(head="cuts", wide=8, form="0"),
            Column(head=f"weight {frame.weight_unit}", wide=12, form="#,##0.0"),
            *money,
            Column(head="remark", wide=34),
            *([Column(head="stays whole", wide=60)] if frame.plan.idle else []),
        ),
        rows=rows,
        total=tuple(total),
    )


def _order(frame: Frame, at: int, order: Order) -> tuple[Cell, ...]:
    whole: list[Cell] = [Text(idle_words(frame.job, each)) for each in frame.plan.idle if each.yard == order.yard]
    return (
        Text(yard_name(order.yard)),
        Text(order.transport.value),
        order.trips,
        order.cuts,
        frame.weight(order.weight),
        *(_bill(frame, at, order) if order.total is not None else [None] * 7),
        *(whole or ([None] if frame.plan.idle else [])),
    )


def _bill(frame: Frame, at: int, order: Order) -> Iterator[Cell]:
    """Yield what the yard charges, each worked out from its terms and the buy list, and a remark."""
    last = len(frame.plan.buy) + 1
    bought = f"SUMPRODUCT(EXACT('{BUY_LIST}'!$M$2:$M${last},A{at})*'{BUY_LIST}'!$J$2:$J${last})"
    term = {name: f"'{TERMS}'!{column}{at}" for name, column in zip(_TERMS, "BCDEFGHIJK", strict=True)}
    taxed = f"F{at}*{term['on material']}+G{at}*{term['on cuts']}+H{at}*{term['on delivery']}"
    digits = minor_digits(frame.money)
    home = f'B{at}="{Transport.DELIVERED.value}"'
    free = f'AND({term["free from"]}<>"",F{at}>={term["free from"]})'
    formulas: list[tuple[str, Decimal | None]] = [
        (bought, order.material),
        (f"MAX(0,D{at}-{term['cuts free']})*{term['one cut']}", order.cutting),
        (f"IF({home},IF({free},0,{term['delivery']}),0)", order.delivery),
        (f"IF({home},0,C{at}*{term['one trip']})", order.collecting),
        # What binary sums lose must not turn half a cent down; see `Tax` for the rounding.
        (f"ROUND({term['tax']}*({taxed})+0.0000001,{digits})", order.tax),
        (f"SUM(F{at}:J{at})", order.total),
    ]
    for text, value in formulas:
        yield Formula(text=f"={text}", value=value or Decimal(0))
    below = "below the yard's smallest order"
    yield Formula(text=f'=IF(F{at}<{term["smallest order"]},"{below}","")', value="")


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
