"""One portion of a job from integers to its plan: what a process runs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil

from cutting.answer.plan import Rests
from cutting.buying.market import Market
from cutting.fit.clock import Clock
from cutting.search.beginning import Beginning
from cutting.search.choice import JobAnswer, Report
from cutting.search.finishing import layouts_count, leftovers_count
from cutting.search.known import Offer, holds
from cutting.search.loop import JobSearch
from cutting.search.rooms.rooms import Rooms
from cutting.search.ties import break_ties

__all__ = ["Answer", "Task", "solve_task"]

FIRST_SHARE = 1 / 2  # of the time for the money alone, where leftovers or layouts count


@dataclass(frozen=True, kw_only=True, slots=True)
class Task:
    """One portion to solve.

    Attributes
    ----------
    market : Market
        It.
    money : Market or None
        The same without the worth of leftovers and the cost of layouts, where they have any.
    seed : int
        For every random choice.
    limit : float
        Seconds.
    before : JobAnswer or None
        What an earlier run came to, which this one goes on from.
    known : tuple of Offer
        Plans to begin with, if they hold.
    least : int
        No plan costs less, as others have proven.
    rests : Rests
        What that proof rests on.
    """

    market: Market
    money: Market | None = None
    seed: int = 0
    limit: float
    before: JobAnswer | None = None
    known: tuple[Offer, ...] = ()
    least: int = 0
    rests: Rests = Rests.EXACT

    @property
    def effort(self) -> int:
        """Estimated work."""
        return sum(room.effort for room in self.market.rooms)


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """What became of a task, and the seconds it took."""

    found: JobAnswer
    seconds: float


def solve_task(
    task: Task, report: Report, outer: Clock | None = None, beside: Callable[[Clock], Rooms] | None = None
) -> Answer:
    """Search, then break ties for the person.

    Parameters
    ----------
    task : Task
        What to solve.
    report : callable
        Hears (the best plan, bound) whenever one of them improves.
    outer : Clock, optional
        Ends the search too, whatever the task's own limit.
    beside : callable, optional
        Makes its rooms, where they are worked on side by side.
    """
    clock = Clock(task.limit, outer.over if outer is not None else None)
    rooms = Rooms(task.market.rooms, seed=task.seed, clock=clock) if beside is None else beside(clock)
    search = JobSearch(task.market, seed=task.seed, clock=clock, report=report, rooms=rooms, before=task.before)
    try:
        _begin_with_known(search, task)
        if task.money is not None and task.before is None:
            _begin_with_money(search, task.money, task.seed, clock)
        found = search.run()
        if found.choice is not None:
            found = replace(found, choice=break_ties(search, found.choice))
    finally:
        rooms.close()
    return Answer(found=found, seconds=clock.elapsed)


def _begin_with_known(search: JobSearch, task: Task) -> None:
    """Offer the plans that hold, and heed what the portion costs at least."""
    fits = [cutter.fit for cutter in search.rooms.cutters] if task.known else []
    for offer in task.known:
        if holds(task.market, offer, fits):
            search.offer(offer.places, offer.loads, offer.idle)
    if task.least:
        search.heed(task.least, task.rests)


def _begin_with_money(search: JobSearch, money: Market, seed: int, clock: Clock) -> None:
    """Find a good plan by the money alone first: that is quick, and leftovers and layouts change little."""
    share = Clock(clock.left() * FIRST_SHARE, clock.over)
    alone = JobSearch(money, seed=seed, clock=share, report=lambda _choice, _bound: None)
    answer = alone.run()
    choice = answer.choice
    # What is left, of a stick that is cut or of one that stays whole, may be worth more than layouts cost.
    worth = leftovers_count(search) or any(line.idle_credit for line in search.market.lines)
    if answer.bound is not None and layouts_count(search) and not worth:
        search.know_money(ceil(answer.bound * money.unit / search.market.unit), answer.rests)
    if choice is not None:
        Beginning(search).with_plan(money, choice)
        if layouts_count(search):
            Beginning(search).with_plan(money, break_ties(alone, choice))
