"""Ties go to the person: of plans that cost the same, the one that is easier on the shop.

In this order, best effort: least steel of one's own used; fewest distinct layouts; leftovers in few long drops; fewest
sticks. Every budget counts work, never time, so that the outcome repeats.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from cutting.answer.load import Load
from cutting.buying.objective import on_grid
from cutting.question.job import Source
from cutting.search.choice import Choice
from cutting.search.loop import JobSearch

__all__ = ["break_ties"]

OWN_PROPOSALS = 12


def break_ties(search: JobSearch, choice: Choice) -> Choice:
    """Replace a plan by one of no higher cost that is easier on the shop.

    Parameters
    ----------
    search : JobSearch
        The finished search, with all it has learned.
    choice : Choice
        Its plan.
    """
    choice = _sparing(search, choice)
    for number in range(len(choice.loads)):
        if search.clock.over():
            break
        tidied = _tidied(search, number, choice)
        loads = (*choice.loads[:number], tidied, *choice.loads[number + 1 :])
        found = search.plan_of(choice.places, loads, choice.idle)
        if found is not None and found.cost <= choice.cost:
            choice = found
    return choice


def _sparing(search: JobSearch, choice: Choice) -> Choice:
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
        choice = lighter.choice or choice
    return choice


def _weights(search: JobSearch) -> list[tuple[int, ...]]:
    """Weigh each stick by the steel of one's own that it uses, and count one for handling it."""
    ways = [way for room in search.market.rooms for way in room.ways]
    _, lengths = on_grid([way.stick.length if way.stick.source is Source.OWN else way.stick.length * 0 for way in ways])
    sticks = sum(sum(room.instance.limits) for room in search.market.rooms) + 1
    left = iter(lengths)
    return [tuple(next(left) * sticks + 1 for _ in room.ways) for room in search.market.rooms]


def _tidied(search: JobSearch, number: int, choice: Choice) -> tuple[Load, ...]:
    """Tidy the sticks of one room.

    Where leftovers are worth something, other layouts have other drops; those of such sections stay as they are.
    """
    cutter, demands, loads = search.rooms.cutters[number], choice.orders[number].demands, choice.loads[number]
    section = next(rooms for rooms in search.market.sections if number in rooms)
    if not loads or len(section) > 1:
        return loads
    own = cutter.search_for(demands)
    kept = [size for size, pieces in enumerate(demands) if pieces]
    shared: Sequence[Load] = [replace(load, pattern=tuple(load.pattern[size] for size in kept)) for load in loads]
    return cutter.whole_loads(demands, own.tidied(shared))
