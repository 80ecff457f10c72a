"""The rooms of one search, asked together: one after the other, or some of them in helper processes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from cutting.buying.market import Room, RoomOrder
from cutting.buying.master import RoomRow
from cutting.fit.clock import Clock
from cutting.search.loop import Outcome, Work
from cutting.search.market.bench import Bench, Relaxed

__all__ = ["Ask", "AtPrices", "Rooms"]


@dataclass(frozen=True, kw_only=True, slots=True)
class AtPrices:
    """Pieces of each size to be cut in a room, prices and limits of its kinds of stick."""

    room: int
    demands: tuple[int, ...]
    costs: tuple[int, ...]
    limits: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Ask:
    """A question to one room: a method of its bench and what it is given."""

    room: int
    method: str
    given: tuple[Any, ...]

    def of(self, bench: Bench) -> Any:
        """Return what the bench answers."""
        return getattr(bench, self.method)(*self.given)


class Rooms:
    """Asks rooms one after the other.

    Parameters
    ----------
    rooms : sequence of Room
        They.
    seed : int
        For every random choice.
    clock : Clock
        Ends it.

    Attributes
    ----------
    benches : list of Bench
        The cutting of each.
    """

    def __init__(self, rooms: Sequence[Room], *, seed: int, clock: Clock) -> None:
        self.clock = clock
        self.benches = [Bench(number, room, seed=seed, clock=clock) for number, room in enumerate(rooms)]

    def relaxed(self, asked: Sequence[AtPrices]) -> list[Relaxed]:
        """Solve linear relaxations, as many as there is time for."""
        found: list[Relaxed | None] = self.answers(
            [Ask(room=each.room, method="relaxed", given=(each.demands, each.costs, each.limits)) for each in asked]
        )
        return [each for each in found if each is not None]

    def explain(self, orders: Sequence[RoomOrder]) -> list[tuple[bool, RoomRow | None]]:
        """Ask every room for a fractional layout; see `Bench.explain`."""
        asked = [Ask(room=room, method="explain", given=(order,)) for room, order in enumerate(orders)]
        found: list[tuple[bool, RoomRow | None]] = self.answers(asked)
        return found

    def cut(self, orders: Sequence[RoomOrder], effort: int) -> list[Outcome]:
        """Ask every room to cut its order with so much effort; see `Bench.cut`."""
        asked = [Ask(room=room, method="cut", given=(order, effort)) for room, order in enumerate(orders)]
        found: list[Outcome] = self.answers(asked)
        return found

    def work(self) -> tuple[Work, ...]:
        """Return the work done in each room."""
        return tuple(self.answers([Ask(room=bench.number, method="done", given=()) for bench in self.benches]))

    def close(self) -> None:
        """End: nothing will be asked again."""

    def answers(self, asked: Sequence[Ask]) -> list[Any]:
        """Return the answer to each question; those to one room are put to it in this order."""
        return [each.of(self.benches[each.room]) for each in asked]
