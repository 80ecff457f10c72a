"""How far a search of a job has come: the best plan and the bound, and what buying was taught."""

from __future__ import annotations

from collections.abc import Sequence

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.buying.market import Market, Taken
from cutting.buying.master import Basket, Master, RoomRow
from cutting.buying.portions import bare
from cutting.buying.topping import topped_up
from cutting.fit.clock import Clock
from cutting.packing.work import Work
from cutting.search.choice import Choice, JobAnswer, Learned, Report
from cutting.search.rooms.loads import keep_drops, order_of
from cutting.search.rooms.rooms import Rooms
from cutting.search.rooms.share import Priced

__all__ = ["FIRST_EFFORT", "SearchState"]

FIRST_EFFORT = 300  # linear programs for one room's sticks in the first pass


class SearchState:
    """What a search has found, proven and learned.

    Parameters
    ----------
    market : Market
        The job; every wish has a place.
    seed : int
        For every random choice.
    clock : Clock
        Ends the search.
    report : callable
        Hears (the best plan, bound) whenever one of them improves.
    rooms : Rooms, optional
        Its rooms, where they are worked on side by side.
    before : JobAnswer, optional
        What an earlier search of the same market came to: this one goes on from there.
    """

    def __init__(
        self,
        market: Market,
        *,
        seed: int,
        clock: Clock,
        report: Report,
        rooms: Rooms | None = None,
        before: JobAnswer | None = None,
    ) -> None:
        self.market = market
        self.clock = clock
        self.report = report
        self.rooms = rooms or Rooms(market.rooms, seed=seed, clock=clock)
        self.master = Master(market, seed)
        self.best: Choice | None = None
        self.bound: int | None = 0
        self.rests = Rests.EXACT
        self.proposals = 0
        self.undecided: list[Basket] = []
        self.joint: dict[tuple[int, ...], tuple[RoomRow, ...]] = {}  # for the rooms of each section the first
        self.bare = bare(market)
        self.first: Priced | None = None  # of a bare market
        self.effort = FIRST_EFFORT
        self.before = before
        if before is not None:
            self._go_on(before)

    def _go_on(self, before: JobAnswer) -> None:
        """Take over what an earlier search has found and proven."""
        self.best, self.bound, self.rests, self.proposals = before.choice, before.bound, before.rests, before.proposals
        for row in before.learned.rows:
            self.master.require(row)
        for nogood in before.learned.nogoods:
            self.master.exclude(nogood)
        self.joint = dict(before.learned.joint)
        self.first = before.learned.first
        self.effort = before.learned.effort

    def answer(self) -> JobAnswer:
        """Say what was found, and what a later search may begin with."""
        work = self.rooms.work()
        if self.before is not None:
            work = tuple(Work.total(both) for both in zip(self.before.work, work, strict=True))
        return JobAnswer(
            choice=self.best,
            bound=self.bound,
            rests=self.rests,
            proposals=self.proposals,
            work=work,
            learned=Learned(
                rows=tuple(self.master.rows),
                nogoods=tuple(self.master.nogoods),
                joint=tuple(self.joint.items()),
                first=self.first,
                effort=self.effort,
            ),
        )

    def require(self, row: RoomRow) -> None:
        """Add an inequality, and its twins in the other rooms of the section: pieces may move to them."""
        self.master.require(row)
        section = next(rooms for rooms in self.market.sections if row.room in rooms)
        for other in section:
            if other != row.room:
                self.master.require(self.rooms.cutters[other].price_out(row.values))

    def know_money(self, least: int, rests: Rests) -> None:
        """Heed what the job costs at least where layouts cost nothing: they cost no less than that."""
        self.master.know_money(least)
        if rests is Rests.FLOATING:
            self.rests = rests
        self.heed(least, rests)

    def heed(self, least: int, rests: Rests) -> None:
        """Heed that no plan costs less, as was proven elsewhere."""
        if self.bound is None or least <= self.bound:
            return
        if rests is Rests.FLOATING:
            self.rests = rests
        self.bound = least
        self.report(self.best, least)

    def learn(self, rooms: tuple[int, ...], rows: Sequence[RoomRow]) -> None:
        """Teach buying a section's inequalities of the same part values; the first are kept."""
        for row in rows:
            self.master.require(row)
        self.joint.setdefault(rooms, tuple(rows))

    def plan_of(
        self, places: tuple[int, ...], loads: Sequence[tuple[Load, ...]], idle: Sequence[int] | None = None
    ) -> Choice | None:
        """Return the plan of these loads; None where no yard takes such an order or a line hasn't so many sticks.

        As many sticks of each line stay whole as was said, or as a simple rule finds.
        """
        loads = keep_drops(self.market, loads)
        orders = tuple(order_of(room, some) for room, some in zip(self.market.rooms, loads, strict=True))
        none = (0,) * len(self.market.lines)
        topped = topped_up(Taken(market=self.market, orders=orders, loads=loads, idle=none), idle)
        if topped is None:
            return None
        return Choice(orders=orders, places=places, loads=tuple(loads), idle=topped.idle, cost=topped.cost)

    def offer_sections(self, sections: Sequence[tuple[Load, ...] | None]) -> None:
        """Offer a plan of every part as drawn, made of loads of each section's first room; None where one has none."""
        loads: list[tuple[Load, ...]] = [()] * len(self.market.rooms)
        for rooms, some in zip(self.market.sections, sections, strict=True):
            if some is None:
                return
            loads[rooms[0]] = some
        self.offer((0,) * len(self.market.wishes), loads)

    def offer(
        self, places: tuple[int, ...], loads: Sequence[tuple[Load, ...]], idle: Sequence[int] | None = None
    ) -> None:
        """Keep a plan if the yards take its orders and it is cheaper than the best so far; see `plan_of`."""
        found = self.plan_of(places, loads, idle)
        if found is not None and (self.best is None or found.cost < self.best.cost):
            self.best = found
            self.report(found, self.bound)

    def raise_bound(self, cost: int | None) -> None:
        """Heed the cost of the cheapest basket that is still allowed; None where there is none."""
        open_costs = [basket.cost for basket in self.undecided]
        open_costs += [] if cost is None else [cost]
        open_costs += [] if self.best is None else [self.best.cost]
        bound = min(open_costs, default=None)
        if bound is None or self.bound is None or bound > self.bound:
            self.bound = bound
            self.report(self.best, self.bound)

    def closed(self) -> bool:
        """Whether nothing is left to prove."""
        return self.bound is None or (self.best is not None and self.bound >= self.best.cost)

    def open(self) -> bool:
        """Whether there is something left to prove, and time for it."""
        return not self.closed() and not self.clock.over()
