"""The sheets that the money follows: prices by quantity, and each yard's terms. Change a cell, and all sums follow."""

from __future__ import annotations

from cutting.question.job import Source
from cutting.question.prices import price_steps
from cutting.question.yards import Charge, Yard
from shared.writers.xlsx.cells import Cell, Column, Leaf, Text
from shared.writers.xlsx.frame import Frame

__all__ = ["STEPS", "TERMS", "price_leaves", "step_rows", "yard_name", "yard_terms"]

STEPS, TERMS = "Prices by quantity", "Terms"


def yard_name(yard: str) -> str:
    """Name a yard, also one that has no name."""
    return yard or "the yard"


def _stepped(frame: Frame) -> list[tuple[str, tuple[tuple[int, Cell], ...]]]:
    """List the lines of the buy list whose price goes by quantity, each with what one costs from so many on."""
    if not frame.money:
        return []
    bought = {line.stick for line in frame.plan.buy if line.source is Source.STICKS}
    return [
        (stick, tuple(steps)) for stick, steps in price_steps(frame.job).items() if stick in bought and len(steps) > 1
    ]


def step_rows(frame: Frame) -> dict[str, range]:
    """Return for each line whose price goes by quantity the rows of its prices."""
    rows, at = {}, 2
    for stick, steps in _stepped(frame):
        rows[stick] = range(at, at + len(steps))
        at += len(steps)
    return rows


def price_leaves(frame: Frame) -> tuple[Leaf, ...]:
    """Return the sheets of prices and terms; none where there are no such."""
    if not frame.money:
        return ()
    found = []
    stepped = _stepped(frame)
    if stepped:
        found.append(
            Leaf(
                name=STEPS,
                columns=(
                    Column(head="line", wide=16),
                    Column(head="from", wide=10, form="0"),
                    Column(head=f"price each {frame.money}", wide=14, form=frame.money_form),
                ),
                rows=tuple((Text(stick), least, price) for stick, steps in stepped for least, price in steps),
            )
        )
    if frame.plan.orders:
        found.append(_terms(frame))
    return tuple(found)


def yard_terms(frame: Frame) -> tuple[Yard, ...]:
    """Return the terms of each order's yard, in the order of the orders."""
    known = {yard.name: yard for yard in frame.job.yards}
    return tuple(known.get(order.yard) or Yard(name=order.yard) for order in frame.plan.orders)


def _terms(frame: Frame) -> Leaf:
    def money(head: str) -> Column:
        return Column(head=f"{head} {frame.money}", wide=13, form=frame.money_form)

    return Leaf(
        name=TERMS,
        columns=(
            Column(head="yard", wide=24),
            money("delivery"),
            money("free from"),
            money("one trip"),
            money("smallest order"),
            Column(head="tax", wide=9, form="0.0##%"),
            Column(head="on material", wide=10, form="0"),
            Column(head="on cuts", wide=10, form="0"),
            Column(head="on delivery", wide=10, form="0"),
            money("one cut"),
            Column(head="cuts free", wide=10, form="0"),
        ),
        rows=tuple(_terms_row(yard) for yard in yard_terms(frame)),
    )


def _terms_row(yard: Yard) -> tuple[Cell, ...]:
    tax, cuts = yard.tax, yard.cuts
    on: tuple[Cell, ...] = tuple(int(charge in tax.on) if tax else 0 for charge in Charge)
    return (
        Text(yard_name(yard.name)),
        yard.delivery,
        yard.delivery_free_from,
        yard.collecting,
        yard.minimum,
        tax.rate if tax else 0,
        *on,
        cuts.charge if cuts else 0,
        cuts.free if cuts else 0,
    )
