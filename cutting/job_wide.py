"""One solve of a job with yards: from the job to the checked result."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from cutting.answer.plan import Change, Plan, Proof, Report, Result, SectionReport, Status
from cutting.buying.market.model import Market, model_market
from cutting.checking.check import check
from cutting.fit.clock import Clock
from cutting.laying.market.assemble import assemble_market
from cutting.question.errors import PlanRejectedError
from cutting.question.job import Job
from cutting.question.variants import as_drawn
from cutting.search.market.loop import MarketAnswer, MarketSearch
from cutting.search.market.reasons import hopeless, refused
from cutting.search.market.ties import easier

__all__ = ["solve_market"]

FIRST_SHARE = 1 / 2  # of the time for the money alone, where leftovers are worth something
Heard = Callable[[Fraction | None, Fraction], None]


def solve_market(job: Job, *, seed: int, clock: Clock, heard: Heard) -> Result:
    """Search, break ties for the person, put the plan together and check it.

    Parameters
    ----------
    job : Job
        Without input problems.
    seed : int
        For every random choice.
    clock : Clock
        Ends the search.
    heard : callable
        Hears (cost of the best plan, bound) in the objective's unit whenever one of them improves.
    """
    market = model_market(job)
    reasons = hopeless(job, market)
    if reasons:
        return _result(None, Proof(lower_bound=Fraction(0), infeasible=reasons), clock, seed)
    unit = market.unit

    def report(cost: int | None, bound: int | None) -> None:
        heard(None if cost is None else unit * cost, unit * (bound or 0))

    search = MarketSearch(market, seed=seed, clock=clock, report=report)
    if job.keep_value is not None:
        _begin_with_money(job, search, seed, clock)
    answer = search.run()
    if answer.bound is None:
        return _result(None, Proof(lower_bound=Fraction(0), infeasible=refused(job, market)), clock, seed)
    plan = None
    if answer.choice is not None:
        plan = assemble_market(job, market, easier(search, answer.choice))
        proven = answer.bound >= answer.choice.cost
        saving = _Saving(job, plan, proven=proven, seed=seed, clock=clock)
        plan = replace(plan, changes=tuple(map(saving.of, plan.changes)))
        faults = check(job, plan)
        if faults:
            raise PlanRejectedError(faults)
    proof = Proof(lower_bound=unit * answer.bound, rests=answer.rests)
    return _result(plan, proof, clock, seed, _reports(market, search, answer, clock))


def _begin_with_money(job: Job, search: MarketSearch, seed: int, clock: Clock) -> None:
    """Find a good plan by the money alone first: that is quick, and leftovers change little."""
    market = model_market(replace(job, keep_value=None))
    share = Clock(clock.left() * FIRST_SHARE, clock.over)
    choice = MarketSearch(market, seed=seed, clock=share, report=lambda _cost, _bound: None).run().choice
    if choice is not None:
        search.begin_with(market, choice)


class _Saving:
    """Says what each change of section saves, by solving without it for as long as there is time."""

    def __init__(self, job: Job, plan: Plan, *, proven: bool, seed: int, clock: Clock) -> None:
        self.job = job
        self.plan = plan
        self.proven = proven
        self.seed = seed
        self.clock = clock

    def of(self, change: Change) -> Change:
        """Return the change with what it saves."""
        if self.clock.over():
            return change
        market = model_market(as_drawn(self.job, change.mark))
        if hopeless(self.job, market):
            return replace(change, certain=True, possible=False)
        share = Clock(self.clock.left() / len(self.plan.changes), self.clock.over)
        other = MarketSearch(market, seed=self.seed, clock=share, report=lambda _cost, _bound: None).run()
        if other.bound is None:
            return replace(change, certain=True, possible=False)
        least = market.unit * other.bound - self.plan.cost
        closed = other.choice is not None and other.bound >= other.choice.cost
        known = closed or least > 0
        return replace(change, saved=max(Fraction(0), least) if known else None, certain=closed and self.proven)


def _result(
    plan: Plan | None, proof: Proof, clock: Clock, seed: int, sections: tuple[SectionReport, ...] = ()
) -> Result:
    report = Report(seconds=clock.elapsed, sections=sections, seed=seed)
    return Result(plan=plan, proof=proof, report=report)


def _reports(market: Market, search: MarketSearch, answer: MarketAnswer, clock: Clock) -> tuple[SectionReport, ...]:
    """Work by section; cost and bound are the whole job's alone, since fees can't be told apart by section."""
    if answer.choice is None:
        status = Status.UNKNOWN
    else:
        proven = answer.bound is not None and answer.bound >= answer.choice.cost
        status = Status.OPTIMAL if proven else Status.FEASIBLE
    return tuple(
        SectionReport(
            section=room.section,
            status=status,
            cost=None,
            lower_bound=None,
            seconds=clock.elapsed,
            proposals=answer.proposals,
            lp_solves=bench.work.lp_solves,
            dives=bench.work.dives,
            nodes=bench.work.nodes,
        )
        for room, bench in zip(market.rooms, search.benches, strict=True)
    )
