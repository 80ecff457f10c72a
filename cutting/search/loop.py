"""The search for the cheapest plan: buying proposes what to take, each room cuts it or says why it can't.

Each round the buying model names the cheapest basket that everything learned so far allows. Rooms whose sticks hold no
fractional layout teach it an inequality; rooms that are proven uncuttable, that this takes more. The first basket that
can be cut is the cheapest there is. One that could be neither cut nor ruled out with the effort allowed is put off,
holds the bound at its cost, and is taken up again with more effort once a good plan is at hand.

What a room learns holds whatever the other rooms buy, so proposals grow with the sum of the rooms, not with their
product.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.buying.market import Market
from cutting.buying.master import Basket, UnfinishedError
from cutting.fit.clock import Clock
from cutting.search.beginning import Beginning
from cutting.search.choice import Choice, JobAnswer
from cutting.search.finishing import among_layouts, among_rows, layouts_count, leftovers_count, orders_count
from cutting.search.rooms.loads import fill_every_stick
from cutting.search.state import FIRST_EFFORT, SearchState

__all__ = ["JobSearch", "Lighter", "by_hand"]

FIRST_PATIENCE = 2.0  # deterministic time for one proposal, after which an unproven one is tried
EFFORT_GROWTH = 4
POOR = 0.002  # a plan this share above the bound is worth improving before the proof goes on
LEAP = 0.0005
FEW_ROWS, MANY_ROWS = 400, 20_000  # of angled parts, chosen among before and after each pass
LITTLE_WORK = 0.1
FIRST_PROPOSALS = 3  # before layouts are listed


@dataclass(frozen=True, kw_only=True, slots=True)
class Lighter:
    """A lighter basket that was tried: its plan, or None where it couldn't be cut."""

    choice: Choice | None


