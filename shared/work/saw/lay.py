"""From a job and its plan to the single sticks that are to be sawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from cutting.answer.plan import Cut, Plan
from cutting.question.job import Job, Part, Stick
from shared.work.carried import as_carried, whole_sticks

__all__ = ["Laid", "lay"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Laid:
    """One stick to be sawn, before it has its steel; fields as in `shared.work.saw.work.Slot`."""

    number: int
    copy: int
    cut: Cut
    stick: Stick
    parts: tuple[Part, ...]


def lay(job: Job, plan: Plan, first: int = 1) -> tuple[Laid, ...]:
    """Set every stick of a plan apart.

    Parameters
    ----------
    job : Job
        The question.
    plan : Plan
        Its answer.
    first : int
        Number of the first layout.

    Returns
    -------
    tuple of Laid
        In the order of the cut sheet, numbered as there; pieces that a yard cut and that no part is cut from last, then
        sticks that stay whole.
    """
    taken, carried = as_carried(job, plan, empty=True)
    return tuple(_laid(taken, replace(carried, cuts=(*carried.cuts, *whole_sticks(job, plan))), first))


def _laid(job: Job, plan: Plan, first: int) -> Iterator[Laid]:
    sticks = {stick.id: stick for stick in job.sticks}
    parts = {part.mark: part for part in job.parts}
    for number, cut in enumerate(plan.cuts, start=first):
        for copy in range(1, cut.quantity + 1):
            yield Laid(
                number=number,
                copy=copy,
                cut=replace(cut, quantity=1),
                stick=sticks[cut.stick],
                parts=tuple(parts[piece.mark] for piece in cut.pieces),
            )
