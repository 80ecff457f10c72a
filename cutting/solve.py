"""The front door of the engine: one job in, one checked answer out."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain

from cutting.answer.plan import Plan, Proof, Report, Rests, Result, SectionReport, Status
from cutting.buying.market import uses_market
from cutting.buying.material import least_by_material
from cutting.buying.model import SectionModel, model_section, price_table
from cutting.checking.check import check
from cutting.fit.angled.model import has_angles
from cutting.fit.clock import Clock
from cutting.laying.assemble import assemble
from cutting.packing.by_hand import fill_greedily
from cutting.question.errors import JobError, PlanRejectedError
from cutting.question.feasible import impossibilities, input_problems
from cutting.question.job import Job
from cutting.search.loop import Answer
from cutting.search.section import Task
from cutting.search.workers import Finished, solve_tasks

__all__ = ["Progress", "solve"]

MARGIN = 0.05  # seconds kept back for putting the plan together and checking it, and for each line of parts:
SQUARE_MARGIN, ANGLED_MARGIN = 0.000_25, 0.003
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
    run.tell(Progress(incumbent=None, lower_bound=run.least, seconds=run.clock.elapsed))
    return _at_least(run.least, run.result())


def _at_least(bound: Fraction, result: Result) -> Result:
    """Return the result with a bound that is no lower than this one, where a plan may exist."""
    if result.proof.infeasible or result.proof.lower_bound >= bound:
        return result
    return replace(result, proof=replace(result.proof, lower_bound=bound))


def _margin(job: Job) -> float:
    """Seconds to keep back for what comes behind the search; there are about as many layouts as lines of parts."""
    return MARGIN + len(job.parts) * (ANGLED_MARGIN if has_angles(job.parts) else SQUARE_MARGIN)


class _Run:
    """One solve on its way."""

    def __init__(self, job: Job, limit: float, seed: int, progress: ProgressCallback | None, cores: int) -> None:
        self.job = job
        self.seed = seed
        self.cores = cores
        self.progress = progress
        self.cancelled = False
        self.clock = Clock(max(limit - _margin(job), limit / 2), self._is_cancelled)
        self.limit = limit
        self._lock = threading.Lock()
        self._last: Progress | None = None
        self.least = least_by_material(job)

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
        """Solve every section and put the answers together."""
        if uses_market(self.job):
            from cutting.job_wide import solve_market  # noqa: PLC0415 - only where a job has such terms

            return solve_market(self.job, seed=self.seed, clock=self.clock, heard=self._hear)
        reasons = impossibilities(self.job)
        if reasons:
            return self._impossible(reasons)
        costs = price_table(self.job)
        modelled = [model_section(self.job, section, costs) for section in self.job.sections]
        models = [model for model in modelled if model is not None]
        if len(models) < len(modelled):
            raise AssertionError("a section without a usable stick passed the check for impossible jobs")
        finished = self._solve(models)
        return self._together(models, finished)

    def _hear(self, incumbent: Fraction | None, bound: Fraction) -> None:
        self.tell(Progress(incumbent=incumbent, lower_bound=max(bound, self.least), seconds=self.clock.elapsed))

    def _solve(self, models: Sequence[SectionModel]) -> list[Finished]:
        tasks = [Task(instance=m.instance, own_lengths=m.own_lengths, seed=self.seed, limit=self.limit) for m in models]
        news = _News(self, models)
        finished = solve_tasks(tasks, clock=self.clock, cores=self.cores, report=news.hear)
        again = [n for n, (answer, _) in enumerate(finished) if not _closed(answer)]
        if again and len(tasks) > 1 and not self.clock.over():
            second = solve_tasks(
                [tasks[n] for n in again],
                clock=self.clock,
                cores=self.cores,
                report=lambda n, cost, bound: news.hear(again[n], cost, bound),
            )
            for number, (answer, seconds) in zip(again, second, strict=True):
                finished[number] = (_better(finished[number][0], answer), finished[number][1] + seconds)
        return finished

    def _impossible(self, reasons: tuple[str, ...]) -> Result:
        return Result(
            plan=None,
            proof=Proof(lower_bound=Fraction(0), infeasible=reasons),
            report=Report(seconds=self.clock.elapsed, sections=(), seed=self.seed),
        )

    def _together(self, models: Sequence[SectionModel], finished: Sequence[Finished]) -> Result:
        reports = tuple(_section_report(model, *done) for model, done in zip(models, finished, strict=True))
        answers = [answer for answer, _ in finished]
        rests = Rests.FLOATING if any(a.rests is Rests.FLOATING for a in answers) else Rests.EXACT
        reasons = tuple(_why(model) for model, a in zip(models, answers, strict=True) if a.bound is None)
        bound = sum((m.cost_unit * (a.bound or 0) for m, a in zip(models, answers, strict=True)), Fraction(0))
        plan = None if reasons else self._plan(models, answers)
        return Result(
            plan=plan,
            proof=Proof(lower_bound=bound, rests=rests, infeasible=reasons),
            report=Report(seconds=self.clock.elapsed, sections=reports, seed=self.seed),
        )

    def _plan(self, models: Sequence[SectionModel], answers: Sequence[Answer]) -> Plan | None:
        loads = [answer.loads for answer in answers if answer.loads is not None]
        if len(loads) < len(models):
            return None
        plan = assemble(self.job, models, loads)
        if has_angles(self.job.parts):
            from cutting.laying.angled.sharing import sharing_of  # noqa: PLC0415 - only where ends are angled

            sharing = sharing_of(self.job, plan.cuts, price_table(self.job), self.clock, self.seed)
            plan = replace(plan, sharing=sharing)
        faults = check(self.job, plan)
        if faults:
            raise PlanRejectedError(faults)
        return plan


class _News:
    """Adds up what the sections report."""

    def __init__(self, run: _Run, models: Sequence[SectionModel]) -> None:
        self._run = run
        self._units = [model.cost_unit for model in models]
        self._costs: list[int | None] = [None] * len(models)
        self._bounds: list[int] = [0] * len(models)
        if run.progress is not None:
            for number, model in enumerate(models):
                loads = fill_greedily(model.instance)
                if loads is not None:
                    self._costs[number] = sum(model.instance.costs[load.kind] * load.times for load in loads)
            self._tell()

    def hear(self, number: int, cost: int | None, bound: int | None) -> None:
        """Take one section's news and pass on the sum."""
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
        bound = max(bound, self._run.least)
        self._run.tell(Progress(incumbent=incumbent, lower_bound=bound, seconds=self._run.clock.elapsed))


