"""The checker's rule for what further layouts cost; written from the agreed rule alone.

Sticks of one section that yield equal parts (by length and ends as the job states them) share a layout. Every one after
the first of the plan costs the same; no yard is paid for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Plan
from cutting.checking.prices import cents
from cutting.question.job import Ends, Job, Part

__all__ = ["layout_faults", "layouts_due"]


def layouts_due(job: Job, plan: Plan) -> Decimal | None:
    """Work out what a plan's further layouts cost; None where the job says nothing of it."""
    if job.currency is None or not job.layout_cost:
        return None
    parts = {part.mark: part for part in job.parts}
    yields = {
        (cut.section.key, frozenset(_counted([parts[piece.mark] for piece in cut.pieces if piece.mark in parts])))
        for cut in plan.cuts
    }
    return cents(job.currency, Fraction(job.layout_cost)) * max(0, len(yields) - 1)


def _counted(parts: list[Part]) -> Iterator[tuple[Fraction, Ends | None, int]]:
    """Each sort of part with how many there are of it."""
    sorts = [(part.length, part.ends if part.ends is not None and any(part.ends.angles) else None) for part in parts]
    for length, ends in sorts:
        yield length, ends, sorts.count((length, ends))


def layout_faults(job: Job, plan: Plan) -> Iterator[str]:
    """What the plan says further layouts cost."""
    due = layouts_due(job, plan)
    if plan.layouts != due:
        yield f"Further layouts cost {due}, not {plan.layouts}."
