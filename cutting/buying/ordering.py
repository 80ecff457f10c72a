"""From sticks taken to what they cost: exact, and told apart by yard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cutting.answer.plan import Transport
from cutting.buying.charges import Bill, bill
from cutting.buying.lines import taken
from cutting.buying.master import RoomOrder
from cutting.buying.model import Market

__all__ = ["bill_of", "bills", "cost_of", "material_of"]


def cost_of(market: Market, orders: Sequence[RoomOrder], idle: Sequence[int]) -> int | None:
    """Return what is taken and cut in each room costs, in units of cost; None where a yard takes no such order.

    `idle` is how many sticks of each line stay whole.
    """
    counts = [order.counts for order in orders]
    total = 0
    for _, each in bills(market, counts, idle):
        if each is None:
            return None
        total += each.total * market.money
    for line, whole in zip(market.lines, idle, strict=True):
        total -= line.idle_credit * whole
        if line.yard is None:
            total += taken(line, counts, whole) * line.price(1)
    for room, order in zip(market.rooms, orders, strict=True):
        total -= sum(way.credit * count for way, count in zip(room.ways, order.counts, strict=True))
        total += sum(take * pieces for take, pieces in zip(room.takes, order.demands, strict=True))
    sold = zip(market.lines, idle, strict=True)
    bought = {line.section for line, whole in sold if line.yard is not None and taken(line, counts, whole)}
    return total + market.kind_cost * max(0, len(bought) - 1)


def bills(market: Market, counts: Sequence[Sequence[int]], idle: Sequence[int]) -> Iterator[tuple[int, Bill | None]]:
    """Yield (number of the yard, its bill) for every yard that anything is taken from."""
    for number in range(len(market.terms)):
        lines = enumerate(market.lines)
        if any(line.yard == number and taken(line, counts, idle[at]) for at, line in lines):
            yield number, bill_of(market, number, counts, idle)


def material_of(market: Market, number: int, counts: Sequence[Sequence[int]], idle: Sequence[int]) -> int:
    """Return what the sticks of one yard's order cost, in the currency's smallest unit."""
    lines = zip(market.lines, idle, strict=True)
    sold = [(line, taken(line, counts, whole)) for line, whole in lines if line.yard == number]
    return sum(count * (line.price(count) // market.money) for line, count in sold if count)


def bill_of(market: Market, number: int, counts: Sequence[Sequence[int]], idle: Sequence[int]) -> Bill | None:
    """Return the bill of one yard; None where it takes no such order."""
    cuts, mass = 0, Fraction(0)
    transports = {Transport.COLLECTED, Transport.DELIVERED}
    for line, whole in zip(market.lines, idle, strict=True):
        count = taken(line, counts, whole)
        if line.yard != number or not count:
            continue
        mass += count * line.mass
        if whole and line.idle_delivered:
            transports -= {Transport.COLLECTED}
        for room, kind in line.kinds:
            way = market.rooms[room].ways[kind]
            if counts[room][kind]:
                cuts += way.cuts * counts[room][kind]
                transports -= {Transport.COLLECTED} if way.only_delivered else set()
                transports -= {Transport.DELIVERED} if way.cuts else set()
    allowed = [transport for transport in Transport if transport in transports]
    material = material_of(market, number, counts, idle)
    return bill(market.terms[number], material=material, cuts=cuts, mass=mass, transports=allowed)
