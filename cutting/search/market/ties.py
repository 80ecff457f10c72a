"""Ties go to the person, for a job with yards: the same cost, less of one's own steel, fewer and simpler layouts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from cutting.answer.load import Load
from cutting.buying.model import on_grid
from cutting.question.job import Source
from cutting.search.angled.ties import tidy_rows
from cutting.search.loop import Answer
from cutting.search.market.filling import counts_of
from cutting.search.market.loop import Choice, MarketSearch
from cutting.search.ties import tidy

__all__ = ["easier"]

OWN_PROPOSALS = 6


def easier(search: MarketSearch, choice: Choice) -> Choice:
    """Replace a plan by one of the same cost that is easier on the shop.

    Parameters
    ----------
    search : MarketSearch
        The finished search, with all it has learned.
    choice : Choice
        Its plan.
    """
    choice = _sparing(search, choice)
    loads = []
    for number, (order, some) in enumerate(zip(choice.orders, choice.loads, strict=True)):
        tidied = _tidied(search, number, order.demands, some)
        same = counts_of(search.market.rooms[number], tidied) == order.counts
        loads.append(tidied if same else some)
    return replace(choice, loads=tuple(loads))


def _sparing(search: MarketSearch, choice: Choice) -> Choice:
    """Look for a plan of the same cost that uses less steel of one's own, then fewer sticks."""
    weights = _weights(search)
    if not any(way.stick.source is Source.OWN for room in search.market.rooms for way in room.ways):
        return choice
    for _ in range(OWN_PROPOSALS):
        rooms = zip(weights, choice.orders, strict=True)
        weight = sum(w * n for some, order in rooms for w, n in zip(some, order.counts, strict=True))
        lighter = search.lighter(choice.cost, weights, weight)
        if lighter is None:
            break
        choice = lighter
    return choice


def _weights(search: MarketSearch) -> list[tuple[int, ...]]:
    """Weigh each stick by the steel of one's own that it uses, and count one for handling it."""
    ways = [way for room in search.market.rooms for way in room.ways]
    _, lengths = on_grid([way.stick.length if way.stick.source is Source.OWN else way.stick.length * 0 for way in ways])
    sticks = sum(sum(room.instance.limits) for room in search.market.rooms) + 1
    left = iter(lengths)
    return [tuple(next(left) * sticks + 1 for _ in room.ways) for room in search.market.rooms]


def _tidied(search: MarketSearch, number: int, demands: tuple[int, ...], loads: Sequence[Load]) -> tuple[Load, ...]:
    bench = search.benches[number]
    section = next(rooms for rooms in search.market.sections if number in rooms)
    if not loads or len(section) > 1 or any(bench.room.ways[load.kind].windows is not None for load in loads):
        return tuple(loads)
    own = bench.search_for(demands)
    kept = [size for size, pieces in enumerate(demands) if pieces]
    shared = tuple(replace(load, pattern=tuple(load.pattern[size] for size in kept)) for load in loads)
    answer = Answer(loads=shared, cost=None, bound=None, rests=search.rests, work=own.work)
    easing = tidy if own.instance.rows is None else tidy_rows
    tidied = easing(own, answer, (0,) * len(bench.room.ways)).loads
    assert tidied is not None
    return bench.whole_loads(demands, tidied)