class JobSearch(SearchState):
    """The search of a whole job; see `SearchState` for the parameters."""

    def run(self) -> JobAnswer:
        """Search until the plan is proven, no plan is proven to exist, or the clock ends it."""
        try:
            if (self.before is None or not self.joint) and not self.closed():
                Beginning(self).run()
            if leftovers_count(self) or layouts_count(self):
                self._pass(self.effort, FIRST_PROPOSALS)
                among_layouts(self)
            among_rows(self, FEW_ROWS, LITTLE_WORK)
            while self.open():
                before = self._so_far()
                self._pass(self.effort)
                among_rows(self, MANY_ROWS, LITTLE_WORK * self.effort)
                if self.open():
                    self.effort *= EFFORT_GROWTH
                    if (layouts_count(self) or orders_count(self)) and self._so_far() == before:
                        break  # more effort for cutting tells nothing of how few layouts there can be, or of drops
        except TimeoutError:
            pass  # the clock ended it: what was found and proven so far is the answer
        return self.answer()

    def _so_far(self) -> tuple[int | None, int | None]:
        return None if self.best is None else self.best.cost, self.bound

    def lighter(self, at_most: int, weights: Sequence[Sequence[int]], below: int) -> Lighter | None:
        """Try one further basket that costs no more but weighs less.

        Returns
        -------
        Lighter or None
            What became of it; None where there is no such basket.
        """
        if self.clock.over():
            return None
        try:
            basket = self.master.propose(seconds=self.clock.left(), at_most=at_most, weights=weights, below=below)
        except TimeoutError:
            return None
        if basket is None:
            return None
        if self._explained(basket):
            return Lighter(choice=None)
        loads, impossible, _ = self._cut(basket, FIRST_EFFORT)
        if loads is None:
            for room in impossible:
                self.master.exclude([(room, basket.rooms[room])])
            if not impossible:
                self.master.exclude(list(enumerate(basket.rooms)), proven=False)
            return Lighter(choice=None)
        found = self.plan_of(basket.places, loads, basket.idle)
        return Lighter(choice=found) if found is not None and found.cost <= at_most else None

    def _beaten(self, basket: Basket | None) -> bool:
        return basket is None or (self.best is not None and basket.cost >= self.best.cost)

    def _pass(self, effort: int, most: int | None = None) -> None:
        """Settle what can be settled with so much effort for each basket, over so many baskets."""
        self._retry(effort)
        patience = FIRST_PATIENCE
        last = None if most is None else self.proposals + most
        while self.open() and (last is None or self.proposals < last):
            below = None if self.best is None else self.best.cost - 1
            self.proposals += 1
            try:
                basket = self.master.propose(seconds=self.clock.left(), at_most=below, effort=patience)
            except UnfinishedError as error:
                self.raise_bound(error.bound)
                patience *= EFFORT_GROWTH
                continue
            self.raise_bound(None if basket is None else basket.bound)
            if basket is None:
                return
            if basket.bound < basket.cost:
                self._try(basket, effort)
                patience *= EFFORT_GROWTH
            elif not self._settle(basket, effort) and self.undecided and self._poor():
                self._leap(effort)

    def _try(self, basket: Basket, effort: int) -> None:
        """Cut a basket that isn't proven to be the cheapest: it may give a plan or a lesson, but holds no bound."""
        if self._explained(basket):
            return
        loads, impossible, _ = self._cut(basket, effort)
        if loads is not None:
            self._take(basket, loads)
        for room in impossible:
            self.master.exclude([(room, basket.rooms[room])])

    def _retry(self, effort: int) -> None:
        """Come back to the baskets that a smaller effort left undecided, cheapest first."""
        waiting, self.undecided = sorted(self.undecided, key=lambda entry: entry.cost), []
        for number, basket in enumerate(waiting):
            if self._beaten(basket):
                break  # the rest is no cheaper than the plan at hand
            if self.clock.over():
                self.undecided += waiting[number:]
                break
            self._settle(basket, effort, again=True)

    def _poor(self) -> bool:
        assert self.bound is not None
        return self.best is None or self.best.cost > self.bound * (1 + POOR)

    def _leap(self, effort: int) -> None:
        """Find a good plan first: try dearer and dearer baskets until one can be cut."""
        assert self.bound is not None
        step = max(1, int(self.bound * LEAP))
        while not self.clock.over():
            basket = self.master.propose(seconds=self.clock.left(), at_least=self.bound + step)
            if basket is None or self._beaten(basket):
                return
            self.proposals += 1
            if self._explained(basket):
                continue
            loads = self._cut(basket, effort)[0]
            if loads is not None:
                self._take(basket, loads)
                return
            step *= 2

    def _settle(self, basket: Basket, effort: int, *, again: bool = False) -> bool:
        """Cut this basket, or learn why it can't be cut, or put it off undecided; say whether it was cut."""
        if self._explained(basket):
            return False
        loads, impossible, undecided = self._cut(basket, effort)
        if loads is not None and self._take(basket, loads):
            return True
        for room in impossible:
            self.master.exclude([(room, basket.rooms[room])])
        if impossible:
            return False
        # Whatever is cheaper was settled before, so this basket's cost holds the bound for all that its rows pass over.
        self.undecided.append(basket)
        if not again:
            rooms = undecided or range(len(basket.rooms))
            self.master.exclude([(room, basket.rooms[room]) for room in rooms], proven=False)
        return False

    def _explained(self, basket: Basket) -> bool:
        """Ask every room for a fractional layout and teach buying what was learned; say whether one has none."""
        found = False
        for room, (possible, row) in enumerate(self.rooms.explain(basket.rooms)):
            if possible:
                continue
            found = True
            if row is None:
                self.master.exclude([(room, basket.rooms[room])])
            else:
                self.require(row)
        return found

    def _cut(self, basket: Basket, effort: int) -> tuple[list[tuple[Load, ...]] | None, list[int], list[int]]:
        """Cut every room: loads where all could be cut, rooms proven impossible, rooms undecided."""
        loads, impossible, undecided = [], [], []
        for room, outcome in enumerate(self.rooms.cut(basket.rooms, effort)):
            if outcome.loads is not None:
                loads.append(outcome.loads)
            elif outcome.impossible:
                impossible.append(room)
                if outcome.rests is Rests.FLOATING:
                    self.rests = Rests.FLOATING
            else:
                undecided.append(room)
        return (loads if len(loads) == len(self.market.rooms) else None), impossible, undecided

    def _take(self, basket: Basket, loads: Sequence[tuple[Load, ...]]) -> bool:
        """Take the plan, where the yards agree, sticks that stayed empty left out; say whether it costs as said."""
        self.offer(basket.places, loads, basket.idle)
        if self.best is None or self.best.cost > basket.cost:
            rooms = zip(self.market.rooms, loads, basket.rooms, strict=True)
            filled = [fill_every_stick(room, some, order.counts) for room, some, order in rooms]
            self.offer(basket.places, filled, basket.idle)
        return self.best is not None and self.best.cost <= basket.cost


def by_hand(market: Market, clock: Clock) -> Choice | None:
    """Return a plan made by hand's rule, without any search; None where that finds none."""
    search = JobSearch(market, seed=0, clock=clock, report=lambda _choice, _bound: None)
    Beginning(search).by_hand()
    return search.best
