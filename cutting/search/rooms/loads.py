"""A stick with no part is never taken: single pieces move to sticks that a layout left empty."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from cutting.answer.load import Load, held
from cutting.buying.market import Market, Room, RoomOrder

__all__ = ["counts_of", "fill_every_stick", "keep_drops", "order_of"]

Pattern = tuple[int, ...]


def counts_of(room: Room, loads: Sequence[Load]) -> tuple[int, ...]:
    """Return the sticks of each kind that loads use."""
    counts = [0] * len(room.ways)
    for load in loads:
        counts[load.kind] += load.times
    return tuple(counts)


def order_of(room: Room, loads: Sequence[Load]) -> RoomOrder:
    """Return the sticks and pieces of a room's loads."""
    demands = [0] * len(room.instance.sizes)
    for load in loads:
        for size, pieces in held(load.pattern):
            demands[size] += pieces * load.times
    return RoomOrder(counts=counts_of(room, loads), demands=tuple(demands))


def keep_drops(market: Market, loads: Sequence[tuple[Load, ...]]) -> list[tuple[Load, ...]]:
    """Move every load with a drop worth keeping to the room where that is worth something, and no other there."""
    found: list[list[Load]] = [[] for _ in market.rooms]
    for rooms in market.sections:
        for room in rooms:
            for load in loads[room]:
                target, kind = _keeping(market, rooms, room, load)
                found[target].append(replace(load, kind=kind))
    return [tuple(some) for some in found]


def _keeping(market: Market, rooms: Sequence[int], room: int, load: Load) -> tuple[int, int]:
    way = market.rooms[room].ways[load.kind]
    if way.windows is not None:
        return room, load.kind
    same = [
        (other, kind)
        for other in rooms
        for kind, each in enumerate(market.rooms[other].ways)
        if each.stick is way.stick and each.windows is None
    ]
    for other, kind in same:
        if market.rooms[other].ways[kind].credit and _is_kept(market.rooms[other], kind, load.pattern):
            return other, kind
    return next(((other, kind) for other, kind in same if not any(market.rooms[other].takes)), (room, load.kind))


def _is_kept(room: Room, kind: int, pattern: Pattern) -> bool:
    """Whether the drop behind these parts is worth something."""
    if room.drops is not None:
        return room.drops.keeps(room.ways[kind].stick.clear, pattern)
    size = sum(size * n for size, n in zip(room.instance.sizes, pattern, strict=True))
    return size <= room.instance.capacities[kind]


def fill_every_stick(room: Room, loads: Sequence[Load], counts: Sequence[int]) -> tuple[Load, ...]:
    """Give every one of these sticks a piece.

    Parameters
    ----------
    room : Room
        The room.
    loads : sequence of Load
        A layout of all pieces on some of the sticks.
    counts : sequence of int
        All of the sticks; there must be enough pieces short enough for them.

    Notes
    -----
    An empty stick takes its longest possible piece from a stick that holds several; where all pieces short enough are
    alone on longer sticks, it takes one of these and leaves a longer stick empty instead, which ends after as many
    steps as there are lengths.
    """
    used = counts_of(room, loads)
    sticks = [(load.kind, load.pattern) for load in loads for _ in range(load.times)]
    empty = [kind for kind, count in enumerate(counts) for _ in range(count - used[kind])]
    for kind in sorted(empty, key=room.holds_alone):
        _fill(room, sticks, kind)
    alike = Counter(sticks)
    return tuple(Load(kind=kind, pattern=pattern, times=times) for (kind, pattern), times in alike.items())


def _fill(room: Room, sticks: list[tuple[int, Pattern]], kind: int) -> None:
    """Find a piece for one empty stick."""
    while True:
        reach = room.holds_alone(kind)
        sizes = [size for size, need in enumerate(room.alone) if need <= reach]
        shared = [
            (at, size) for at, (_, pattern) in enumerate(sticks) if sum(pattern) > 1 for size in sizes if pattern[size]
        ]
        alone = [
            (at, size)
            for at, (other, pattern) in enumerate(sticks)
            if room.holds_alone(other) > reach
            for size in sizes
            if pattern[size]
        ]
        if not shared and not alone:
            raise AssertionError("more sticks were taken than there are pieces for them")
        at, size = (shared or alone)[0]
        other, pattern = sticks[at]
        piece = tuple(int(each == size) for each in range(len(pattern)))
        rest = tuple(a - b for a, b in zip(pattern, piece, strict=True))
        if any(rest):
            sticks[at] = (other, rest)
            sticks.append((kind, piece))
            return
        sticks[at] = (kind, piece)
        kind = other
