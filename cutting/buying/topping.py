"""Sticks that stay whole, added to what parts are cut from: as few as do any good, by a simple rule."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cutting.buying.lines import Line, taken
from cutting.buying.market import Market, RoomOrder, Taken
from cutting.buying.rules import cost_of
from cutting.buying.rules.order import bill_of

__all__ = ["Topped", "spared", "topped_up"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Topped:
    """How many sticks of each line stay whole, and what everything then costs."""

    idle: tuple[int, ...]
    cost: int


def topped_up(market: Market, orders: Sequence[RoomOrder], said: Sequence[int] | None) -> Topped | None:
    """Return what costs least: the sticks that were said to stay whole, or those of one line for each yard.

    Parameters
    ----------
    market : Market
        The job.
    orders : sequence of RoomOrder
        What is taken and cut in each room.
    said : sequence of int or None
        For each line; None where nothing was said.

    Returns
    -------
    Topped or None
        None where the yards take none of these orders.
    """
    none = (0,) * len(market.lines)
    found = _of(market, orders, _by_rule(market, orders, none))
    for idle in (none, none if said is None else tuple(said)):
        other = _of(market, orders, idle)
        if other is not None and (found is None or other.cost < found.cost):
            found = other
    return found if found is None or not any(found.idle) else spared(market, orders, found)


def spared(market: Market, orders: Sequence[RoomOrder], topped: Topped) -> Topped:
    """Leave out whatever stays whole for nothing: all of one yard, all of one line, or single sticks."""
    best = topped
    for number in range(len(market.terms)):
        lines = zip(market.lines, best.idle, strict=True)
        other = _of(market, orders, tuple(0 if line.yard == number else whole for line, whole in lines))
        if other is not None and other.cost <= best.cost:
            best = other
    for at, whole in enumerate(best.idle):
        for left in range(whole):
            other = _of(market, orders, (*best.idle[:at], left, *best.idle[at + 1 :]))
            if other is not None and other.cost <= best.cost:
                best = other
                break
    return best


def _of(market: Market, orders: Sequence[RoomOrder], idle: tuple[int, ...]) -> Topped | None:
    cost = cost_of(market, orders, idle)
    return None if cost is None else Topped(idle=idle, cost=cost)


def _by_rule(market: Market, orders: Sequence[RoomOrder], none: tuple[int, ...]) -> tuple[int, ...]:
    """Top every order up with sticks of one line, where that makes it possible or cheaper."""
    chosen = list(none)
    counts = [order.counts for order in orders]
    for number in range(len(market.terms)):
        lines = [(at, line) for at, line in enumerate(market.lines) if line.yard == number]
        if not any(taken(line, counts, 0) for _, line in lines):
            continue
        least = _total(market, number, orders, none)
        for at, line in lines:
            for whole in _numbers(market, line, number, counts):
                total = _total(market, number, orders, (*none[:at], whole, *none[at + 1 :]))
                if total is not None and (least is None or total < least):
                    least = total
                    for other, _ in lines:
                        chosen[other] = whole if other == at else 0
    return tuple(chosen)


def _total(market: Market, number: int, orders: Sequence[RoomOrder], idle: tuple[int, ...]) -> int | None:
    """Return what one yard's order costs, in units of cost, less the worth of what stays whole."""
    made = bill_of(Taken(market=market, orders=orders, idle=idle), number)
    worth = sum(line.idle_credit * whole for line, whole in zip(market.lines, idle, strict=True))
    return None if made is None else made.total * market.money - worth


def _numbers(market: Market, line: Line, number: int, counts: Sequence[Sequence[int]]) -> Iterator[int]:
    """How many sticks of a line just reach a minimum, a free delivery or a price by quantity."""
    terms = market.terms[number]
    count = taken(line, counts, 0)
    beside = 0
    for other in market.lines:
        if other.yard == number and other is not line and (n := taken(other, counts, 0)):
            beside += n * (other.price(n) // market.money)
    wanted = {least - count for least, _ in line.steps}
    for amount in (terms.minimum, terms.free_from):
        prices = {price // market.money for _, price in line.steps}
        wanted |= {-(-(amount - beside) // price) - count for price in prices if amount is not None and price}
    return (whole for whole in sorted(wanted) if 0 < whole <= min(line.idle, line.most - count))
