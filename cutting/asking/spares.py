"""Which single part, if spoilt, could not be cut again from the drops of a plan, and what covering that costs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from cutting.answer.plan import Cut, Plan, Result, Status
from cutting.question.job import Job, Part
from cutting.question.variants import with_part
from cutting.solve import solve

__all__ = ["Spare", "spares"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Spare:
    """One line of the parts list and what happens if one of its pieces is spoilt.

    Attributes
    ----------
    mark : str
        Which line.
    covered : bool
        One piece can be cut again from a drop of the plan.
    stick : str or None
        The line of sticks that leaves the shortest such drop.
    cost : Fraction or None
        What the cheapest plan with one more piece costs more, in the objective's unit: 0 where covered; at most this
        much where not `certain`; None where unknown or where no such plan exists.
    certain : bool
        Whether that is proven.
    """

    mark: str
    covered: bool
    stick: str | None
    cost: Fraction | None
    certain: bool


def spares(job: Job, plan: Plan, limit: float = 10.0, seed: int = 0, cores: int | None = None) -> tuple[Spare, ...]:
    """Look at every line of the parts list.

    Parameters
    ----------
    job : Job
        The job.
    plan : Plan
        A plan for it, best the cheapest.
    limit : float
        Seconds for each line that isn't covered.
    seed : int
        For every random choice.
    cores : int, optional
        Processes to use at most.

    Returns
    -------
    tuple of Spare
        In the order of the job.
    """

    def ask(changed: Job) -> Result:
        return solve(changed, limit=limit, seed=seed, cores=cores)

    return tuple(_spare(job, plan, part, ask) for part in job.parts)


def _spare(job: Job, plan: Plan, part: Part, ask: Callable[[Job], Result]) -> Spare:
    holding = _holding(plan, part)
    if holding is not None:
        return Spare(mark=part.mark, covered=True, stick=holding.stick, cost=Fraction(0), certain=True)
    result = ask(with_part(job, replace(part, quantity=part.quantity + 1)))
    return Spare(
        mark=part.mark,
        covered=False,
        stick=None,
        cost=None if result.plan is None else max(Fraction(0), result.plan.cost - plan.cost),
        certain=result.status in {Status.OPTIMAL, Status.INFEASIBLE},
    )


def _holding(plan: Plan, part: Part) -> Cut | None:
    """Find the shortest drop, of the section that the part is cut from, that holds one piece.

    A drop's stated length leaves out the raw tail, and its other end is sawn. A part with angled ends is taken by its
    length between long points or more, which never promises too much.
    """
    section = next(cut.section for cut in plan.cuts if any(piece.mark == part.mark for piece in cut.pieces))
    need = _length(plan, part)
    drops = [(drop, cut) for cut in plan.cuts if cut.section.key == section.key for drop in cut.drops if drop >= need]
    return min(drops, key=lambda entry: entry[0])[1] if drops else None


def _length(plan: Plan, part: Part) -> Fraction:
    lies = [piece.lie for cut in plan.cuts for piece in cut.pieces if piece.mark == part.mark and piece.lie is not None]
    return max([part.length, *(max(lie.lengths) for lie in lies)])
