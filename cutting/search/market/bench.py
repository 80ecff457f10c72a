"""The cutting of one section's room, whatever share of the parts is placed there.

Which parts a section must yield is a choice where substitutes are allowed. Each choice met gets a search of its own
(`cutting.search.loop`), whose part values are priced anew for all parts that could come, so that what is learned holds
for every choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from cutting.answer.load import Load
from cutting.buying.market import Room, RoomOrder
from cutting.buying.master import RoomRow
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.fit.marked.windows import assign
from cutting.fit.pricer import Pricer
from cutting.search.loop import Covered, Outcome, Priced, Search, Work
from cutting.search.market.fits import search_of

__all__ = ["Bench", "Relaxed"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Relaxed:
    """What a linear relaxation of a room says.

    Attributes
    ----------
    row : RoomRow
        Its inequality for the whole room.
    priced : Priced
        The same for the parts that were asked about.
    rounded : tuple of Load or None
        A plan made from it.
    """

    row: RoomRow
    priced: Priced
    rounded: tuple[Load, ...] | None


class Bench:
    """One room's cutting.

    Parameters
    ----------
    number : int
        The room's number in the market.
    room : Room
        The room.
    seed : int
        For every random choice.
    clock : Clock
        Ends the search.
    """

    def __init__(self, number: int, room: Room, *, seed: int, clock: Clock) -> None:
        self.number = number
        self.room = room
        self.seed = seed
        self.clock = clock
        self._searches: dict[tuple[int, ...], Search] = {}
        self._settled: dict[RoomOrder, Outcome] = {}
        self._tried: dict[RoomOrder, int] = {}
        self._windows = [way.windows for way in room.ways]

    @cached_property
    def pricer(self) -> Pricer:
        """Prices patterns of all parts that could come."""
        return search_of(self.room.instance, self._windows, seed=self.seed, clock=self.clock).knapsack

    def done(self) -> Work:
        """Return all work done here."""
        works = [search.work for search in self._searches.values()]
        return Work(
            lp_solves=sum(work.lp_solves for work in works),
            dives=sum(work.dives for work in works),
            nodes=sum(work.nodes for work in works),
        )

    def relaxed(self, demands: tuple[int, ...], costs: Sequence[int], limits: Sequence[int]) -> Relaxed | None:
        """Solve the linear relaxation at these prices and limits; None where time is over before."""
        priced = self._at(demands).relaxed(costs, limits)
        if priced is None:
            return None
        return Relaxed(
            row=self._row(demands, priced.inequality.values),
            priced=priced,
            rounded=None if priced.rounded is None else self.whole_loads(demands, priced.rounded),
        )

    def by_hand(self, demands: tuple[int, ...], costs: Sequence[int], limits: Sequence[int]) -> tuple[Load, ...] | None:
        """Return a plan by hand's rule at these prices and limits."""
        if not any(demands):
            return ()
        loads = self._at(demands).by_hand(costs, limits)
        return None if loads is None else self.whole_loads(demands, loads)

    def cover(self, priced: Priced, cost: int | None, most: int, work: float) -> Covered | None:
        """Choose among all rows of the room's parts that a cheaper plan can use; None where they are too many."""
        demands = self.room.instance.demands
        found = self._at(demands).cover(priced, cost, most, work)
        return None if found is None else replace(found, loads=self.whole_loads(demands, found.loads))

    def explain(self, order: RoomOrder) -> tuple[bool, RoomRow | None]:
        """Ask for a fractional layout.

        Returns
        -------
        tuple of (bool, RoomRow or None)
            Whether there may be one; where there is none, the inequality that forbids this order, or None where only
            the order itself can be forbidden.
        """
        if not any(order.demands) or order in self._settled:
            return True, None
        inequality = self._at(order.demands).explain(order.counts)
        if inequality is None:
            return True, None
        row = self._row(order.demands, inequality.values)
        held = sum(v * n for v, n in zip(row.holds, order.counts, strict=True))
        worth = sum(v * d for v, d in zip(row.values, order.demands, strict=True))
        return False, None if held >= worth else row

    def cut(self, order: RoomOrder, effort: int) -> Outcome:
        """Cut these pieces from these sticks, or say what became of it; loads are for the whole room's sizes."""
        if not any(order.demands):
            return Outcome(loads=())
        if order not in self._settled and self._tried.get(order, 0) < effort:
            self._tried[order] = effort
            outcome = self._at(order.demands).cut(order.counts, effort)
            if outcome.loads is not None:
                outcome = Outcome(loads=self.whole_loads(order.demands, outcome.loads))
            if outcome.loads is not None or outcome.impossible:
                self._settled[order] = outcome
        return self._settled.get(order, Outcome())

    def search_for(self, demands: tuple[int, ...]) -> Search:
        """Return the search of this share of the parts."""
        return self._at(demands)

    def _at(self, demands: tuple[int, ...]) -> Search:
        if demands not in self._searches:
            instance = self._share(demands)
            self._searches[demands] = search_of(instance, self._windows, seed=self.seed, clock=self.clock)
        return self._searches[demands]

    def _share(self, demands: tuple[int, ...]) -> Instance:
        inst = self.room.instance
        kept = [size for size, pieces in enumerate(demands) if pieces]
        rows = inst.rows
        return replace(
            inst,
            sizes=tuple(inst.sizes[size] for size in kept),
            demands=tuple(demands[size] for size in kept),
            rows=None if rows is None else replace(rows, items=tuple(rows.items[size] for size in kept)),
        )

    def _row(self, demands: tuple[int, ...], values: Sequence[int]) -> RoomRow:
        """Price part values anew for the largest demand there can be; parts not asked about have no value."""
        left = iter(values)
        whole = tuple(next(left) if pieces else 0 for pieces in demands)
        return self.price_out(whole)

    def price_out(self, values: Sequence[int]) -> RoomRow:
        """Make the inequality of any part values, 0 or more, for each size of the room."""
        return RoomRow(room=self.number, holds=self.pricer.best(values).values, values=tuple(values))

    def fits(self, kind: int, pattern: tuple[int, ...]) -> bool:
        """Whether one stick of a kind holds these square pieces, given that they fit its capacity."""
        windows = self.room.ways[kind].windows
        return windows is None or assign(self.room.instance.sizes, pattern, windows) is not None

    def whole_loads(self, demands: tuple[int, ...], loads: Sequence[Load]) -> tuple[Load, ...]:
        """Give the patterns of a share of the parts the room's sizes."""
        if all(demands):
            return tuple(loads)

        def spread(pattern: tuple[int, ...]) -> tuple[int, ...]:
            left = iter(pattern)
            return tuple(next(left) if pieces else 0 for pieces in demands)

        return tuple(replace(load, pattern=spread(load.pattern)) for load in loads)
