"""The front door of the engine: one job in, one checked answer out."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from cutting.answer.plan import Plan, Proof, Report, Rests, Result, SectionReport, Status
from cutting.buying.market import Market
from cutting.buying.material import least_by_material
from cutting.buying.model import model_market
from cutting.buying.portions import Portion, portions
from cutting.checking.check import check
from cutting.fit.angled.model import has_angles
from cutting.fit.clock import Clock
from cutting.laying.assemble import assemble
from cutting.question.errors import JobError, PlanRejectedError
from cutting.question.feasible import input_problems
from cutting.question.job import Job
from cutting.search.choice import Choice, joined
from cutting.search.known import Hints, Offer, offer_of
from cutting.search.loop import by_hand
from cutting.search.processes.workers import solve_tasks
from cutting.search.reasons import reason_proven, reasons_at_once
from cutting.search.task import Answer, Task

__all__ = ["Progress", "Solving", "solve"]

MARGIN = 0.05  # seconds kept back for putting the plan together and checking it; beside them
FINISHING = 6  # times what it took to prepare the search: both go by the lines, and a busy machine stretches both,
SQUARE_MARGIN, ANGLED_MARGIN = 0.001, 0.012  # but no more seconds than these for each line of parts
HEARTBEAT = 0.1  # seconds without news after which the caller is asked again whether to go on


def _nothing() -> None:
    """Return no plan."""


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
    result : callable
        Lays the best plan so far out, checks it, and returns it with its bound; None where there is none yet. To be
        called while the progress is heard. What the plan's choices save isn't looked into.
    """

    incumbent: Fraction | None
    lower_bound: Fraction
    seconds: float
    result: Callable[[], Result | None] = field(default=_nothing, compare=False, repr=False)


ProgressCallback = Callable[[Progress], bool | None]


