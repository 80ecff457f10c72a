"""Near misses: which part, a little shorter, would save something; how much longer each may get for free; which kerf.

Every statement is proven by solving the changed job. Steps are whole marks of a tape, since nobody cuts finer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

from cutting.answer.plan import Cut, Plan, Result, Status
from cutting.question.job import Job, Part
from cutting.question.lengths import Unit
from cutting.question.variants import with_part
from cutting.search.known import Hints
from cutting.solve import Progress, ProgressCallback, Solving

_Ask = Callable[[Job, Hints, ProgressCallback | None], Result]

__all__ = ["Longer", "Margins", "Shorter", "margins"]

INCH_STEP = Fraction(127, 160)  # 1/32 in
METRIC_STEP = Fraction(1, 2)


@dataclass(frozen=True, kw_only=True, slots=True)
class Shorter:
    """A part that would save something if all of its pieces were a little shorter.

    Attributes
    ----------
    mark : str
        Which.
    by : Fraction
        mm, the least shortening (in whole steps) that saves anything, or as much as was asked for.
    saves : Fraction
        What it saves, in the objective's unit; at least this much where not `certain`.
    sticks : int
        Sticks and pieces taken fewer.
    certain : bool
        Whether saving and shortening are both proven to be exact.
    """

    mark: str
    by: Fraction
    saves: Fraction
    sticks: int
    certain: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Longer:
    """How much longer all pieces of a part may get for free.

    Attributes
    ----------
    mark : str
        Which.
    by : Fraction
        mm in whole steps, at most what was asked about.
    certain : bool
        Whether a step more is proven to cost something (or was not asked about).
    """

    mark: str
    by: Fraction
    certain: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Margins:
    """All margins of a job.

    Attributes
    ----------
    shorter : tuple of Shorter
        Parts that would save something, in the order of the job.
    longer : tuple of Longer
        Every part.
    kerf : Fraction or None
        mm, the widest cut with which the cheapest plan found still fits; None where it holds angled ends.
    """

    shorter: tuple[Shorter, ...]
    longer: tuple[Longer, ...]
    kerf: Fraction | None


def margins(
    job: Job,
    most: Fraction,
    *,
    saving: Fraction = Fraction(0),
    step: Fraction | None = None,
    limit: float = 10.0,
    seed: int = 0,
    cores: int | None = None,
) -> Margins | None:
    """Find out how near the plan is to a cheaper and to a dearer one.

    Parameters
    ----------
    job : Job
        The job; what leftovers are worth is left aside, since every shaving would change it.
    most : Fraction
        mm, the largest change of length to consider.
    saving : Fraction
        In the objective's unit, the least saving that counts for a shorter part; 0 for any.
    step : Fraction, optional
        mm; 1/32 in or 0.5 mm by the job's unit.
    limit : float
        Seconds for each solve.
    seed : int
        For every random choice.
    cores : int, optional
        Processes to use at most.

    Returns
    -------
    Margins or None
        None where the job itself has no plan, or none was found.

    Raises
    ------
    JobError
        The job's own statements are wrong.
    ValueError
        `most` isn't above 0, or `saving` is below.
    """
    if most <= 0:
        raise ValueError("the largest change of length to consider must be above 0")
    if saving < 0:
        raise ValueError("the least saving that counts must be 0 or more")
    plain = replace(job, keep_value=None)

    def ask(changed: Job, known: Hints | None = None, settled: ProgressCallback | None = None) -> Result:
        return Solving(changed, seed=seed, cores=cores, known=known).run(limit, settled, savings=False)

    base = ask(plain)
    if base.plan is None:
        return None
    own = step or (INCH_STEP if job.unit in {Unit.IN, Unit.FT} else METRIC_STEP)
    search = _Search(plain, base, base.plan, _Aim(step=own, saving=saving), ask)
    shorter = [search.shorter(part, most) for part in plain.parts]
    return Margins(
        shorter=tuple(found for found in shorter if found is not None),
        longer=tuple(search.longer(part, most) for part in plain.parts),
        kerf=widest_kerf(plain, base.plan),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Aim:
    """In which steps (mm) lengths change, and the least saving that counts."""

    step: Fraction
    saving: Fraction


class _Search:
    """Margins of one job around its cheapest plan.

    What was found for one length helps with the next: a plan for longer parts will do for shorter ones, and shorter
    ones cost no more.
    """

    def __init__(self, job: Job, base: Result, plan: Plan, aim: _Aim, ask: _Ask) -> None:
        self.job = job
        self.base = base
        self.plan = plan
        self.step = aim.step
        self.saving = aim.saving
        self.ask = ask

    def _at(self, part: Part, change: Fraction, known: Hints, settled: ProgressCallback | None = None) -> Result:
        return self.ask(with_part(self.job, replace(part, length=part.length + change)), known, settled)

    def shorter(self, part: Part, most: Fraction) -> Shorter | None:
        """Find the least number of steps that saves.

        Shorter parts never cost more, since every plan for longer ones will do; so a plan that saves says how few steps
        are enough for its cost, and one that doesn't rules out all smaller ones.
        """
        fails, trial = 0, min(floor(most / self.step), self._most_steps(part))
        best: tuple[int, Plan] | None = None
        certain = self.base.status is Status.OPTIMAL
        longer = self.base
        shorter: Result | None = None
        while trial > fails:
            result = self._at(part, -trial * self.step, Hints.of(longer, least=shorter))
            certain = certain and result.status is Status.OPTIMAL
            if result.plan is not None and self._saves(result.plan):
                need = max(fails + 1, ceil(self._needed(result.plan, part, trial * self.step) / self.step))
                trial = need - 1 if best is None else (fails + need) // 2
                best, shorter = (need, result.plan), result
            elif best is None:
                return None
            else:
                fails, longer = trial, result
                trial = (fails + best[0]) // 2
        if best is None:
            return None
        return Shorter(
            mark=part.mark,
            by=best[0] * self.step,
            saves=self.plan.cost - best[1].cost,
            sticks=_sticks(self.plan) - _sticks(best[1]),
            certain=certain,
        )

    def _most_steps(self, part: Part) -> int:
        """How many steps leave of a part as much as the saw's cut is wide, and something in any case."""
        kerf = self.job.saw.kerf
        return floor((part.length - kerf) / self.step) if kerf else ceil(part.length / self.step) - 1

    def _saves(self, plan: Plan) -> bool:
        """Whether a plan is surely cheaper than any for the job as it is, by as much as counts."""
        saved = self.base.proof.lower_bound - plan.cost
        return saved >= self.saving if self.saving else saved > 0

    def _needed(self, plan: Plan, part: Part, by: Fraction) -> Fraction:
        """Return how much of a shortening a plan made with it really needs."""
        spare = _spare_length(self.job, plan, part)
        return by if spare is None else max(Fraction(0), by - spare)

    def longer(self, part: Part, most: Fraction) -> Longer:
        """Find the most steps that cost nothing: each free plan says how far it carries."""
        free = min(most, _spare_length(self.job, self.plan, part) or Fraction(0))
        low, high = floor(free / self.step), floor(most / self.step) + 1
        certain = True
        trial = low + 1

        def settled(so_far: Progress) -> bool:
            free = so_far.incumbent is not None and so_far.incumbent <= self.plan.cost
            return free or so_far.lower_bound > self.plan.cost

        longer: tuple[Result, ...] = ()
        shorter = self.base
        while low + 1 < high:
            result = self._at(part, trial * self.step, Hints.of(*longer, least=shorter), settled)
            if result.plan is not None and result.plan.cost <= self.plan.cost:
                more = _spare_length(self.job, result.plan, part) or Fraction(0)
                low = min(high - 1, trial + floor(more / self.step))
                shorter = result
            else:
                dearer = result.status is Status.INFEASIBLE or result.proof.lower_bound > self.plan.cost
                certain = certain and dearer
                high, longer = trial, (result,)
            trial = (low + high + 1) // 2
        return Longer(mark=part.mark, by=low * self.step, certain=certain)


