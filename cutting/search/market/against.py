"""What a plan's choices save: shared cuts and substitutes, each against the cheapest plan without it.

Each is a job of its own, solved for as long as there is time; only the portion that the choice is in is looked at,
since nothing else changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Change, Cut, Sharing
from cutting.buying.market import Market
from cutting.buying.model import model_market
from cutting.buying.portions import Portion, portions
from cutting.fit.angled.model import has_angles
from cutting.fit.angled.shape import lengths_of
from cutting.fit.clock import Clock
from cutting.question.job import Job, Part, Section
from cutting.question.variants import as_drawn
from cutting.search.market.loop import Choice, MarketSearch
from cutting.search.market.reasons import hopeless

__all__ = ["Against", "Solved"]

SHARING_SECONDS: Final = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Solved:
    """One portion of the job and its plan.

    Attributes
    ----------
    portion : Portion
        It.
    cost : Fraction
        Of its plan, in the objective's unit.
    proven : bool
        Whether that is the least.
    """

    portion: Portion
    cost: Fraction
    proven: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class _Other:
    """What another job comes to in some sections: its bound, whether that is a plan's cost, sticks of one section."""

    bound: Fraction
    closed: bool
    sticks: int


class Against:
    """Says what choices save.

    Parameters
    ----------
    job : Job
        The job.
    market : Market
        All of it.
    solved : sequence of Solved
        Its portions and their plans.
    choice : Choice
        The plan of all of them.
    clock : Clock
        Ends it.
    seed : int
        For every random choice.
    """

    def __init__(
        self, job: Job, market: Market, solved: Sequence[Solved], choice: Choice, *, clock: Clock, seed: int
    ) -> None:
        self.job = job
        self.market = market
        self.solved = solved
        self.choice = choice
        self.clock = clock
        self.seed = seed

    def sharing(self, cuts: Sequence[Cut]) -> tuple[Sharing, ...]:
        """Say for every section with angled ends what its shared cuts save, the parts staying where the plan has them.

        Cut out singly, a part takes its length between long points and one cut. That is a job of square parts. The cut
        counts as a square one, the least it can be, so that what is said to be saved is never too much.
        """
        found = []
        for number, rooms in enumerate(self.market.sections):
            section = self.market.rooms[rooms[0]].section
            parts = [part for part in self._placed().parts if part.section.key == section.key]
            if has_angles(parts):
                own = [cut for cut in cuts if cut.section.key == section.key]
                found.append(self._sharing(number, section, own))
        return tuple(found)

    def _sharing(self, number: int, section: Section, cuts: Sequence[Cut]) -> Sharing:
        shared = sum(cut.quantity * sum(stroke.shared for stroke in cut.strokes) for cut in cuts)
        if not shared:
            return Sharing(section=section, shared=0, sticks=0, cost=Fraction(0), certain=True)
        if self.clock.over():
            return Sharing(section=section, shared=shared, sticks=None, cost=None, certain=False)
        solved = next(each for each in self.solved if number in each.portion.sections)
        clock = Clock(min(SHARING_SECONDS, max(0.0, self.clock.left())))
        other = self._other(_singly(self._placed(), section), solved, section, clock)
        if other is None:
            return Sharing(section=section, shared=shared, sticks=None, cost=None, certain=True, possible=False)
        fewer = other.sticks - sum(cut.quantity for cut in cuts)
        return Sharing(
            section=section,
            shared=shared,
            sticks=max(0, fewer) if other.closed else None,
            cost=max(Fraction(0), other.bound - solved.cost),
            certain=other.closed,
        )

    def _placed(self) -> Job:
        """Return the job with every part of the section that the plan cuts it from."""
        parts = []
        for wish, place in zip(self.market.wishes, self.choice.places, strict=True):
            rooms = self.market.sections[wish.places[place][0]]
            parts.append(replace(wish.part, section=self.market.rooms[rooms[0]].section, substitutes=()))
        return replace(self.job, parts=tuple(parts))

    def change(self, change: Change, changes: int) -> Change:
        """Return one of so many changes of section with what it saves."""
        if self.clock.over():
            return change
        wish = next(n for n, wish in enumerate(self.market.wishes) if wish.part.mark == change.mark)
        solved = next(each for each in self.solved if wish in each.portion.wishes)
        clock = Clock(self.clock.left() / changes, self.clock.over)
        other = self._other(as_drawn(self.job, change.mark), solved, change.wanted, clock)
        if other is None:
            return replace(change, certain=True, possible=False)
        least = other.bound - solved.cost
        known = other.closed or least > 0
        return replace(change, saved=max(Fraction(0), least) if known else None, certain=other.closed and solved.proven)

    def _other(self, job: Job, solved: Solved, section: Section, clock: Clock) -> _Other | None:
        """Solve what another job has in the sections of one portion; None where that is proven to be impossible."""
        market = model_market(job)
        if hopeless(job, market):
            return None
        keys = {self.market.rooms[self.market.sections[number][0]].section.key for number in solved.portion.sections}
        bound, closed, sticks = Fraction(0), True, 0
        for portion in portions(market, priced=job.currency is not None):
            rooms = portion.market.rooms
            if rooms[0].section.key not in keys:
                continue
            search = MarketSearch(portion.market, seed=self.seed, clock=clock, report=lambda _choice, _bound: None)
            found = search.run()
            if found.bound is None:
                return None
            bound += portion.market.unit * found.bound
            closed = closed and found.closed
            if found.choice is not None:
                orders = zip(rooms, found.choice.orders, strict=True)
                sticks += sum(sum(order.counts) for room, order in orders if room.section.key == section.key)
        return _Other(bound=bound, closed=closed, sticks=sticks)


def _singly(job: Job, section: Section) -> Job:
    """Return the job with the section's parts as square blocks, as long as they are between long points."""

    def single(part: Part) -> Part:
        return replace(part, length=lengths_of(part).shown(job.unit)[0], ends=None)

    return replace(job, parts=tuple(single(part) if part.section.key == section.key else part for part in job.parts))
