"""Before the first proposal: plans by hand's rule, and the first inequalities."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from cutting.answer.load import Load
from cutting.buying.market import Market
from cutting.buying.master import RoomRow
from cutting.buying.rules.order import ruled
from cutting.packing.inequality import relaxed_bound
from cutting.question.yards import Charge
from cutting.search.choice import Choice
from cutting.search.rooms.rooms import AtPrices
from cutting.search.state import SearchState

__all__ = ["Beginning"]


class Beginning:
    """Begins a search.

    Parameters
    ----------
    search : SearchState
        The search.
    """

    def __init__(self, search: SearchState) -> None:
        self.search = search

    def with_plan(self, other: Market, choice: Choice) -> None:
        """Try a plan of the same job modelled without the worth of leftovers."""
        loads: list[tuple[Load, ...]] = [()] * len(self.search.market.rooms)
        for rooms, (theirs, *_) in zip(self.search.market.sections, other.sections, strict=True):
            ways = [(way.stick.id, way.cuts) for way in self.search.market.rooms[rooms[0]].ways]
            same = [ways.index((way.stick.id, way.cuts)) for way in other.rooms[theirs].ways]
            loads[rooms[0]] = tuple(replace(load, kind=same[load.kind]) for load in choice.loads[theirs])
        whole = {line.stick.id: count for line, count in zip(other.lines, choice.idle, strict=True)}
        self.search.offer(choice.places, loads, [whole.get(line.stick.id, 0) for line in self.search.market.lines])

    def by_hand(self) -> None:
        """Make a plan of every part as drawn by hand's rule."""
        self._by_hand(self._wanted([0] * len(self.search.market.wishes)), None)

    def run(self) -> None:
        """Make plans by hand's rule and the first inequalities: at all yards, and at each alone."""
        yards = sorted(ruled(self.search.market))
        drawn = self._wanted([0] * len(self.search.market.wishes))
        most = [self.search.market.rooms[rooms[0]].instance.demands for rooms in self.search.market.sections]
        for yard in [None] if len(yards) < 2 else [None, *yards]:  # noqa: PLR2004 - one yard is all yards
            if self.search.best is not None and self.search.clock.over():
                break
            self._by_hand(drawn, yard)
            for wanted in [drawn] if drawn == most else [drawn, most]:
                loads = self._first_rows(wanted, yard)
                if wanted is drawn:
                    self.search.offer_sections(loads)
        if self.search.first is not None:
            instance = self.search.market.rooms[0].instance
            self.search.raise_bound(relaxed_bound(instance, self.search.first.inequality, self.search.first.scale))

    def _first_rows(self, wanted: Sequence[tuple[int, ...]], yard: int | None) -> list[tuple[Load, ...] | None]:
        """Teach buying the relaxation of every section; return their plans, each for its section's first room."""
        if self.search.clock.over():
            return [None for _ in wanted]
        sections = list(zip(self.search.market.sections, wanted, strict=True))
        asked = [self._at_prices(rooms[0], demands, yard) for rooms, demands in sections if any(demands)]
        relaxed = {
            each.row.room: each for each in self.search.rooms.relaxed([a for a in asked if not self._several(a.room)])
        }
        found: list[tuple[Load, ...] | None] = []
        for rooms, demands in sections:
            single = relaxed.get(rooms[0])
            if single is not None:
                self.search.learn(rooms, [single.row])
                self.search.first = single.priced if self.search.bare else None
            elif any(demands) and len(rooms) > 1:
                self.search.learn(rooms, self._joint_rows(rooms, demands, yard))
            found.append(single.rounded if single is not None else None if any(demands) else ())
        return found

    def _several(self, room: int) -> bool:
        """Whether a room's section has others."""
        return any(room in rooms and len(rooms) > 1 for rooms in self.search.market.sections)

    def _joint_rows(self, rooms: tuple[int, ...], demands: tuple[int, ...], yard: int | None) -> list[RoomRow]:
        from cutting.search.rooms.joint import joint_values  # noqa: PLC0415 - only where leftovers are worth something

        cutters = [self.search.rooms.cutters[room] for room in rooms]
        shares = [self._limited(room, yard) for room in rooms]
        several = joint_values(cutters, demands, shares, self.search.clock.over)
        return [cutter.price_out(values) for cutter, values in zip(cutters, several, strict=True)]

    def _at_prices(self, room: int, demands: tuple[int, ...], yard: int | None) -> AtPrices:
        costs, limits = self._limited(room, yard)
        return AtPrices(room=room, demands=demands, costs=costs, limits=limits)

    def _limited(self, number: int, yard: int | None) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Return prices with tax, and limits, of a room's kinds where only one yard is open (None for all)."""
        room = self.search.market.rooms[number]
        costs, limits = [0] * len(room.ways), [0] * len(room.ways)
        for line in self.search.market.lines:
            terms = None if line.yard is None else self.search.market.terms[line.yard]
            for at, kind in line.kinds:
                if at != number:
                    continue
                share, extra = Fraction(1), 0
                if terms is not None:
                    share += terms.rate * terms.taxed(Charge.MATERIAL)
                    extra = room.ways[kind].cuts * terms.charge * self.search.market.money
                costs[kind] = int(line.steps[-1][1] * share) + extra - room.ways[kind].credit
                limits[kind] = line.most if yard is None or line.yard in {None, yard} else 0
        return tuple(costs), tuple(limits)

    def _wanted(self, places: Sequence[int]) -> list[tuple[int, ...]]:
        """Return the pieces of each size that these places put in each section."""
        wanted = [[0] * len(self.search.market.rooms[rooms[0]].instance.sizes) for rooms in self.search.market.sections]
        for wish, place in zip(self.search.market.wishes, places, strict=True):
            section, size = wish.places[place]
            wanted[section][size] += wish.part.quantity
        return [tuple(each) for each in wanted]

    def _by_hand(self, wanted: Sequence[tuple[int, ...]], yard: int | None) -> None:
        self.search.offer_sections(
            [
                self.search.rooms.cutters[rooms[0]].by_hand(demands, *self._limited(rooms[0], yard))
                for rooms, demands in zip(self.search.market.sections, wanted, strict=True)
            ]
        )
