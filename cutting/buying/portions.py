"""The sections of a job that have nothing to do with each other, apart: each portion is a job of its own.

Sections touch where a rule spans them: a yard's terms that say more than the price of each stick, a part that may be
cut from several, a cost of each further kind bought. What no rule joins is proposed, cut and proven by itself, so that
its proof doesn't wait for the others', and portions can be worked on side by side.

Within a portion, lines of sticks that are the same to everybody are one kind of stick.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import gcd

from cutting.answer.load import Load, in_order
from cutting.buying.lines import Line
from cutting.buying.market import Market, Room, Way

__all__ = ["Portion", "bare", "portions"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Portion:
    """Some sections of a market, alone.

    Attributes
    ----------
    market : Market
        They.
    sections, wishes : tuple of int
        Their numbers, and those of the parts cut from them, in the whole market.
    rooms : tuple of int
        For each room its number in the whole market.
    kinds : tuple of tuple of tuple of int
        For each room and each of its kinds of stick those of the whole market's room that it stands for.
    lines : tuple of tuple of int
        For each line those of the whole market that it stands for.
    """

    market: Market
    sections: tuple[int, ...]
    wishes: tuple[int, ...]
    rooms: tuple[int, ...]
    kinds: tuple[tuple[tuple[int, ...], ...], ...]
    lines: tuple[tuple[int, ...], ...]

    def spread(self, whole: Market, loads: Sequence[Sequence[Load]]) -> list[tuple[Load, ...]]:
        """Give the loads of each room to the whole market's kinds, line by line in the order of the job."""
        line_of = {entry: number for number, line in enumerate(whole.lines) for entry in line.kinds}
        left = [line.most for line in whole.lines]
        found = []
        for room, kinds, some in zip(self.rooms, self.kinds, loads, strict=True):
            dealt: list[Load] = []
            for load in in_order(some):
                times = load.times
                for kind in kinds[load.kind]:
                    here = min(times, left[line_of[room, kind]])
                    if here:
                        left[line_of[room, kind]] -= here
                        times -= here
                        dealt.append(Load(kind=kind, pattern=load.pattern, times=here))
                assert not times
            found.append(tuple(dealt))
        return found


def bare(market: Market) -> bool:
    """Whether a market is one room whose sticks each cost their price, so that one more never makes others cheaper."""
    return len(market.rooms) == 1 and not any(rule.binds(market) for rule in market.rules)


def portions(market: Market, *, priced: bool) -> tuple[Portion, ...]:
    """Take a market apart.

    Parameters
    ----------
    market : Market
        The whole.
    priced : bool
        Whether it is money that is counted; other measures are put on the coarsest grid of each portion.

    Returns
    -------
    tuple of Portion
        By their first sections.
    """
    return tuple(_portion(market, sections, priced=priced) for sections in _joined(market))


def _joined(market: Market) -> list[tuple[int, ...]]:
    """List the sets of sections that rules join; those without parts, of which sticks may stay whole, last in each."""
    group = list(range(1 + max([len(market.sections) - 1, *(line.section for line in market.lines)])))

    def join(sections: Sequence[int]) -> None:
        for other in sections[1:]:
            first, second = sorted((group[sections[0]], group[other]))
            group[:] = [first if number == second else number for number in group]

    for rule in market.rules:
        for some in rule.joins(market):
            join(some)
    first_of = sorted(set(group[: len(market.sections)]))
    return [tuple(n for n, each in enumerate(group) if each == first) for first in first_of]


