"""The search for the cheapest plan: buying proposes what to take, each room cuts it or says why it can't.

Each round the buying model names the cheapest basket that everything learned so far allows. Rooms whose sticks hold no
fractional layout teach it an inequality; rooms that are proven uncuttable, that this takes more. The first basket that
can be cut is the cheapest there is. One that could be neither cut nor ruled out with the effort allowed is put off,
holds the bound at its cost, and is taken up again with more effort once a good plan is at hand.

What a room learns holds whatever the other rooms buy, so proposals grow with the sum of the rooms, not with their
product.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.buying.market import Market, RoomOrder
from cutting.buying.master import Basket, Master, RoomRow, UnfinishedError
from cutting.buying.portions import Portion, bare
from cutting.buying.rules import cost_of
from cutting.buying.rules.order import ruled
from cutting.buying.topping import topped_up
from cutting.fit.clock import Clock
from cutting.packing.inequality import relaxed_bound
from cutting.question.yards import Charge
from cutting.search.loop import Priced, Work
from cutting.search.market.filling import fill_every_stick, keep_drops, order_of
from cutting.search.market.known import Offer
from cutting.search.market.rooms import AtPrices, Rooms

if TYPE_CHECKING:
    from cutting.search.market.closing import Closing

__all__ = ["Choice", "Learned", "Lighter", "MarketAnswer", "MarketSearch", "Report", "by_hand", "joined"]

FIRST_EFFORT = 300  # linear programs for one room's sticks in the first pass
FIRST_PATIENCE = 2.0  # deterministic time for one proposal, after which an unproven one is tried
EFFORT_GROWTH = 4
POOR = 0.002  # a plan this share above the bound is worth improving before the proof goes on
LEAP = 0.0005
FEW_ROWS, MANY_ROWS = 400, 20_000  # of angled parts, chosen among before and after each pass
LITTLE_WORK = 0.1
FIRST_PROPOSALS = 3  # before layouts are listed
CLOSINGS = ((1_500, 2.0), (3_000, 4.0), (9_000, 16.0))  # layouts to choose among, and deterministic time for it
CLOSING_PARTS = 10  # a half, a quarter, ... of the slack, where all of it allows too many layouts


@dataclass(frozen=True, kw_only=True, slots=True)
class Choice:
    """A plan in integers.

    Attributes
    ----------
    orders : tuple of RoomOrder
        What is taken and cut in each room.
    places : tuple of int
        For each wish the number, among its places, of the section that it is cut from.
    loads : tuple of tuple of Load
        For each room its loads.
    idle : tuple of int
        For each line how many sticks stay whole.
    cost : int
        What it costs.
    """

    orders: tuple[RoomOrder, ...]
    places: tuple[int, ...]
    loads: tuple[tuple[Load, ...], ...]
    idle: tuple[int, ...]
    cost: int


Report = Callable[[Choice | None, int | None], None]


@dataclass(frozen=True, kw_only=True, slots=True)
class Lighter:
    """A lighter basket that was tried: its plan, or None where it couldn't be cut."""

    choice: Choice | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Learned:
    """What a search has proven, and how far it has come.

    Attributes
    ----------
    rows, nogoods : tuple
        As in `Master`.
    joint : tuple of (tuple of int, tuple of RoomRow)
        For the rooms of each section their first inequalities.
    first : Priced or None
        The first relaxation of a bare market.
    effort : int
        With which the next pass begins.
    """

    rows: tuple[RoomRow, ...]
    nogoods: tuple[tuple[tuple[int, RoomOrder], ...], ...]
    joint: tuple[tuple[tuple[int, ...], tuple[RoomRow, ...]], ...]
    first: Priced | None
    effort: int


@dataclass(frozen=True, kw_only=True, slots=True)
class MarketAnswer:
    """What the search found.

    Attributes
    ----------
    choice : Choice or None
        The best plan; None where none was found.
    bound : int or None
        No plan costs less; None where proven that there is none.
    rests : Rests
        On what the bound rests.
    proposals : int
        Baskets proposed.
    work : tuple of Work
        Done in each room.
    learned : Learned
        What a later search of the same market begins with.
    """

    choice: Choice | None
    bound: int | None
    rests: Rests
    proposals: int
    work: tuple[Work, ...]
    learned: Learned

    @property
    def closed(self) -> bool:
        """Whether nothing is left to prove."""
        return self.bound is None or (self.choice is not None and self.bound >= self.choice.cost)


