"""The search behind a replan: the least extra cost with everything laid out anew, then layouts kept at that cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from cutting.check import check
from cutting.clock import Clock
from cutting.errors import JobError, PlanRejectedError
from cutting.job import Job, Source
from cutting.market import uses_market
from cutting.model import objective_of
from cutting.plan import Objective, Plan, Proof, Report, Result, SectionReport, Status
from cutting.solve import solve
from shared.shop.joining import Relaid, joined, relay
from shared.shop.remains import Remains
from shared.shop.replan_sums import drop_of, value_of, worth_of
from shared.shop.standing import Judged, Standing

__all__ = ["Found", "Search"]

MOST_PLANS: Final = 40
"""Plans made at most in search of one that keeps more layouts."""

_FIRST_SHARE: Final = 0.35  # of the time for planning with every layout kept
_LEAST_SHARE: Final = 0.6  # of what is then left for the proof of the least cost
_SHORTEST: Final = 0.05  # seconds below which no plan is begun
_NOTHING: Final = Fraction(0)
_Pins = tuple[Judged, ...]


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

    kept: _Pins
    together: _Pins
    job: Job | None
    result: Result | None
    objective: Objective
    cost: Fraction | None
    proof: Proof
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class _Answer:
    """A plan beside standing layouts, or why there is none."""

    pins: _Pins
    job: Job
    result: Result
    value: Fraction | None

    @property
    def plan(self) -> Plan | None:
        return self.result.plan


class Search:
    """One replan on its way.

    Parameters
    ----------
    remains : Remains
        What is left to do.
    clock : Clock
        Ends it.
    seed : int
        For every random choice.
    cores : int or None
        Processes to use at most.
    """

    def __init__(self, remains: Remains, *, clock: Clock, seed: int, cores: int | None) -> None:
        self.remains = remains
        self.clock = clock
        self.seed = seed
        self.cores = cores
        self.relaid = self._relaid()
        self.pins = tuple(pin for pin in remains.pins if pin.standing is Standing.STAYS or pin.slot.id in self.relaid)
        self.whole = remains.question(())
        self.market = uses_market(self.whole)
        self.sections = self._sections()
        self.everything = remains.question((), self.sections)
        self.objective = objective_of(self.everything if self.everything.parts else remains.job)
        self.answers: dict[frozenset[int], _Answer] = {}

    def _relaid(self) -> dict[int, Relaid]:
        moved = (pin for pin in self.remains.pins if pin.standing is Standing.REPRINT)
        laid = ((pin.slot.id, relay(pin, self.remains, self.seed)) for pin in moved)
        return {slot: each for slot, each in laid if each is not None}

    def _sections(self) -> frozenset[tuple[str, str]] | None:
        """Sections to look at: those that lack something; with yards' terms all, since orders couple them."""
        if self.market:
            return None
        return frozenset(part.section.key for part in self.remains.missing(self.pins))

    # -- the way through ---------------------------------------------------------------------------

    def found(self) -> Found:
        """Plan with every layout kept; prove the least cost; where the first costs more, give layouts up for it."""
        if not self.remains.missing(self.pins):
            return self._nothing_missing()
        first = self._ask(self.pins, self.clock.left() * _FIRST_SHARE)
        if first.value == 0 and self._costs_money_only():
            return self._found(first, Proof(lower_bound=_NOTHING))
        least = first if not self._in_question(self.pins) else self._ask((), self.clock.left() * _LEAST_SHARE)
        values = [answer.value for answer in (first, least) if answer.value is not None]
        if not values:
            return self._impossible(first, least)
        if first.value is None or first.value > min(values):
            self._keep_most(first, least, min(values))
        best = min((a for a in self.answers.values() if a.value is not None), key=self._rank)
        proof = least.result.proof
        return self._found(best, Proof(lower_bound=_NOTHING) if proof.infeasible else proof)

    def _costs_money_only(self) -> bool:
        """Whether nothing can be worth less than nothing: no drop earns anything."""
        return self.whole.keep_value is None

    def _in_question(self, pins: Iterable[Judged]) -> _Pins:
        """Layouts of the sections that are looked at."""
        return tuple(pin for pin in pins if self.sections is None or pin.slot.cut.section.key in self.sections)

    def _rank(self, answer: _Answer) -> tuple[Fraction, int, int]:
        stays = sum(pin.standing is Standing.STAYS for pin in answer.pins)
        return (answer.value or _NOTHING, -stays, -len(answer.pins))

    def _ask(self, pins: Sequence[Judged], seconds: float) -> _Answer:
        """Plan beside some layouts of the sections looked at; those of other sections always stand."""
        held = tuple(pin for pin in self.pins if pin in pins or not self._in_question([pin]))
        key = frozenset(pin.slot.id for pin in held)
        if key not in self.answers:
            job = self.remains.question(held, self.sections)
            result = self._solve(job, seconds)
            value = None if result.plan is None else value_of(result.plan, self.objective)
            worth = worth_of(self._in_question(held), self.everything)
            self.answers[key] = _Answer(
                pins=held, job=job, result=result, value=None if value is None else value + worth
            )
        return self.answers[key]

    def _solve(self, job: Job, seconds: float) -> Result:
        try:
            return solve(job, limit=max(seconds, _SHORTEST), seed=self.seed, cores=self.cores)
        except JobError as error:
            reasons = tuple(f"{problem.text}: {problem.message}." for problem in error.problems)
        report = Report(seconds=0.0, sections=(), seed=self.seed)
        return Result(plan=None, proof=Proof(lower_bound=_NOTHING, infeasible=reasons), report=report)

    # -- layouts kept at the least cost --------------------------------------------------------------

    def _keep_most(self, first: _Answer, least: _Answer, target: Fraction) -> None:
        """Look for plans at the target that keep more layouts than none: best effort, within time and `MOST_PLANS`."""
        alike = self._alike(least.plan)
        given_up = len(self.pins)
        if self._reaches(alike, target):
            given_up = len(self.pins) - len(alike)
        order = self._order(first, least)
        count = self._fewest(order, min(given_up, len(order)), target)
        if count is None:
            return
        kept = [pin for pin in self.pins if pin not in order[:count]]
        for pin in reversed(order[:count]):
            if self._reaches([*kept, pin], target):
                kept.append(pin)

    def _reaches(self, pins: Sequence[Judged], target: Fraction) -> bool:
        if self.clock.over() or len(self.answers) >= MOST_PLANS:
            return False
        value = self._ask(pins, self.clock.left()).value
        return value is not None and value <= target

    def _fewest(self, order: Sequence[Judged], most: int, target: Fraction) -> int | None:
        """How many layouts from the first of `order` on must go: doubled, then halved in between; None where unknown.

        The more are given up, the less it costs, so that halving finds the border.
        """
        low, high = 0, 1
        while not self._reaches(self._without(order[:high]), target):
            if high >= most:
                return None
            low, high = high, min(2 * high, most)
        while high - low > 1:
            middle = (low + high) // 2
            if self._reaches(self._without(order[:middle]), target):
                high = middle
            else:
                low = middle
        return high

    def _without(self, gone: Sequence[Judged]) -> _Pins:
        return tuple(pin for pin in self.pins if pin not in gone)

    def _order(self, first: _Answer, least: _Answer) -> list[Judged]:
        """Layouts to give up, loosest first, begun ones last; only of sections that cost more than they must."""
        dear = self._dear(first, least)
        among = [pin for pin in self._in_question(self.pins) if dear is None or pin.slot.cut.section.key in dear]
        kerf = self.remains.job.saw.kerf
        return sorted(among, key=lambda pin: (pin.slot.sawn > 0, -drop_of(pin, kerf)))

    def _dear(self, first: _Answer, least: _Answer) -> set[tuple[str, str]] | None:
        if self.market or first.plan is None or least.plan is None:
            return None
        before, after = _by_section(first.plan), _by_section(least.plan)
        return {key for key, cost in before.items() if cost > after.get(key, _NOTHING)}

    def _alike(self, plan: Plan | None) -> _Pins:
        """Layouts that a plan happens to make again: parts of the same lengths on a bar of the same length."""
        if plan is None:
            return ()
        lengths = {stick.id: stick.length for stick in self.everything.sticks}
        made = Counter[tuple[object, ...]]()
        for cut in plan.cuts:
            if cut.source is Source.OWN:
                parts = tuple(sorted(piece.length for piece in cut.pieces))
                made[cut.section.key, cut.length, parts] += cut.quantity
        found = []
        for pin in self.pins:
            parts = tuple(sorted(piece.length for piece in pin.slot.left))
            key = (pin.slot.cut.section.key, lengths.get(pin.bar.name), parts)
            if made[key] > 0:
                made[key] -= 1
                found.append(pin)
        return tuple(found)

    # -- answers --------------------------------------------------------------------------------------

    def _nothing_missing(self) -> Found:
        """Every part is made or on a layout that stands: nothing is bought, so nothing costs less money."""
        together = self._together(self.pins)
        proof = Proof(lower_bound=_NOTHING)
        if not together:
            return Found(
                kept=self.pins,
                together=(),
                job=None,
                result=None,
                objective=self.objective,
                cost=_NOTHING,
                proof=proof,
            )
        job, plan = joined(self.remains, self.remains.with_bars((), ()), None, self._laid(together))
        return Found(
            kept=self._kept(self.pins),
            together=together,
            job=job,
            result=self._checked(job, plan, proof),
            objective=self.objective,
            cost=_NOTHING,
            proof=proof,
        )

    def _found(self, answer: _Answer, proof: Proof) -> Found:
        together = self._together(answer.pins)
        job, plan = joined(self.remains, answer.job, answer.plan, self._laid(together))
        kept = self._kept(answer.pins)
        bound = proof.lower_bound - worth_of(self._in_question(kept), self.everything)
        if plan is not None and plan.objective is not self.objective:
            bound = answer.result.proof.lower_bound if not together else _NOTHING
        return Found(
            kept=kept,
            together=together,
            job=job,
            result=self._checked(job, plan, replace(proof, lower_bound=bound), answer.result.report.sections),
            objective=self.objective,
            cost=answer.value,
            proof=proof,
        )

    def _checked(self, job: Job, plan: Plan | None, proof: Proof, sections: tuple[SectionReport, ...] = ()) -> Result:
        faults = () if plan is None else check(job, plan)
        if faults:
            raise PlanRejectedError(faults)
        report = Report(seconds=self.clock.elapsed, sections=sections, seed=self.seed)
        return Result(plan=plan, proof=proof, report=report)

    def _impossible(self, first: _Answer, least: _Answer) -> Found:
        proof = least.result.proof
        unknown = "No plan was found in the time given, and none is ruled out: allow more time."
        return Found(
            kept=self._kept(first.pins),
            together=(),
            job=least.job,
            result=least.result,
            objective=self.objective,
            cost=None,
            proof=proof,
            reasons=proof.infeasible if least.result.status is Status.INFEASIBLE else (unknown,),
        )

    def _kept(self, pins: Iterable[Judged]) -> _Pins:
        return tuple(pin for pin in pins if pin.standing is Standing.STAYS)

    def _together(self, pins: Iterable[Judged]) -> _Pins:
        return tuple(pin for pin in pins if pin.standing is Standing.REPRINT)

    def _laid(self, pins: Iterable[Judged]) -> list[Relaid]:
        return [self.relaid[pin.slot.id] for pin in pins]


def _by_section(plan: Plan) -> dict[tuple[str, str], Fraction]:
    """What a plan buys of each section, in a unit of its own."""
    costs: dict[tuple[str, str], Fraction] = {cut.section.key: _NOTHING for cut in plan.cuts}
    for line in plan.buy:
        if line.source is not Source.OWN:
            costs[line.section.key] += line.quantity * line.length if line.cost is None else Fraction(line.cost)
    return costs
