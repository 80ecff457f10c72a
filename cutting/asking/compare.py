"""What each choice is worth: the same job with each yard alone, without the rack, without yard cuts, and so on.

Every row is solved and proven by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from cutting.answer.plan import Plan, Result, Status
from cutting.question.job import Job, Source, Stick
from cutting.question.variants import as_drawn, only_sticks, without_yard_cuts
from cutting.search.known import Hints
from cutting.solve import solve

__all__ = ["Case", "Comparison", "Row", "Way", "compare", "row_of", "ways_of"]


class Case(StrEnum):
    """What a row leaves out."""

    ALL = "all"
    """Nothing: the job as it is."""
    YARD = "yard"
    """All yards but one."""
    NO_RACK = "no rack"
    """Every rack piece."""
    NO_CUTS = "no yard cuts"
    NO_SUBSTITUTES = "no substitutes"
    MILL_LENGTH = "one mill length"
    """All sticks but those of one mill length; rack and own pieces stay."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One way to buy.

    Attributes
    ----------
    case : Case
        What is left out.
    name : str
        The one yard that is left, else empty.
    length : Fraction or None
        mm, the one mill length that is left, else None.
    status : Status
        How its solve ended.
    cost : Fraction or None
        In the objective's unit; None where no plan was found.
    lower_bound : Fraction
        No such plan costs less.
    delta : Fraction or None
        What it costs more than the first row's plan; None where either has none.
    plan : Plan or None
        The plan.
    reasons : tuple of str
        Why no plan exists, where that is so.
    """

    case: Case
    name: str = ""
    length: Fraction | None = None
    status: Status
    cost: Fraction | None
    lower_bound: Fraction
    delta: Fraction | None
    plan: Plan | None
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Comparison:
    """All ways side by side.

    Attributes
    ----------
    rows : tuple of Row
        The job as it is, then every way that differs from it.
    result : Result
        All that is known of the job as it is.
    """

    rows: tuple[Row, ...]
    result: Result


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """One way to buy, not solved yet.

    Attributes
    ----------
    case : Case
        What is left out.
    job : Job
        The job without that.
    name : str
        The one yard that is left, else empty.
    length : Fraction or None
        mm, the one mill length that is left, else None.
    """

    case: Case
    job: Job
    name: str = ""
    length: Fraction | None = None


def compare(job: Job, limit: float = 10.0, seed: int = 0, cores: int | None = None) -> Comparison:
    """Solve a job in every way worth comparing.

    Parameters
    ----------
    job : Job
        The job.
    limit : float
        Seconds for each row.
    seed : int
        For every random choice.
    cores : int, optional
        Processes to use at most.

    Returns
    -------
    Comparison
        A row for the job as it is, for each yard alone, without the rack, without yard cuts, without substitutes and
        for each single mill length, where that asks something different.

    Raises
    ------
    JobError
        The job's own statements are wrong.
    """
    first, *others = ways_of(job)
    result = solve(first.job, limit=limit, seed=seed, cores=cores)
    base = row_of(first, result, None)
    # Every other way leaves something out: no plan of it is cheaper than all plans of the job as it is.
    known = Hints.of(result, least=result)
    answers = (solve(way.job, limit=limit, seed=seed, cores=cores, known=known) for way in others)
    rows = (row_of(way, answer, base) for way, answer in zip(others, answers, strict=True))
    return Comparison(rows=(base, *rows), result=result)


def row_of(way: Way, result: Result, first: Row | None) -> Row:
    """Return what solving a way has shown.

    Parameters
    ----------
    way : Way
        Which.
    result : Result
        What `cutting.solve.solve` says of its job.
    first : Row or None
        The row of the job as it is, that this one is compared with; None for that row itself.
    """
    cost = None if result.plan is None else result.plan.cost
    base = cost if first is None else first.cost
    return Row(
        case=way.case,
        name=way.name,
        length=way.length,
        status=result.status,
        cost=cost,
        lower_bound=result.proof.lower_bound,
        delta=None if cost is None or base is None else cost - base,
        plan=result.plan,
        reasons=result.proof.infeasible,
    )


def ways_of(job: Job) -> tuple[Way, ...]:
    """Return every way worth comparing: the job as it is, then each that asks something different."""
    return (Way(case=Case.ALL, job=job), *_others(job))


def _others(job: Job) -> Iterator[Way]:
    selling = [stick for stick in job.sticks if stick.source is not Source.OWN]
    yards = dict.fromkeys(stick.yard for stick in selling)
    if len(yards) > 1:
        order = [yard.name for yard in job.yards if yard.name in yards]
        for name in [*order, *(name for name in yards if name not in order)]:
            alone = only_sticks(job, _sold_by(name))
            yield Way(case=Case.YARD, name=name, job=alone)
    if any(stick.source is Source.RACK for stick in selling):
        yield Way(case=Case.NO_RACK, job=only_sticks(job, lambda stick: stick.source is not Source.RACK))
    if job.carry.longest is not None and any(yard.cuts is not None for yard in job.yards):
        yield Way(case=Case.NO_CUTS, job=without_yard_cuts(job))
    if any(part.substitutes for part in job.parts):
        yield Way(case=Case.NO_SUBSTITUTES, job=as_drawn(job))
    lengths = dict.fromkeys(stick.length for stick in selling if stick.source is Source.STICKS)
    for length in sorted(lengths) if len(lengths) > 1 else ():
        one = only_sticks(job, _of_length(length))
        yield Way(case=Case.MILL_LENGTH, length=length, job=one)


def _sold_by(name: str) -> Callable[[Stick], bool]:
    return lambda stick: stick.source is Source.OWN or stick.yard == name


def _of_length(length: Fraction) -> Callable[[Stick], bool]:
    return lambda stick: stick.source is not Source.STICKS or stick.length == length
