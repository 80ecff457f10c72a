"""Answers on their way: news of a search, a kept plan read back, amounts in words."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Objective, Proof, Report, Rests, Result, Status
from cutting.buying.objective import objective_of
from cutting.question.job import Job
from cutting.question.lengths import parse_length
from cutting.solve import Progress
from shared.files.plan import PlanFile, read_plan
from shared.wording.amounts import bound_text, cost_text
from shared.wording.sentences import worth_text

__all__ = ["BestSoFar", "ProgressNews", "news_of", "result_of_plan"]


@dataclass(frozen=True, kw_only=True, slots=True)
class ProgressNews:
    """How far a search is, ready to be sent.

    Attributes
    ----------
    objective : str
        ``money``, ``length`` or ``weight``.
    incumbent, lower_bound, gap : str or None
        As a plan file writes them.
    shown_incumbent, shown_gap : str
        With their units, empty where there is no plan yet.
    seconds : float
        Since the search began.
    closed : float or None
        How much of the best plan's cost is proven to be needed, from 0 to 1; None where there is no plan yet.
    """

    objective: str
    incumbent: str | None
    lower_bound: str
    gap: str | None
    shown_incumbent: str
    shown_gap: str
    seconds: float
    closed: float | None


@dataclass(frozen=True, kw_only=True, slots=True)
class BestSoFar:
    """A plan that can be read while the search for a better one goes on.

    Attributes
    ----------
    document : bytes
        The plan file.
    seconds : float
        Time the engine has taken so far.
    status : Status
        What it says of the job.
    """

    document: bytes
    seconds: float
    status: Status

    @property
    def proven(self) -> bool:
        """Whether nothing more can be found out."""
        return self.status in {Status.OPTIMAL, Status.INFEASIBLE}

    @property
    def planned(self) -> bool:
        """Whether there is a plan in it."""
        return self.status in {Status.OPTIMAL, Status.FEASIBLE}


def news_of(job: Job, progress: Progress, seconds: float) -> ProgressNews:
    """Write down how far a search is."""
    objective = objective_of(job)
    best = progress.incumbent
    gap = None if best is None else max(best - progress.lower_bound, Fraction(0))
    return ProgressNews(
        objective=objective.value,
        incumbent=None if best is None else cost_text(job, objective, best),
        lower_bound=bound_text(job, objective, progress.lower_bound),
        gap=None if gap is None else cost_text(job, objective, gap),
        shown_incumbent="" if best is None else worth_text(job, best),
        shown_gap="" if gap is None else worth_text(job, gap),
        seconds=seconds,
        closed=None if not best or best < 0 else float(min(Fraction(1), max(Fraction(0), progress.lower_bound / best))),
    )


def result_of_plan(job: Job, document: bytes, seconds: float) -> Result:
    """Read a kept plan back.

    Parameters
    ----------
    job : Job
        The job it answers.
    document : bytes
        What `shared.files.plan.write_plan` wrote for it.
    seconds : float
        Time the engine took.

    Returns
    -------
    Result
        As `solve` gave it; its report has no sections.

    Raises
    ------
    ValueError
        The store's plan doesn't belong to the job: a defect of ours.
    """
    stated, problems = read_plan(document, job)
    if stated is None:
        raise ValueError("; ".join(f"{problem.where}: {problem.message}" for problem in problems))
    file = stated.file
    plan = stated.plan
    bound = Fraction(0) if file.lower_bound is None else _worth(job, file, file.lower_bound)
    if plan is not None and Status(file.status) is Status.OPTIMAL:
        bound = plan.cost  # a weight is written to the gram: what was proven of the exact one holds for it
    return Result(
        plan=plan,
        proof=Proof(lower_bound=bound, rests=Rests(file.rests), infeasible=file.why),
        report=Report(seconds=seconds, sections=(), seed=0),
    )


def _worth(job: Job, file: PlanFile, text: str) -> Fraction:
    """Read an amount that a plan file states in terms of its objective."""
    if Objective(file.objective) is Objective.LENGTH:
        return parse_length(text, job.unit)
    return Fraction(Decimal(text))