def _sticks(plan: Plan) -> int:
    return sum(line.quantity for line in plan.buy)


def _stretches(job: Job, cut: Cut) -> Iterator[tuple[list[str], Fraction]]:
    """Yield for each stick, or each piece that the yard made of it, its parts and the length still free."""
    stick = next(stick for stick in job.sticks if stick.id == cut.stick)
    if not cut.marks:
        yield [piece.mark for piece in cut.pieces], stick.clear - cut.pieces[-1].end
        return
    yard = next(yard for yard in job.yards if yard.name == stick.yard)
    assert yard.cuts is not None
    ends = [mark - yard.cuts.allowance / 2 - stick.trims[0] for mark in cut.marks] + [stick.clear]
    at = 0
    for carried, end in zip(cut.carried, ends, strict=True):
        inside = cut.pieces[at : at + carried.parts]
        at += carried.parts
        if inside:
            yield [piece.mark for piece in inside], end - inside[-1].end


def _spare_length(job: Job, plan: Plan, part: Part) -> Fraction | None:
    """Return by how much more all pieces of a part may grow on a plan as it is; None where angles forbid to say."""
    spare: list[Fraction] = []
    for cut in plan.cuts:
        if any(piece.mark == part.mark for piece in cut.pieces):
            if cut.strokes:
                return None
            spare += [rest / marks.count(part.mark) for marks, rest in _stretches(job, cut) if part.mark in marks]
    return min(spare)


def widest_kerf(job: Job, plan: Plan) -> Fraction | None:
    """Return the widest cut with which a plan still fits.

    Parameters
    ----------
    job : Job
        The job.
    plan : Plan
        A plan for it.

    Returns
    -------
    Fraction or None
        mm; at most the narrowest trim, yard's allowance and part, which include or exceed a cut. None where the plan
        holds angled ends.
    """
    if any(cut.strokes for cut in plan.cuts):
        return None
    taken = {line.stick for line in plan.buy}
    limits = [part.length for part in job.parts]
    limits += [trim for stick in job.sticks if stick.id in taken for trim in stick.trims if trim]
    limits += [yard.cuts.allowance for yard in job.yards if yard.cuts is not None]
    for cut in plan.cuts:
        for marks, rest in _stretches(job, cut):
            if len(marks) > 1:
                limits.append(job.saw.kerf + rest / (len(marks) - 1))
    return min(limits)