class MarketSearch:
    """The search of a whole job.

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
    before : MarketAnswer, optional
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
        before: MarketAnswer | None = None,
    ) -> None:
        self.market = market
        self.clock = clock
        self.report = report
        self.rooms = rooms or Rooms(market.rooms, seed=seed, clock=clock)
        self.buying = Master(market, seed)
        self.best: Choice | None = None
        self.bound: int | None = 0
        self.rests = Rests.EXACT
        self.proposals = 0
        self._undecided: list[Basket] = []
        self._joint: dict[tuple[int, ...], tuple[RoomRow, ...]] = {}  # for the rooms of each section the first
        self._bare = bare(market)
        self._first: Priced | None = None  # of a bare market
        self._effort = FIRST_EFFORT
        self._before = before
        if before is not None:
            self._go_on(before)

    def _go_on(self, before: MarketAnswer) -> None:
        """Take over what an earlier search has found and proven."""
        self.best, self.bound, self.rests, self.proposals = before.choice, before.bound, before.rests, before.proposals
        for row in before.learned.rows:
            self.buying.require(row)
        for nogood in before.learned.nogoods:
            self.buying.exclude(nogood)
        self._joint = dict(before.learned.joint)
        self._first = before.learned.first
        self._effort = before.learned.effort

    def offer(self, known: Offer) -> None:
        """Begin with a plan that is known."""
        self._offer(known.places, known.loads, known.idle)

    def run(self) -> MarketAnswer:
        """Search until the plan is proven, no plan is proven to exist, or the clock ends it."""
        try:
            if self._before is None or not self._joint:
                self._begin()
            if self._worth():
                self._pass(self._effort, FIRST_PROPOSALS)
                self._close()
            self._cover(FEW_ROWS, LITTLE_WORK)
            while self._open():
                self._pass(self._effort)
                self._cover(MANY_ROWS, LITTLE_WORK * self._effort)
                if self._open():
                    self._effort *= EFFORT_GROWTH
        except TimeoutError:
            pass  # the clock ended it: what was found and proven so far is the answer
        return self._answer()

    def _answer(self) -> MarketAnswer:
        work = self.rooms.work()
        if self._before is not None:
            work = tuple(one.plus(other) for one, other in zip(self._before.work, work, strict=True))
        return MarketAnswer(
            choice=self.best,
            bound=self.bound,
            rests=self.rests,
            proposals=self.proposals,
            work=work,
            learned=Learned(
                rows=tuple(self.buying.rows),
                nogoods=tuple(self.buying.nogoods),
                joint=tuple(self._joint.items()),
                first=self._first,
                effort=self._effort,
            ),
        )

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
            basket = self.buying.propose(seconds=self.clock.left(), at_most=at_most, weights=weights, below=below)
        except TimeoutError:
            return None
        if basket is None:
            return None
        if self._explained(basket):
            return Lighter(choice=None)
        loads, impossible, _ = self._cut(basket, FIRST_EFFORT)
        if loads is None:
            for room in impossible:
                self.buying.exclude([(room, basket.rooms[room])])
            if not impossible:
                self.buying.exclude(list(enumerate(basket.rooms)), proven=False)
            return Lighter(choice=None)
        found = self.plan_of(basket.places, loads, basket.idle)
        return Lighter(choice=found) if found is not None and found.cost <= at_most else None

    # -- before the first proposal ------------------------------------------------------------

    def begin_with(self, other: Market, choice: Choice) -> None:
        """Try a plan of the same job modelled without the worth of leftovers."""
        loads: list[tuple[Load, ...]] = [()] * len(self.market.rooms)
        for rooms, (theirs, *_) in zip(self.market.sections, other.sections, strict=True):
            ways = [(way.stick.id, way.cuts) for way in self.market.rooms[rooms[0]].ways]
            same = [ways.index((way.stick.id, way.cuts)) for way in other.rooms[theirs].ways]
            loads[rooms[0]] = tuple(replace(load, kind=same[load.kind]) for load in choice.loads[theirs])
        whole = {line.stick.id: count for line, count in zip(other.lines, choice.idle, strict=True)}
        self._offer(choice.places, loads, [whole.get(line.stick.id, 0) for line in self.market.lines])

    def begin_by_hand(self) -> None:
        """Make a plan of every part as drawn by hand's rule."""
        self._by_hand(self._wanted([0] * len(self.market.wishes)), None)

    def _begin(self) -> None:
        """Make plans by hand's rule and the first inequalities: at all yards, and at each alone."""
        yards = sorted(ruled(self.market))
        drawn = self._wanted([0] * len(self.market.wishes))
        most = [self.market.rooms[rooms[0]].instance.demands for rooms in self.market.sections]
        for yard in [None] if len(yards) < 2 else [None, *yards]:  # noqa: PLR2004 - one yard is all yards
            self._by_hand(drawn, yard)
            for wanted in [drawn] if drawn == most else [drawn, most]:
                loads = self._first_rows(wanted, yard)
                if wanted is drawn:
                    self._offer_sections(loads)
        if self._first is not None:
            instance = self.market.rooms[0].instance
            self._raise_bound(relaxed_bound(instance, self._first.inequality, self._first.scale))

    def _first_rows(self, wanted: Sequence[tuple[int, ...]], yard: int | None) -> list[tuple[Load, ...] | None]:
        """Teach buying the relaxation of every section; return their plans, each for its section's first room."""
        if self.clock.over():
            return [None for _ in wanted]
        sections = list(zip(self.market.sections, wanted, strict=True))
        asked = [self._at_prices(rooms[0], demands, yard) for rooms, demands in sections if any(demands)]
        relaxed = {each.row.room: each for each in self.rooms.relaxed([a for a in asked if not self._several(a.room)])}
        found: list[tuple[Load, ...] | None] = []
        for rooms, demands in sections:
            single = relaxed.get(rooms[0])
            if single is not None:
                self._learn(rooms, [single.row])
                self._first = single.priced if self._bare else None
            elif any(demands) and len(rooms) > 1:
                self._learn(rooms, self._joint_rows(rooms, demands, yard))
            found.append(single.rounded if single is not None else None if any(demands) else ())
        return found

    def _several(self, room: int) -> bool:
        """Whether a room's section has others."""
        return any(room in rooms and len(rooms) > 1 for rooms in self.market.sections)

    def _joint_rows(self, rooms: tuple[int, ...], demands: tuple[int, ...], yard: int | None) -> list[RoomRow]:
        from cutting.search.market.joint import joint_values  # noqa: PLC0415 - only where leftovers are worth something

        benches = [self.rooms.benches[room] for room in rooms]
        shares = [self._limited(room, yard) for room in rooms]
        several = joint_values(benches, demands, shares, self.clock.over)
        return [bench.price_out(values) for bench, values in zip(benches, several, strict=True)]

    def _learn(self, rooms: tuple[int, ...], rows: Sequence[RoomRow]) -> None:
        for row in rows:
            self.buying.require(row)
        self._joint.setdefault(rooms, tuple(rows))

    def _at_prices(self, room: int, demands: tuple[int, ...], yard: int | None) -> AtPrices:
        costs, limits = self._limited(room, yard)
        return AtPrices(room=room, demands=demands, costs=costs, limits=limits)

    def _limited(self, number: int, yard: int | None) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Return prices with tax, and limits, of a room's kinds where only one yard is open (None for all)."""
        room = self.market.rooms[number]
        costs, limits = [0] * len(room.ways), [0] * len(room.ways)
        for line in self.market.lines:
            terms = None if line.yard is None else self.market.terms[line.yard]
            for at, kind in line.kinds:
                if at != number:
                    continue
                share, extra = Fraction(1), 0
                if terms is not None:
                    share += terms.rate * terms.taxed(Charge.MATERIAL)
                    extra = room.ways[kind].cuts * terms.charge * self.market.money
                costs[kind] = int(line.steps[-1][1] * share) + extra - room.ways[kind].credit
                limits[kind] = line.most if yard is None or line.yard in {None, yard} else 0
        return tuple(costs), tuple(limits)

    def _wanted(self, places: Sequence[int]) -> list[tuple[int, ...]]:
        """Return the pieces of each size that these places put in each section."""
        wanted = [[0] * len(self.market.rooms[rooms[0]].instance.sizes) for rooms in self.market.sections]
        for wish, place in zip(self.market.wishes, places, strict=True):
            section, size = wish.places[place]
            wanted[section][size] += wish.part.quantity
        return [tuple(each) for each in wanted]

    def _by_hand(self, wanted: Sequence[tuple[int, ...]], yard: int | None) -> None:
        self._offer_sections(
            [
                self.rooms.benches[rooms[0]].by_hand(demands, *self._limited(rooms[0], yard))
                for rooms, demands in zip(self.market.sections, wanted, strict=True)
            ]
        )

    def _offer_sections(self, sections: Sequence[tuple[Load, ...] | None]) -> None:
        """Offer a plan of every part as drawn, made of loads of each section's first room; None where one has none."""
        loads: list[tuple[Load, ...]] = [()] * len(self.market.rooms)
        for rooms, some in zip(self.market.sections, sections, strict=True):
            if some is None:
                return
            loads[rooms[0]] = some
        self._offer((0,) * len(self.market.wishes), loads)

    def plan_of(
        self, places: tuple[int, ...], loads: Sequence[tuple[Load, ...]], idle: Sequence[int] | None = None
    ) -> Choice | None:
        """Return the plan of these loads; None where no yard takes such an order or a line hasn't so many sticks.

        As many sticks of each line stay whole as was said, or as a simple rule finds.
        """
        loads = keep_drops(self.market, loads)
        orders = tuple(order_of(room, some) for room, some in zip(self.market.rooms, loads, strict=True))
        topped = topped_up(self.market, orders, idle)
        if topped is None:
            return None
        return Choice(orders=orders, places=places, loads=tuple(loads), idle=topped.idle, cost=topped.cost)

    def _offer(
        self, places: tuple[int, ...], loads: Sequence[tuple[Load, ...]], idle: Sequence[int] | None = None
    ) -> None:
        """Keep a plan if the yards take its orders and it is cheaper than the best so far; see `plan_of`."""
        found = self.plan_of(places, loads, idle)
        if found is not None and (self.best is None or found.cost < self.best.cost):
            self.best = found
            self.report(found, self.bound)

    def _cover(self, most: int, work: float) -> None:
        """Where few rows of angled parts can be in a cheaper plan, choose among all of them."""
        if self._first is None or not self._open():
            return
        before = None if self.best is None else self.best.cost
        cover = self.rooms.benches[0].cover(self._first, before, most, work)
        if cover is None:
            return
        if cover.loads:
            self._offer((0,) * len(self.market.wishes), [cover.loads])
        if cover.proven:
            self._undecided = []
            self.bound = None if self.best is None else self.best.cost
            self.report(self.best, self.bound)

    # -- where leftovers are worth something --------------------------------------------------

    def _worth(self) -> bool:
        return any(any(room.takes) for room in self.market.rooms)

    def _close(self) -> None:
        """Choose among layouts: few at first, for a good plan, then all that a cheaper one can use, for the proof.

        What leftovers are worth makes every bit of waste count, so that baskets alone are told apart too late.
        """
        from cutting.search.market.closing import Closing  # noqa: PLC0415 - only where leftovers are worth something

        closing = Closing(self.rooms.benches, self.buying, list(self._joint.values()), self.clock)
        slacks = closing.tops()
        for most, effort in CLOSINGS:
            while self._open() and self.best is not None:
                before = self.best.cost
                whole = self._chosen(closing, slacks, most, effort)
                if whole or self.best.cost >= before:
                    break
            if self._open() and self.best is not None:
                slacks = closing.slacks(self.best.cost, slacks)

    def _chosen(self, closing: Closing, slacks: Sequence[int], most: int, effort: float) -> bool:
        """Choose once among at most so many layouts; say whether these were all that a cheaper plan can use."""
        assert self.best is not None
        before = self.best.cost
        for part in range(CLOSING_PARTS):
            listed = closing.layouts([slack >> part for slack in slacks], most)
            if listed is not None:
                break
        else:
            return False
        found = closing.choose(listed, before, effort)
        self.proposals += 1
        if found.places is not None:
            self._offer(found.places, found.loads, found.idle)
        bound = min(found.bound, self.best.cost)
        if part == 0 and self.bound is not None and bound > self.bound:
            self.bound = bound
            self.report(self.best, bound)
        return part == 0

    # -- the loop -----------------------------------------------------------------------------

    def _closed(self) -> bool:
        return self.bound is None or (self.best is not None and self.bound >= self.best.cost)

    def _open(self) -> bool:
        return not self._closed() and not self.clock.over()

    def _beaten(self, basket: Basket | None) -> bool:
        return basket is None or (self.best is not None and basket.cost >= self.best.cost)

    def _pass(self, effort: int, most: int | None = None) -> None:
        """Settle what can be settled with so much effort for each basket, over so many baskets."""
        self._retry(effort)
        patience = FIRST_PATIENCE
        last = None if most is None else self.proposals + most
        while self._open() and (last is None or self.proposals < last):
            below = None if self.best is None else self.best.cost - 1
            self.proposals += 1
            try:
                basket = self.buying.propose(seconds=self.clock.left(), at_most=below, effort=patience)
            except UnfinishedError as error:
                self._raise_bound(error.bound)
                patience *= EFFORT_GROWTH
                continue
            self._raise_bound(None if basket is None else basket.bound)
            if basket is None:
                return
            if basket.bound < basket.cost:
                self._try(basket, effort)
                patience *= EFFORT_GROWTH
            elif not self._settle(basket, effort) and self._undecided and self._poor():
                self._leap(effort)

    def _try(self, basket: Basket, effort: int) -> None:
        """Cut a basket that isn't proven to be the cheapest: it may give a plan or a lesson, but holds no bound."""
        if self._explained(basket):
            return
        loads, impossible, _ = self._cut(basket, effort)
        if loads is not None:
            self._take(basket, loads)
        for room in impossible:
            self.buying.exclude([(room, basket.rooms[room])])

    def _retry(self, effort: int) -> None:
        """Come back to the baskets that a smaller effort left undecided, cheapest first."""
        waiting, self._undecided = sorted(self._undecided, key=lambda entry: entry.cost), []
        for number, basket in enumerate(waiting):
            if self._beaten(basket):
                break  # the rest is no cheaper than the plan at hand
            if self.clock.over():
                self._undecided += waiting[number:]
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
            basket = self.buying.propose(seconds=self.clock.left(), at_least=self.bound + step)
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
            self.buying.exclude([(room, basket.rooms[room])])
        if impossible:
            return False
        # Whatever is cheaper was settled before, so this basket's cost holds the bound for all that its rows pass over.
        self._undecided.append(basket)
        if not again:
            rooms = undecided or range(len(basket.rooms))
            self.buying.exclude([(room, basket.rooms[room]) for room in rooms], proven=False)
        return False

    def _explained(self, basket: Basket) -> bool:
        """Ask every room for a fractional layout and teach buying what was learned; say whether one has none."""
        found = False
        for room, (possible, row) in enumerate(self.rooms.explain(basket.rooms)):
            if possible:
                continue
            found = True
            if row is None:
                self.buying.exclude([(room, basket.rooms[room])])
            else:
                self._require(row)
        return found

    def _require(self, row: RoomRow) -> None:
        """Add an inequality, and its twins in the other rooms of the section: pieces may move to them."""
        self.buying.require(row)
        section = next(rooms for rooms in self.market.sections if row.room in rooms)
        for other in section:
            if other != row.room:
                self.buying.require(self.rooms.benches[other].price_out(row.values))

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
        self._offer(basket.places, loads, basket.idle)
        if self.best is None or self.best.cost > basket.cost:
            rooms = zip(self.market.rooms, loads, basket.rooms, strict=True)
            filled = [fill_every_stick(room, some, order.counts) for room, some, order in rooms]
            self._offer(basket.places, filled, basket.idle)
        return self.best is not None and self.best.cost <= basket.cost

    def _raise_bound(self, cost: int | None) -> None:
        """Heed the cost of the cheapest basket that is still allowed; None where there is none."""
        open_costs = [basket.cost for basket in self._undecided]
        open_costs += [] if cost is None else [cost]
        open_costs += [] if self.best is None else [self.best.cost]
        bound = min(open_costs, default=None)
        if bound is None or self.bound is None or bound > self.bound:
            self.bound = bound
            self.report(self.best, self.bound)


def by_hand(market: Market, clock: Clock) -> Choice | None:
    """Return a plan made by hand's rule, without any search; None where that finds none."""
    search = MarketSearch(market, seed=0, clock=clock, report=lambda _choice, _bound: None)
    search.begin_by_hand()
    return search.best


def joined(market: Market, found: Sequence[tuple[Portion, Choice]]) -> Choice:
    """Put the plans of all portions of a market together."""
    places, idle = [0] * len(market.wishes), [0] * len(market.lines)
    loads: list[tuple[Load, ...]] = [()] * len(market.rooms)
    for portion, choice in found:
        for wish, place in zip(portion.wishes, choice.places, strict=True):
            places[wish] = place
        for (line, *_), whole in zip(portion.lines, choice.idle, strict=True):
            idle[line] = whole
        for room, some in zip(portion.rooms, portion.spread(market, choice.loads), strict=True):
            loads[room] = some
    orders = tuple(order_of(room, some) for room, some in zip(market.rooms, loads, strict=True))
    cost = cost_of(market, orders, idle)
    assert cost is not None
    return Choice(orders=orders, places=tuple(places), loads=tuple(loads), idle=tuple(idle), cost=cost)
