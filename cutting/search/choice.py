"""What a search of a job finds: plans in whole numbers, and what was proven on the way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.buying.market import Market, RoomOrder, Taken
from cutting.buying.master import RoomRow
from cutting.buying.portions import Portion
from cutting.buying.rules import cost_of
from cutting.packing.work import Work
from cutting.search.rooms.loads import order_of
from cutting.search.rooms.share import Priced

__all__ = ["Choice", "JobAnswer", "Learned", "Report", "joined"]


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
class JobAnswer:
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
    cost = cost_of(Taken(market=market, orders=orders, loads=loads, idle=idle))
    assert cost is not None
    return Choice(orders=orders, places=tuple(places), loads=tuple(loads), idle=tuple(idle), cost=cost)
