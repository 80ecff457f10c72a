"""One portion of a job from integers to its plan: what a process runs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from cutting.buying.market import Market
from cutting.fit.clock import Clock
from cutting.search.market.known import Offer
from cutting.search.market.loop import MarketAnswer, MarketSearch, Report
from cutting.search.market.rooms import Rooms
from cutting.search.market.ties import easier

__all__ = ["Answer", "Task", "solve_task"]

FIRST_SHARE = 1 / 2  # of the time for the money alone, where leftovers are worth something


@dataclass(frozen=True, kw_only=True, slots=True)
class Task:
    """One portion to solve.

    Attributes
    ----------
    market : Market
        It.
    money : Market or None
        The same without the worth of leftovers, where they have one.
    seed : int
        For every random choice.
    limit : float
        Seconds.
    before : MarketAnswer or None
        What an earlier run came to, which this one goes on from.
    known : Offer or None
        A plan to begin with.
    """

    market: Market
    money: Market | None = None
    seed: int = 0
    limit: float
    before: MarketAnswer | None = None
    known: Offer | None = None

    @property
    def effort(self) -> int:
        """Estimated work."""
        return sum(room.effort for room in self.market.rooms)


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """What became of a task, and the seconds it took."""

    found: MarketAnswer
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
    search = MarketSearch(task.market, seed=task.seed, clock=clock, report=report, rooms=rooms, before=task.before)
    try:
        if task.known is not None:
            search.offer(task.known)
        if task.money is not None and task.before is None:
            _begin_with_money(search, task.money, task.seed, clock)
        found = search.run()
        if found.choice is not None:
            found = replace(found, choice=easier(search, found.choice))
    finally:
        rooms.close()
    return Answer(found=found, seconds=clock.elapsed)


def _begin_with_money(search: MarketSearch, money: Market, seed: int, clock: Clock) -> None:
    """Find a good plan by the money alone first: that is quick, and leftovers change little."""
    share = Clock(clock.left() * FIRST_SHARE, clock.over)
    choice = MarketSearch(money, seed=seed, clock=share, report=lambda _choice, _bound: None).run().choice
    if choice is not None:
        search.begin_with(money, choice)
