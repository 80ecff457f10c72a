"""From the sections' loads to the plan of the whole job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from cutting.answer.load import Load
from cutting.answer.plan import Buy, Plan
from cutting.buying.model import SectionModel, objective_of, price_table
from cutting.laying.layouts import lay_out
from cutting.question.job import Job, Stick
from cutting.question.prices import stick_prices

__all__ = ["assemble", "bought"]


def assemble(job: Job, models: Sequence[SectionModel], loads: Sequence[Sequence[Load]]) -> Plan:
    """Lay out every section's loads and add up what to buy.

    Parameters
    ----------
    job : Job
        The job.
    models : sequence of SectionModel
        Its sections.
    loads : sequence of sequence of Load
        For each section its loads.
    """
    cuts = tuple(cut for model, some in zip(models, loads, strict=True) for cut in lay_out(job, model, some))
    taken = Counter[str]()
    for cut in cuts:
        taken[cut.stick] += cut.quantity
    prices = stick_prices(job)
    costs = price_table(job)
    return Plan(
        objective=objective_of(job),
        cost=sum((costs[stick] * quantity for stick, quantity in taken.items()), Fraction(0)),
        buy=tuple(bought(stick, taken[stick.id], prices[stick.id]) for stick in job.sticks if taken[stick.id]),
        cuts=cuts,
    )


def bought(stick: Stick, quantity: int, price: Decimal | None) -> Buy:
    """Return the line of the buy list for so many sticks at this price for one."""
    return Buy(
        stick=stick.id,
        section=stick.section,
        length=stick.length,
        source=stick.source,
        quantity=quantity,
        price=price,
        cost=None if price is None else price * quantity,
    )