def _portion(market: Market, sections: tuple[int, ...], *, priced: bool) -> Portion:
    cut = tuple(section for section in sections if section < len(market.sections))
    rooms = tuple(room for section in cut for room in market.sections[section])
    lines = [number for number, line in enumerate(market.lines) if line.section in sections]
    alike = _alike(market, lines)
    kinds = tuple(_kinds(market, alike, room) for room in rooms)
    at = {room: number for number, room in enumerate(rooms)}
    wishes = tuple(
        number for number, wish in enumerate(market.wishes) if any(section in sections for section, _ in wish.places)
    )
    merged = replace(
        market,
        rooms=tuple(_room(market.rooms[room], some) for room, some in zip(rooms, kinds, strict=True)),
        sections=tuple(tuple(at[room] for room in market.sections[section]) for section in cut),
        lines=tuple(_line(market, some, sections, at, kinds) for some in alike),
        wishes=tuple(
            replace(wish, places=tuple((sections.index(section), size) for section, size in wish.places))
            for wish in (market.wishes[number] for number in wishes)
        ),
        rules=tuple(rule.within(sections) for rule in market.rules),
    )
    return Portion(
        market=_coarse(merged) if bare(merged) and not priced else merged,
        sections=cut,
        wishes=wishes,
        rooms=rooms,
        kinds=kinds,
        lines=alike,
    )


def _alike(market: Market, lines: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """Group lines that are the same to everybody, their names and numbers aside."""
    groups: dict[object, list[int]] = {}
    for number in lines:
        line = market.lines[number]
        shape = (line.section, line.yard, line.steps, line.mass, line.stick.length, line.stick.source)
        ways = tuple(_shape(market.rooms[room], kind, room) for room, kind in line.kinds)
        alone = len(line.steps) > 1 or line.idle
        groups.setdefault(number if alone else (shape, ways), []).append(number)
    return tuple(tuple(some) for some in groups.values())


def _shape(room: Room, kind: int, number: int) -> object:
    way: Way = room.ways[kind]
    instance = room.instance
    rows = None if instance.rows is None else instance.rows.capacities[kind]
    held = (instance.capacities[kind], instance.costs[kind], rows, way.stick.clear)
    return (number, held, way.cuts, way.windows, way.only_delivered, way.credit)


def _kinds(market: Market, alike: Sequence[Sequence[int]], room: int) -> tuple[tuple[int, ...], ...]:
    """Group the kinds of a room: the ways to take lines that are alike, in the order of the first of them."""
    found = []
    for some in alike:
        here = [[kind for at, kind in market.lines[number].kinds if at == room] for number in some]
        found += [tuple(kinds) for kinds in zip(*here, strict=True)]
    return tuple(sorted(found))


def _room(room: Room, kinds: Sequence[Sequence[int]]) -> Room:
    instance = room.instance
    first = [some[0] for some in kinds]
    rows = instance.rows
    pieces = sum(instance.demands)
    return replace(
        room,
        instance=replace(
            instance,
            capacities=tuple(instance.capacities[kind] for kind in first),
            costs=tuple(instance.costs[kind] for kind in first),
            limits=tuple(min(pieces, sum(instance.limits[kind] for kind in some)) for some in kinds),
            rows=None if rows is None else replace(rows, capacities=tuple(rows.capacities[kind] for kind in first)),
        ),
        ways=tuple(room.ways[kind] for kind in first),
    )


def _line(
    market: Market,
    alike: Sequence[int],
    sections: Sequence[int],
    at: dict[int, int],
    kinds: Sequence[Sequence[Sequence[int]]],
) -> Line:
    first = market.lines[alike[0]]
    pieces = max((sum(market.rooms[room].instance.demands) for room, _ in first.kinds), default=0)
    most = sum(market.lines[number].most for number in alike)
    return replace(
        first,
        section=sections.index(first.section),
        kinds=tuple(
            (at[room], next(n for n, some in enumerate(kinds[at[room]]) if kind in some)) for room, kind in first.kinds
        ),
        most=first.most if len(alike) == 1 else min(pieces, most),
    )


def _coarse(market: Market) -> Market:
    """Divide all costs by what they have in common."""
    common = gcd(*(price for line in market.lines for _, price in line.steps)) or 1
    return replace(
        market,
        unit=market.unit * common,
        rooms=tuple(
            replace(
                room,
                instance=replace(room.instance, costs=tuple(cost // common for cost in room.instance.costs)),
            )
            for room in market.rooms
        ),
        lines=tuple(
            replace(line, steps=tuple((least, price // common) for least, price in line.steps)) for line in market.lines
        ),
    )