def solve(
    job: Job,
    limit: float = 10.0,
    seed: int = 0,
    progress: ProgressCallback | None = None,
    cores: int | None = None,
    *,
    known: Result | Hints | None = None,
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
    known : Result or Hints, optional
        An earlier answer to the same job: the search begins with its plan and bound, and never says less. Or what is
        known from jobs like it.

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
    return Solving(job, seed=seed, cores=cores, known=known).run(limit, progress)


class Solving:
    """A solve that can be taken up again: every run goes on with what the runs before found and proved.

    Parameters
    ----------
    job : Job
        What to cut from what.
    seed : int
        For every random choice.
    cores : int, optional
        Processes to use at most; all of the machine's by default.
    known : Result or Hints, optional
        An earlier answer to the same job, or what is known from jobs like it.

    Raises
    ------
    JobError
        The job's own statements are wrong; every problem is in it.
    """

    def __init__(
        self, job: Job, *, seed: int = 0, cores: int | None = None, known: Result | Hints | None = None
    ) -> None:
        self._preparing = Clock(0.0)
        self._prepared: float | None = None
        problems = input_problems(job)
        if problems:
            raise JobError(problems)
        self.job = job
        self.seed = seed
        self.cores = cores or os.cpu_count() or 1
        self.known = Hints.of(known, least=known) if isinstance(known, Result) else known or Hints()
        self.answers: list[Answer] | None = None
        self.seconds = 0.0

    @cached_property
    def market(self) -> Market:
        """The job in whole numbers."""
        return model_market(self.job)

    @cached_property
    def parts(self) -> tuple[Portion, ...]:
        """The portions that have nothing to do with each other."""
        return portions(self.market, priced=self.job.currency is not None)

    @cached_property
    def least(self) -> Fraction:
        """No plan costs less: what was proven before, or what the material alone says."""
        least = least_by_material(self.job)
        return least if self.known.proof is None else max(least, self.known.proof.lower_bound)

    def prepared(self) -> float:
        """Seconds that all the work before the first search took, asked for at its end."""
        if self._prepared is None:
            self._prepared = self._preparing.elapsed
        return self._prepared

    def run(self, limit: float = 10.0, progress: ProgressCallback | None = None, *, savings: bool = True) -> Result:
        """Search for so many seconds at most; parameters and errors are those of `solve`.

        Without `savings` it isn't looked into what shared cuts and substitutes save, which takes solves of its own.
        """
        if not limit > 0:
            raise ValueError(f"the time limit must be above 0 seconds, not {limit}")
        run = _Run(self, limit, progress, savings=savings)
        if self.answers is None:
            run.tell(Progress(incumbent=None, lower_bound=self.least, seconds=run.clock.elapsed))
        result = run.result()
        self.seconds += run.clock.elapsed
        return result


def _beyond_money(market: Market) -> bool:
    """Whether leftovers or layouts count beside money."""
    return any(any(room.takes) for room in market.rooms) or any(rule.lists() for rule in market.rules)


def _margin(job: Job, prepared: float) -> float:
    """Seconds to keep back for what comes behind the search, which took so many to prepare."""
    most = len(job.parts) * (ANGLED_MARGIN if has_angles(job.parts) else SQUARE_MARGIN)
    return MARGIN + min(FINISHING * prepared, most)


class _Run:
    """One run of a solve."""

    def __init__(
        self, solving: Solving, limit: float, progress: ProgressCallback | None, *, savings: bool = True
    ) -> None:
        self.solving = solving
        self.savings = savings
        self.job = solving.job
        self.seed = solving.seed
        self.progress = progress
        self.cancelled = False
        self.clock = Clock(limit, self._is_cancelled)
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
        impossible = reasons_at_once(self.job, self.solving.market)
        if impossible:
            return self._impossible(impossible)
        parts = self.solving.parts
        self.clock.keep_back(min(_margin(self.job, self.solving.prepared()), self.limit / 2))
        answers = self._solve(parts)
        self.solving.answers = answers
        reasons = tuple(
            reason_proven(self.job, part.market)
            for part, a in zip(parts, answers, strict=True)
            if a.found.bound is None
        )
        reports = [each for part, answer in zip(parts, answers, strict=True) for each in _reports(part, answer)]
        floating = any(answer.found.rests is Rests.FLOATING for answer in answers)
        proof = self._proof([answer.found.bound for answer in answers], floating=floating)
        return Result(
            job=self.job,
            plan=None if reasons else self._plan(parts, answers),
            proof=replace(proof, infeasible=reasons),
            report=Report(
                seconds=self.solving.seconds + self.clock.elapsed,
                sections=tuple(report for _, report in sorted(reports, key=lambda entry: entry[0])),
                seed=self.seed,
            ),
        )

    def _proof(self, bounds: Sequence[int | None], *, floating: bool) -> Proof:
        """Return the bound of all portions, or the one known before where that is higher."""
        known, least = self.solving.known.proof, self.solving.least
        bound = sum((p.market.unit * (b or 0) for p, b in zip(self.solving.parts, bounds, strict=True)), Fraction(0))
        if known is not None and bound < known.lower_bound == least:
            return known
        return Proof(lower_bound=max(bound, least), rests=Rests.FLOATING if floating else Rests.EXACT)

    def _solve(self, parts: Sequence[Portion]) -> list[Answer]:
        news = _News(self, parts)
        answers = self.solving.answers or self._first_round(parts, news)
        again = [n for n, answer in enumerate(answers) if not answer.found.closed]
        if again and not self.clock.over() and (len(parts) > 1 or self.solving.answers is not None):
            tasks = [
                Task(market=parts[n].market, seed=self.seed, limit=self.limit, before=answers[n].found) for n in again
            ]
            second = solve_tasks(
                tasks,
                clock=self.clock,
                cores=self.solving.cores,
                report=lambda n, choice, bound: news.hear(again[n], choice, bound),
            )
            answers = list(answers)
            for number, answer in zip(again, second, strict=True):
                answers[number] = replace(answer, seconds=answer.seconds + answers[number].seconds)
        return answers

    def _first_round(self, parts: Sequence[Portion], news: _News) -> list[Answer]:
        """Solve every portion; where leftovers or layouts count, with the same portion by money alone before."""
        known = self.solving.known
        alone: dict[tuple[int, ...], Market] = {}
        if self.job.keep_value is not None or self.job.layout_cost:
            by_money = model_market(replace(self.job, keep_value=None, layout_cost=Decimal(0)))
            alone = {part.sections: part.market for part in portions(by_money, priced=True)}
        tasks = [
            Task(
                market=part.market,
                money=alone.get(part.sections) if _beyond_money(part.market) else None,
                seed=self.seed,
                limit=self.limit,
                known=self._offers(part),
                least=known.least(part, alone=len(parts) == 1),
                rests=Rests.EXACT if known.proof is None else known.proof.rests,
            )
            for part in parts
        ]
        return solve_tasks(tasks, clock=self.clock, cores=self.solving.cores, report=news.hear)

    def _offers(self, part: Portion) -> tuple[Offer, ...]:
        offers = (offer_of(self.solving.market, part, plan) for plan in self.solving.known.plans)
        return tuple(offer for offer in offers if offer is not None)

    def so_far(self, choices: Sequence[Choice | None], bounds: Sequence[int]) -> Result | None:
        """Lay the best plan so far out and check it."""
        found = [(part, each) for part, each in zip(self.solving.parts, choices, strict=True) if each is not None]
        if len(found) < len(choices):
            return None
        return Result(
            job=self.job,
            plan=self._checked(assemble(self.job, self.solving.market, joined(self.solving.market, found))),
            proof=self._proof(bounds, floating=False),
            report=Report(seconds=self.solving.seconds + self.clock.elapsed, sections=(), seed=self.seed),
        )

    def _impossible(self, reasons: tuple[str, ...]) -> Result:
        return Result(
            job=self.job,
            plan=None,
            proof=Proof(lower_bound=Fraction(0), infeasible=reasons),
            report=Report(seconds=self.clock.elapsed, sections=(), seed=self.seed),
        )

    def _plan(self, parts: Sequence[Portion], answers: Sequence[Answer]) -> Plan | None:
        found = [(part, each.found.choice) for part, each in zip(parts, answers, strict=True) if each.found.choice]
        if len(found) < len(parts):
            return None
        choice = joined(self.solving.market, found)
        plan = assemble(self.job, self.solving.market, choice)
        if self.savings and (plan.changes or has_angles(self.job.parts)):
            known = [(part, own, a.found.closed) for (part, own), a in zip(found, answers, strict=True)]
            plan = self._with_savings(plan, self.solving.market, choice, known)
        return self._checked(plan)

    def _checked(self, plan: Plan) -> Plan:
        faults = check(self.job, plan)
        if faults:
            raise PlanRejectedError(faults)
        return plan

    def _with_savings(
        self, plan: Plan, market: Market, choice: Choice, found: Sequence[tuple[Portion, Choice, bool]]
    ) -> Plan:
        """Say what shared cuts and substitutes save; `found` is each portion, its plan, and whether that is proven."""
        from cutting.search.against import Against, Solved  # noqa: PLC0415 - only where a plan has any of these

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
        self._choices: list[Choice | None] = [None] * len(parts)
        self._bounds: list[int] = [0] * len(parts)
        for number, answer in enumerate(run.solving.answers or ()):
            self._choices[number], self._bounds[number] = answer.found.choice, answer.found.bound or 0
        if run.progress is not None and len(parts) > 1 and run.solving.answers is None:
            for number, part in enumerate(parts):
                self._choices[number] = by_hand(part.market, run.clock)
            self._tell()

    def hear(self, number: int, choice: Choice | None, bound: int | None) -> None:
        """Take one portion's news and pass on the sum."""
        known = self._choices[number]
        if choice is not None and (known is None or choice.cost < known.cost):
            self._choices[number] = choice
        self._bounds[number] = max(self._bounds[number], bound or 0)
        self._tell()

    def _tell(self) -> None:
        if self._run.progress is None:
            return
        choices, bounds = tuple(self._choices), tuple(self._bounds)
        costs = [unit * each.cost for unit, each in zip(self._units, choices, strict=True) if each is not None]
        bound = sum((unit * b for unit, b in zip(self._units, bounds, strict=True)), Fraction(0))
        self._run.tell(
            Progress(
                incumbent=sum(costs, Fraction(0)) if len(costs) == len(choices) else None,
                lower_bound=max(bound, self._run.solving.least),
                seconds=self._run.clock.elapsed,
                result=lambda: self._run.so_far(choices, bounds),
            )
        )


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
