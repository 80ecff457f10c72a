"""The front door of the engine: one job in, one checked answer out."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from cutting.answer.plan import Plan, Proof, Report, Rests, Result, SectionReport, Status
from cutting.buying.market.model import Market, model_market
from cutting.buying.market.portions import Portion, portions
from cutting.checking.check import check
from cutting.fit.angled.model import has_angles
from cutting.fit.clock import Clock
from cutting.laying.market.assemble import assemble
from cutting.question.errors import JobError, PlanRejectedError
from cutting.question.feasible import input_problems
from cutting.question.job import Job
from cutting.search.market.loop import Choice, by_hand, joined
from cutting.search.market.reasons import hopeless, refused
from cutting.search.market.task import Answer, Task
from cutting.search.workers import solve_tasks

__all__ = ["Progress", "solve"]

MARGIN = 0.05  # seconds kept back for putting the plan together and checking it
HEARTBEAT = 0.1  # seconds without news after which the caller is asked again whether to go on


@dataclass(frozen=True, kw_only=True, slots=True)
class Progress:
    """How far a solve has come.

    Attributes
    ----------
    incumbent : Fraction or None
        Cost of the best plan so far, in the objective's unit; None where a section has none yet.
    lower_bound : Fraction
        No plan costs less.
    seconds : float
        Since the start.
    """

    incumbent: Fraction | None
    lower_bound: Fraction
    seconds: float


ProgressCallback = Callable[[Progress], bool | None]


def solve(
    job: Job,
    limit: float = 10.0,
    seed: int = 0,
    progress: ProgressCallback | None = None,
    cores: int | None = None,
) -> Result:
    """Find the cheapest purchase for a job and how to cut it, with the proof.

    Parameters
    ----------
    job : Job
        What to cut from what.
    limit : float
        Seconds; the best plan so far is returned when they are over.
    seed : int
        For every random choice; the same job, seed and versions give the same plan wherever the proof closes in time.
    progress : callable, optional
        Hears a `Progress` whenever the plan or the bound improves, and now and then between, from one thread at a
        time; returning True cancels, and the best plan so far is returned.
    cores : int, optional
        Processes to use at most; all of the machine's by default.

    Returns
    -------
    Result
        Plan, proof and report. Every plan has passed the checker.

    Raises
    ------
    JobError
        The job's own statements are wrong; every problem is in it.
    ValueError
        A limit that is no positive number of seconds.
    """
    if not limit > 0:
        raise ValueError(f"the time limit must be above 0 seconds, not {limit}")
    problems = input_problems(job)
    if problems:
        raise JobError(problems)
    run = _Run(job, limit, seed, progress, cores or os.cpu_count() or 1)
    return run.result()


class _Run:
    """One solve on its way."""

    def __init__(self, job: Job, limit: float, seed: int, progress: ProgressCallback | None, cores: int) -> None:
        self.job = job
        self.seed = seed
        self.cores = cores
        self.progress = progress
        self.cancelled = False
        self.clock = Clock(max(limit - MARGIN, limit / 2), self._is_cancelled)
        self.limit = limit
        self._lock = threading.Lock()
        self._last: Progress | None = None

    def tell(self, progress: Progress) -> None:
        """Pass news on to the caller, one thread at a time, and hear whether to stop."""
        if self.progress is None:
            return
        with self._lock:
            self._last = progress
            if self.progress(progress):
                self.cancelled = True

    def _is_cancelled(self) -> bool:
        """Whether the caller wants no more: it is asked again with the last news where there are no new ones."""
        last = self._last
        if not self.cancelled and last is not None and self.clock.elapsed - last.seconds > HEARTBEAT:
            self.tell(replace(last, seconds=self.clock.elapsed))
        return self.cancelled

    def result(self) -> Result:
        """Solve every portion and put the answers together."""
        market = model_market(self.job)
        reasons = hopeless(self.job, market)
        if reasons:
            return self._impossible(reasons)
        parts = portions(market, priced=self.job.currency is not None)
        answers = self._solve(parts)
        reasons = tuple(
            refused(self.job, part.market) for part, a in zip(parts, answers, strict=True) if a.found.bound is None
        )
        reports = [each for part, answer in zip(parts, answers, strict=True) for each in _reports(part, answer)]
        bound = sum((p.market.unit * (a.found.bound or 0) for p, a in zip(parts, answers, strict=True)), Fraction(0))
        floating = any(answer.found.rests is Rests.FLOATING for answer in answers)
        return Result(
            plan=None if reasons else self._plan(market, parts, answers),
            proof=Proof(
                lower_bound=bound, rests=Rests.FLOATING if floating else Rests.EXACT, infeasible=tuple(reasons)
            ),
            report=Report(
                seconds=self.clock.elapsed,
                sections=tuple(report for _, report in sorted(reports, key=lambda entry: entry[0])),
                seed=self.seed,
            ),
        )

    def _solve(self, parts: Sequence[Portion]) -> list[Answer]:
        tasks = self._tasks(parts)
        news = _News(self, parts)
        answers = solve_tasks(tasks, clock=self.clock, cores=self.cores, report=news.hear)
        again = [n for n, answer in enumerate(answers) if not answer.found.closed]
        if again and len(tasks) > 1 and not self.clock.over():
            second = solve_tasks(
                [tasks[n] for n in again],
                clock=self.clock,
                cores=self.cores,
                report=lambda n, cost, bound: news.hear(again[n], cost, bound),
            )
            for number, answer in zip(again, second, strict=True):
                answers[number] = _better(answers[number], answer)
        return answers

    def _tasks(self, parts: Sequence[Portion]) -> list[Task]:
        """Return a task for each portion; where leftovers are worth something, with the same portion by money alone."""
        alone: dict[tuple[int, ...], Market] = {}
        if self.job.keep_value is not None:
            by_money = model_market(replace(self.job, keep_value=None))
            alone = {part.sections: part.market for part in portions(by_money, priced=True)}
        return [
            Task(
                market=part.market,
                money=alone.get(part.sections) if any(any(room.takes) for room in part.market.rooms) else None,
                seed=self.seed,
                limit=self.limit,
            )
            for part in parts
        ]

    def _impossible(self, reasons: tuple[str, ...]) -> Result:
        return Result(
            plan=None,
            proof=Proof(lower_bound=Fraction(0), infeasible=reasons),
            report=Report(seconds=self.clock.elapsed, sections=(), seed=self.seed),
        )

    def _plan(self, market: Market, parts: Sequence[Portion], answers: Sequence[Answer]) -> Plan | None:
        found = [(part, each.found.choice) for part, each in zip(parts, answers, strict=True) if each.found.choice]
        if len(found) < len(parts):
            return None
        choice = joined(market, found)
        plan = assemble(self.job, market, choice)
        if plan.changes or has_angles(self.job.parts):
            known = [(part, own, a.found.closed) for (part, own), a in zip(found, answers, strict=True)]
            plan = self._with_savings(plan, market, choice, known)
        faults = check(self.job, plan)
        if faults:
            raise PlanRejectedError(faults)
        return plan

    def _with_savings(
        self, plan: Plan, market: Market, choice: Choice, found: Sequence[tuple[Portion, Choice, bool]]
    ) -> Plan:
        """Say what shared cuts and substitutes save; `found` is each portion, its plan, and whether that is proven."""
        from cutting.search.market.against import Against, Solved  # noqa: PLC0415 - only where a plan has any of these

        solved = [Solved(portion=p, cost=p.market.unit * own.cost, proven=proven) for p, own, proven in found]
        against = Against(self.job, market, solved, choice, clock=self.clock, seed=self.seed)
        return replace(
            plan,
            sharing=against.sharing(plan.cuts),
            changes=tuple(against.change(change, len(plan.changes)) for change in plan.changes),
        )


class _News:
    """Adds up what the portions report."""

    def __init__(self, run: _Run, parts: Sequence[Portion]) -> None:
        self._run = run
        self._units = [part.market.unit for part in parts]
        self._costs: list[int | None] = [None] * len(parts)
        self._bounds: list[int] = [0] * len(parts)
        if run.progress is not None and len(parts) > 1:
            for number, part in enumerate(parts):
                self._costs[number] = by_hand(part.market, run.clock)
            self._tell()

    def hear(self, number: int, cost: int | None, bound: int | None) -> None:
        """Take one portion's news and pass on the sum."""
        known = self._costs[number]
        if cost is not None and (known is None or cost < known):
            self._costs[number] = cost
        self._bounds[number] = max(self._bounds[number], bound or 0)
        self._tell()

    def _tell(self) -> None:
        if self._run.progress is None:
            return
        known = [unit * cost for unit, cost in zip(self._units, self._costs, strict=True) if cost is not None]
        bound = sum((unit * b for unit, b in zip(self._units, self._bounds, strict=True)), Fraction(0))
        incumbent = sum(known, Fraction(0)) if len(known) == len(self._units) else None
        self._run.tell(Progress(incumbent=incumbent, lower_bound=bound, seconds=self._run.clock.elapsed))


