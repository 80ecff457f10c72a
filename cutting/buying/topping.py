"""Sticks that stay whole, added to what parts are cut from: as few as do any good, by a simple rule."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cutting.buying.market import Market, Taken
from cutting.buying.rules import cost_of
from cutting.buying.rules.order import bill_of

__all__ = ["Topped", "topped_up"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Topped:
    """How many sticks of each line stay whole, and what everything then costs."""

    idle: tuple[int, ...]
    cost: int


def topped_up(taken: Taken, said: Sequence[int] | None) -> Topped | None:
    """Return what costs least: the sticks that were said to stay whole, or those of one line for each yard.

    Parameters
    ----------
    taken : Taken
        What is taken and cut; nothing stays whole.
    said : sequence of int or None
        For each line; None where nothing was said.

    Returns
    -------
    Topped or None
        None where the yards take none of these orders.
    """
    none = tuple(taken.idle)
    found = _of(taken, _by_rule(taken))
    for idle in (none, none if said is None else tuple(said)):
        other = _of(taken, idle)
        if other is not None and (found is None or other.cost < found.cost):
            found = other
    return found if found is None or not any(found.idle) else _spared(taken, found)


def _spared(taken: Taken, topped: Topped) -> Topped:
    """Leave out whatever stays whole for nothing: all of one yard, all of one line, or single sticks."""
    best = topped
    for number in range(len(taken.market.terms)):
        lines = zip(taken.market.lines, best.idle, strict=True)
        other = _of(taken, tuple(0 if line.yard == number else whole for line, whole in lines))
        if other is not None and other.cost <= best.cost:
            best = other
    for at, whole in enumerate(best.idle):
        for left in range(whole):
            other = _of(taken, (*best.idle[:at], left, *best.idle[at + 1 :]))
            if other is not None and other.cost <= best.cost:
                best = other
                break
    return best


def _of(taken: Taken, idle: tuple[int, ...]) -> Topped | None:
    cost = cost_of(replace(taken, idle=idle))
    return None if cost is None else Topped(idle=idle, cost=cost)


def _by_rule(taken: Taken) -> tuple[int, ...]:
    """Top every order up with sticks of one line, where that makes it possible or cheaper."""
    none, market = tuple(taken.idle), taken.market
    chosen = list(none)
    sticks = [count for _, count in taken.lines()]
    for number in range(len(market.terms)):
        lines = [(at, line) for at, line in enumerate(market.lines) if line.yard == number]
        if not any(sticks[at] for at, _ in lines):
            continue
        least = _total(taken, number)
        for at, _ in lines:
            for whole in _numbers(market, at, sticks):
                total = _total(replace(taken, idle=(*none[:at], whole, *none[at + 1 :])), number)
                if total is not None and (least is None or total < least):
                    least = total
                    for other, _ in lines:
                        chosen[other] = whole if other == at else 0
    return tuple(chosen)


def _total(taken: Taken, number: int) -> int | None:
    """Return what one yard's order costs, in units of cost, less the worth of what stays whole."""
    made = bill_of(taken, number)
    worth = sum(line.idle_credit * whole for line, whole in zip(taken.market.lines, taken.idle, strict=True))
    return None if made is None else made.total * taken.market.money - worth


def _numbers(market: Market, at: int, sticks: Sequence[int]) -> Iterator[int]:
    """How many more sticks of a line just reach a minimum, a free delivery or a price by quantity."""
    line, count = market.lines[at], sticks[at]
    assert line.yard is not None
    terms = market.terms[line.yard]
    beside = 0
    for other, n in zip(market.lines, sticks, strict=True):
        if other.yard == line.yard and other is not line and n:
            beside += n * (other.price(n) // market.money)
    wanted = {least - count for least, _ in line.steps}
    for amount in (terms.minimum, terms.free_from):
        prices = {price // market.money for _, price in line.steps}
        wanted |= {-(-(amount - beside) // price) - count for price in prices if amount is not None and price}
    return (whole for whole in sorted(wanted) if 0 < whole <= min(line.idle, line.most - count))
