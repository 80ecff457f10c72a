"""What an offcut is worth: the most to pay for one piece of each length, before walking to the rack.

A piece alone, priced outside delivery, minimum order and breaks: its worth is what the best plan without it costs more
than the best plan that has it for nothing. Bought at exactly that price, it makes no difference; whatever the fees,
that follows from the two optima. Lengths at which the worth can change are those that parts fill exactly; which of them
matter is found by halving, and each one stated is solved for.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from cutting.answer.plan import Plan, Result, Status
from cutting.buying.objective import on_grid
from cutting.question.job import Job, Section
from cutting.question.variants import free_name, with_piece
from cutting.search.known import Hints
from cutting.solve import Solving

__all__ = ["Step", "Worth", "worth"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """From one length on, up to the next step's.

    Attributes
    ----------
    length : Fraction
        mm that may be filled (both ends as sawn).
    worth : Fraction
        The most to pay for one such piece, in the objective's unit; at least this where not `certain`.
    certain : bool
        Whether that is proven, and that a shorter piece isn't worth it.
    """

    length: Fraction
    worth: Fraction
    certain: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Worth:
    """What pieces of one section are worth.

    Attributes
    ----------
    section : Section
        Which.
    steps : tuple of Step
        Lengths ascending; below the first a piece is worth nothing.
    shortest : Fraction or None
        mm, the shortest length worth looking at; None where none is worth anything.
    """

    section: Section
    steps: tuple[Step, ...]
    shortest: Fraction | None


def worth(
    job: Job,
    limit: float = 10.0,
    seed: int = 0,
    cores: int | None = None,
    *,
    section: tuple[str, str] | None = None,
    most_solves: int = 40,
) -> tuple[Worth, ...]:
    """Find out what one piece of each length is worth.

    Parameters
    ----------
    job : Job
        The job; what leftovers are worth is left aside, since a drop's credit depends on what the piece cost.
    limit : float
        Seconds for each solve.
    seed : int
        For every random choice.
    cores : int, optional
        Processes to use at most.
    section : (str, str), optional
        Key of the one section to look at; all by default.
    most_solves : int
        For each section; where they don't suffice, the steps in between are not `certain`.

    Returns
    -------
    tuple of Worth
        One for each section; empty where the job has no plan.

    Raises
    ------
    JobError
        The job's own statements are wrong.
    """
    plain = replace(job, keep_value=None)

    def ask(changed: Job, known: Hints | None = None) -> Result:
        return Solving(changed, seed=seed, cores=cores, known=known).run(limit, savings=False)

    base = ask(plain)
    if base.plan is None:
        return ()
    sections = [each for each in plain.sections if section in {None, each.key}]
    return tuple(_Curve(plain, each, base, ask).draw(most_solves) for each in sections)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Point:
    """One length solved for."""

    worth: Fraction
    certain: bool


class _Curve:
    """Worth by length for one section: a staircase that never descends."""

    def __init__(self, job: Job, section: Section, base: Result, ask: Callable[[Job, Hints], Result]) -> None:
        assert base.plan is not None
        self.job = job
        self.section = section
        self.base = base
        self.cost = base.plan.cost
        self.ask = ask
        self.lengths = fillable(job, section)
        # Angled parts nest, so the lengths they fill are more than these.
        self.angled = any(part.ends is not None for part in job.parts if part.section.key == section.key)
        self.points: dict[int, _Point] = {}
        self.results: dict[int, Result] = {}

    def draw(self, most_solves: int) -> Worth:
        """Solve for the longest length, then where the staircase must still rise, from the shortest such gap on."""
        if self.lengths:
            self._solve(len(self.lengths) - 1)
        gaps = [(-1, len(self.lengths) - 1)]
        while gaps and len(self.results) < most_solves:
            gap = self._widest(gaps)
            gaps.remove(gap)
            low, high = gap
            high = self._first_known(low, high)
            if high - low < 2 or self._at(low) == self._at(high):  # noqa: PLR2004 - nothing lies between
                continue
            middle = (low + high) // 2
            self._solve(middle)
            gaps += [(low, middle), (middle, high)]
        return self._staircase()

    def _at(self, index: int) -> Fraction:
        return Fraction(0) if index < 0 else self.points[index].worth

    def _first_known(self, low: int, high: int) -> int:
        """Return the shortest length known to be worth as much as `high`: a plan fills it exactly."""
        alike = [index for index in self.points if low < index <= high and self.points[index].worth >= self._at(high)]
        return min(alike, default=high)

    def _widest(self, gaps: list[tuple[int, int]]) -> tuple[int, int]:
        """Choose first where worth begins, then the largest rise."""
        return max(gaps, key=lambda gap: (self._at(gap[0]) == 0, self._at(gap[1]) - self._at(gap[0]), -gap[0]))

    def _solve(self, index: int) -> None:
        """Solve with a free piece of this length; what its plan fills of it is worth as much."""
        if index in self.points:
            return
        piece = free_name(self.job)
        result = self.ask(with_piece(self.job, self.section, self.lengths[index]), self._known(index))
        self.results[index] = result
        certain = result.status is Status.OPTIMAL and self.base.status is Status.OPTIMAL
        cost = self.cost if result.plan is None else min(self.cost, result.plan.cost)
        point = _Point(worth=self.cost - cost, certain=certain)
        self.points[index] = point
        filled = None if result.plan is None else _filled(result.plan, piece)
        if filled is not None and point.worth > 0:
            exact = bisect_left(self.lengths, filled)
            self.points.setdefault(exact, point)

    def _known(self, index: int) -> Hints:
        """A plan with a shorter piece, or without any, will do with this one; with a longer one nothing is dearer."""
        shorter = max((other for other in self.results if other < index), default=None)
        longer = min((other for other in self.results if other > index), default=None)
        plans = [self.base] if shorter is None else [self.base, self.results[shorter]]
        return Hints.of(*plans, least=None if longer is None else self.results[longer])

    def _staircase(self) -> Worth:
        steps: list[Step] = []
        before, last = Fraction(0), -1
        for index in sorted(self.points):
            point = self.points[index]
            if point.worth > before:
                close = index == last + 1 and not self.angled
                steps.append(Step(length=self.lengths[index], worth=point.worth, certain=point.certain and close))
                before = point.worth
            last = index
        return Worth(section=self.section, steps=tuple(steps), shortest=steps[0].length if steps else None)


def _filled(plan: Plan, piece: str) -> Fraction | None:
    """Return how far parts fill the piece; None where it isn't used or holds angled ends."""
    cuts = [cut for cut in plan.cuts if cut.stick == piece]
    return cuts[0].pieces[-1].end if cuts and not cuts[0].strokes else None


def fillable(job: Job, section: Section) -> list[Fraction]:
    """List every length that parts of a section and the kerfs between them fill exactly, up to two longest sticks.

    A piece longer than any stick may be worth more than one of them: several parts may come from it.
    Sums are the bits of one whole number for each count of pieces, so that the kerf enters exactly.
    """
    parts = [
        part
        for part in job.parts
        if section.key in {part.section.key, *(other.section.key for other in part.substitutes)}
    ]
    longest = 2 * max((stick.clear for stick in job.sticks if stick.section.key == section.key), default=Fraction(0))
    if not parts or longest <= 0:
        return []
    grid, units = on_grid([job.saw.kerf, longest, *(part.length for part in parts)])
    kerf, top, *lengths = units
    within = (1 << (top + kerf + 1)) - 1
    reach = 1
    for part, length in zip(parts, lengths, strict=True):
        for _ in range(min(part.quantity, top // length)):
            reach |= (reach << (length + kerf)) & within
    bits = bin(reach)[:1:-1]
    return [(at - kerf) * grid for at, bit in enumerate(bits) if at and bit == "1"]
