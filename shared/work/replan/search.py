"""The search behind a replan: the least extra cost with everything laid out anew, then layouts kept at that cost."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Objective, Plan, Proof, Report, Result, SectionReport, Status
from cutting.checking.check import check
from cutting.fit.clock import Clock
from cutting.question.errors import PlanRejectedError
from cutting.question.job import Job
from shared.work.replan.ask import Answer, Asking, Pins
from shared.work.replan.joining import joined
from shared.work.replan.keep import keep_most
from shared.work.replan.remains import Remains
from shared.work.replan.standing import Judged, Standing

__all__ = ["Found", "search"]

_FIRST_SHARE: Final = 0.35  # of the time for planning with every layout kept
_LEAST_SHARE: Final = 0.6  # of what is then left for the proof of the least cost
_NOTHING: Final = Fraction(0)
_NEVER_LESS: Final = Proof(lower_bound=_NOTHING)


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """What a search ends with.

    Attributes
    ----------
    kept : tuple of Judged
        Layouts that are sawn as they are printed.
    together : tuple of Judged
        Layouts printed anew, the same parts on the same stick.
    job : Job or None
        What is planned new.
    result : Result or None
        Its plan, `together` included.
    objective : Objective
        What was minimised.
    cost : Fraction or None
        Its value, kept layouts included; None without a plan.
    proof : Proof
        What no plan for all that is left falls below.
    reasons : tuple of str
        Why there is no plan.
    """

    kept: Pins
    together: Pins
    job: Job | None
    result: Result | None
    objective: Objective
    cost: Fraction | None
    proof: Proof
    reasons: tuple[str, ...] = ()


def search(remains: Remains, *, clock: Clock, seed: int, cores: int | None) -> Found:
    """Plan with every layout kept; prove the least cost; where the first costs more, give layouts up for it.

    Parameters
    ----------
    remains : Remains
        What is left to do.
    clock : Clock
        Ends the search.
    seed : int
        For every random choice.
    cores : int or None
        Processes to use at most.
    """
    asking = Asking(remains, clock=clock, seed=seed, cores=cores)
    if not asking.missing:
        return _nothing_missing(asking)
    first = asking.ask(asking.pins, clock.left() * _FIRST_SHARE)
    if first.value == 0 and remains.job.keep_value is None:
        return _found(asking, first, _NEVER_LESS)  # without a worth of drops nothing costs less than nothing
    least = asking.ask((), clock.left() * _LEAST_SHARE) if asking.concerned(asking.pins) else first
    values = [answer.value for answer in (first, least) if answer.value is not None]
    if not values:
        return _impossible(asking, first, least)
    if first.value is None or first.value > min(values):
        keep_most(asking, first, least, min(values))
    # A layout that stands may count on an end that is trimmed less than a blade is wide, which no plan anew does.
    proof = _NEVER_LESS if least.result.proof.infeasible else least.result.proof
    return _found(asking, asking.best(), proof)


def _nothing_missing(asking: Asking) -> Found:
    """Every part is made or on a layout that stands: nothing is bought, and nothing costs less money."""
    together = _reprinted(asking.pins)
    job, result = None, None
    if together:
        bare = asking.remains.with_bars((), ())
        job, plan = joined(asking.remains, bare, None, [asking.relaid[pin.slot.id] for pin in together])
        result = _checked(asking, job, plan, _NEVER_LESS)
    return Found(
        kept=_kept(asking.pins),
        together=together,
        job=job,
        result=result,
        objective=asking.objective,
        cost=_NOTHING,
        proof=_NEVER_LESS,
    )


def _found(asking: Asking, answer: Answer, proof: Proof) -> Found:
    kept, together = _kept(answer.pins), _reprinted(answer.pins)
    laid = [asking.relaid[pin.slot.id] for pin in together]
    job, plan = joined(asking.remains, answer.job, answer.plan, laid)
    bound = proof.lower_bound - asking.worth(kept)
    if plan is not None and plan.objective is not asking.objective:
        bound = _NOTHING if together else answer.result.proof.lower_bound
    return Found(
        kept=kept,
        together=together,
        job=job,
        result=_checked(asking, job, plan, replace(proof, lower_bound=bound), answer.result.report.sections),
        objective=asking.objective,
        cost=answer.value,
        proof=proof,
    )


def _checked(
    asking: Asking, job: Job, plan: Plan | None, proof: Proof, sections: tuple[SectionReport, ...] = ()
) -> Result:
    faults = () if plan is None else check(job, plan)
    if faults:
        raise PlanRejectedError(faults)
    report = Report(seconds=asking.clock.elapsed, sections=sections, seed=asking.seed)
    return Result(plan=plan, proof=proof, report=report)


def _impossible(asking: Asking, first: Answer, least: Answer) -> Found:
    proof = least.result.proof
    unknown = "No plan was found in the time given, and none is ruled out: allow more time."
    return Found(
        kept=_kept(first.pins),
        together=(),
        job=least.job,
        result=least.result,
        objective=asking.objective,
        cost=None,
        proof=proof,
        reasons=proof.infeasible if least.result.status is Status.INFEASIBLE else (unknown,),
    )


def _kept(pins: Iterable[Judged]) -> Pins:
    return tuple(pin for pin in pins if pin.standing is Standing.STAYS)


def _reprinted(pins: Iterable[Judged]) -> Pins:
    return tuple(pin for pin in pins if pin.standing is Standing.REPRINT)
