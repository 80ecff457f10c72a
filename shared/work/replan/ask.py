"""Plans for the rest of a work beside layouts that stand: asked for by the layouts, each made once."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Plan, Proof, Report, Result
from cutting.buying.objective import objective_of
from cutting.buying.rules import uses_rules
from cutting.fit.clock import Clock
from cutting.question.errors import JobError
from cutting.question.job import Job
from cutting.search.known import Hints
from cutting.solve import Progress, ProgressCallback, Solving
from shared.work.replan.joining import Relaid, relaid_of
from shared.work.replan.remains import Remains
from shared.work.replan.standing import Judged, Standing
from shared.work.replan.sums import value_of, worth_of

__all__ = ["Answer", "Asking", "Pins"]

MOST_PLANS: Final = 40
"""Plans made at most in one replan."""

Pins = tuple[Judged, ...]

_SHORTEST: Final = 0.05  # seconds below which no plan is begun


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """A plan beside layouts that stand, or why there is none.

    Attributes
    ----------
    pins : tuple of Judged
        The layouts.
    job : Job
        What was asked.
    result : Result
        What came of it.
    value : Fraction or None
        Its cost with that of the layouts, in the unit of `Asking.objective`; None without a plan.
    """

    pins: Pins
    job: Job
    result: Result
    value: Fraction | None

    @property
    def plan(self) -> Plan | None:
        """What is planned anew."""
        return self.result.plan

    @property
    def rank(self) -> tuple[Fraction, int, int]:
        """Cheaper first, then more layouts as they are printed, then more that stay on their stick."""
        stay = sum(pin.standing is Standing.STAYS for pin in self.pins)
        return (self.value or Fraction(0), -stay, -len(self.pins))


class Asking:
    """Makes plans for what is left of one work.

    Sections that lack nothing while all layouts stand are left alone: apart from yards' terms sections have nothing to
    do with each other, and nothing costs less than nothing.

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

    Attributes
    ----------
    relaid : dict of int to Relaid
        By slot, layouts whose parts stay on their stick with new paper.
    pins : tuple of Judged
        Layouts that may all stand.
    sections : frozenset or None
        Keys of the sections that are looked at; None for all, where yards' terms couple them.
    everything : Job
        All that is left to do in them, from all steel at hand and all offers.
    objective : Objective
        What is minimised.
    """

    def __init__(self, remains: Remains, *, clock: Clock, seed: int, cores: int | None) -> None:
        self.remains = remains
        self.clock = clock
        self.seed = seed
        self.cores = cores
        moved = (pin for pin in remains.pins if pin.standing is Standing.REPRINT)
        self.relaid: dict[int, Relaid] = relaid_of(moved, remains, seed)
        self.pins = tuple(pin for pin in remains.pins if pin.standing is Standing.STAYS or pin.slot.id in self.relaid)
        self.missing = remains.missing(self.pins)
        self.market = uses_rules(remains.question(()))
        self.sections = None if self.market else frozenset(part.section.key for part in self.missing)
        self.everything = remains.question((), self.sections)
        self.objective = objective_of(self.everything if self.everything.parts else remains.job)
        self._answers: dict[frozenset[int], Answer] = {}

    def concerned(self, pins: Iterable[Judged]) -> Pins:
        """Return the layouts of the sections that are looked at."""
        return tuple(pin for pin in pins if self.sections is None or pin.slot.cut.section.key in self.sections)

    def ask(self, pins: Sequence[Judged], seconds: float, target: Fraction | None = None) -> Answer:
        """Plan beside some layouts of the sections looked at; those of other sections always stand.

        Where only a plan that costs no more than `target` is of use, the search ends once there can be none.
        """
        chosen = {pin.slot.id for pin in pins}
        held = tuple(pin for pin in self.pins if pin.slot.id in chosen or not self.concerned([pin]))
        key = frozenset(pin.slot.id for pin in held)
        if key not in self._answers:
            job = self.remains.question(held, self.sections)
            worth = self.worth(held)
            hopeless = self._hopeless(job, None if target is None else target - worth)
            result = self._solve(job, max(seconds, _SHORTEST), self._known(held), hopeless)
            value = None if result.plan is None else value_of(result.plan, self.objective) + worth
            self._answers[key] = Answer(pins=held, job=job, result=result, value=value)
        return self._answers[key]

    def reaches(self, pins: Sequence[Judged], target: Fraction) -> bool:
        """Whether a plan beside these layouts costs no more than `target`, as far as there is time to find out."""
        if self.clock.over() or len(self._answers) >= MOST_PLANS:
            return False
        value = self.ask(pins, self.clock.left(), target).value
        return value is not None and value <= target

    def _hopeless(self, job: Job, target: Fraction | None) -> ProgressCallback | None:
        """Whether a search has shown that every plan costs more than that."""
        if target is None or objective_of(job) is not self.objective:
            return None

        def hopeless(so_far: Progress) -> bool:
            return so_far.lower_bound > target

        return hopeless

    def _known(self, held: Pins) -> Hints:
        """With fewer layouts that stand, those given up can be cut as they were, beside the plan made for the rest."""
        kept = {pin.slot.id for pin in held}
        wider = [each for each in self._answers.values() if kept < {pin.slot.id for pin in each.pins}]
        return Hints(plans=tuple(plan for each in wider for plan in _with_given_up(each, kept)))

    def best(self) -> Answer:
        """Return the best of all answers so far; at least one must hold a plan."""
        return min((answer for answer in self._answers.values() if answer.value is not None), key=lambda a: a.rank)

    def worth(self, pins: Iterable[Judged]) -> Fraction:
        """What layouts that stand add to the cost: 0 unless leftovers have a worth."""
        return worth_of(self.concerned(pins), self.everything)

    def _solve(self, job: Job, seconds: float, known: Hints, hopeless: ProgressCallback | None) -> Result:
        try:
            return Solving(job, seed=self.seed, cores=self.cores, known=known).run(seconds, hopeless)
        except JobError as error:
            reasons = tuple(f"{problem.text}: {problem.message}." for problem in error.problems)
        report = Report(seconds=0.0, sections=(), seed=self.seed)
        return Result(plan=None, proof=Proof(lower_bound=Fraction(0), infeasible=reasons), report=report)


def _with_given_up(answer: Answer, kept: Container[int]) -> Iterator[Plan]:
    """Yield an answer's plan with the layouts that are no longer kept, as far as names tell which bar they are on."""
    if answer.plan is not None:
        given = [pin for pin in answer.pins if pin.slot.id not in kept]
        cuts = (replace(pin.slot.cut, stick=pin.bar.name, quantity=1, pieces=pin.slot.left) for pin in given)
        yield replace(answer.plan, cuts=(*answer.plan.cuts, *cuts))