def _closed(answer: Answer) -> bool:
    return answer.bound is None or (answer.cost is not None and answer.bound >= answer.cost)


def _better(first: Answer, second: Answer) -> Answer:
    """Join two answers to the same section: the cheaper plan and the higher bound."""
    if second.bound is None or first.bound is None:
        return second if second.bound is None else first
    cheaper = first if second.cost is None or (first.cost is not None and first.cost <= second.cost) else second
    higher = first if first.bound >= second.bound else second
    return Answer(loads=cheaper.loads, cost=cheaper.cost, bound=higher.bound, rests=higher.rests, work=second.work)


def _section_report(model: SectionModel, answer: Answer, seconds: float) -> SectionReport:
    if answer.bound is None:
        status = Status.INFEASIBLE
    elif answer.cost is None:
        status = Status.UNKNOWN
    else:
        status = Status.OPTIMAL if answer.bound >= answer.cost else Status.FEASIBLE
    return SectionReport(
        section=model.section,
        status=status,
        cost=None if answer.cost is None else model.cost_unit * answer.cost,
        lower_bound=None if answer.bound is None else model.cost_unit * answer.bound,
        seconds=seconds,
        proposals=answer.work.proposals,
        lp_solves=answer.work.lp_solves,
        dives=answer.work.dives,
        nodes=answer.work.nodes,
    )


def _why(model: SectionModel) -> str:
    pieces = sum(model.instance.demands)
    sticks = sum(stick.available or 0 for stick in chain.from_iterable(kind.sticks for kind in model.kinds))
    return (
        f"The {pieces} pieces of {model.section.label} can't be cut from the {sticks} sticks there are, in whatever "
        f"arrangement: this is proven. Add a stick, or allow more of one."
    )