def _better(first: Answer, second: Answer) -> Answer:
    """Join two answers to the same task: the cheaper plan and the higher bound."""
    one, two = first.found, second.found
    higher = one if two.bound is not None and one.bound is not None and one.bound >= two.bound else two
    choices = [each.choice for each in (one, two) if each.choice is not None]
    choice = min(choices, key=lambda choice: choice.cost, default=None)
    found = replace(two, choice=choice, bound=higher.bound, rests=higher.rests)
    return Answer(found=found, seconds=first.seconds + second.seconds)


def _reports(part: Portion, answer: Answer) -> list[tuple[int, SectionReport]]:
    """Return (number of the section, its report); cost and bound where no rule joins it to others."""
    found, market = answer.found, part.market
    if found.bound is None:
        status = Status.INFEASIBLE
    elif found.choice is None:
        status = Status.UNKNOWN
    else:
        status = Status.OPTIMAL if found.closed else Status.FEASIBLE
    alone = len(market.sections) == 1
    cost = None if found.choice is None else market.unit * found.choice.cost
    bound = None if found.bound is None else market.unit * found.bound
    reports = []
    for number, rooms in zip(part.sections, market.sections, strict=True):
        work = [found.work[room] for room in rooms]
        report = SectionReport(
            section=market.rooms[rooms[0]].section,
            status=status,
            cost=cost if alone else None,
            lower_bound=bound if alone else None,
            seconds=answer.seconds,
            proposals=found.proposals,
            lp_solves=sum(each.lp_solves for each in work),
            dives=sum(each.dives for each in work),
            nodes=sum(each.nodes for each in work),
        )
        reports.append((number, report))
    return reports
