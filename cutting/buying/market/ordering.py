"""From sticks taken to what they cost: exact, and told apart by yard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cutting.answer.plan import Transport
from cutting.buying.market.charges import Bill, bill
from cutting.buying.market.model import Line, Market
from cutting.buying.market.orders import RoomOrder

__all__ = ["bills", "cost_of", "taken"]


def cost_of(market: Market, orders: Sequence[RoomOrder]) -> int | None:
    """Return what is taken and cut in each room costs, in units of cost; None where a yard takes no such order."""
    counts = [order.counts for order in orders]
    total = 0
    for _, each in bills(market, counts):
        if each is None:
            return None
        total += each.total * market.money
    for line in market.lines:
        if line.yard is None:
            total += taken(line, counts) * line.price(1)
    for room, order in zip(market.rooms, orders, strict=True):
        total -= sum(way.credit * count for way, count in zip(room.ways, order.counts, strict=True))
        total += sum(take * pieces for take, pieces in zip(room.takes, order.demands, strict=True))
    bought = {line.section for line in market.lines if line.yard is not None and taken(line, counts)}
    return total + market.kind_cost * max(0, len(bought) - 1)


def bills(market: Market, counts: Sequence[Sequence[int]]) -> Iterator[tuple[int, Bill | None]]:
    """Yield (number of the yard, its bill) for every yard that anything is taken from."""
    for number, terms in enumerate(market.terms):
        material, cuts, mass = 0, 0, Fraction(0)
        transports = {Transport.COLLECTED, Transport.DELIVERED}
        used = False
        for line in market.lines:
            count = taken(line, counts)
            if line.yard != number or not count:
                continue
            used = True
            material += count * (line.price(count) // market.money)
            mass += count * line.mass
            for room, kind in line.kinds:
                way = market.rooms[room].ways[kind]
                if counts[room][kind]:
                    cuts += way.cuts * counts[room][kind]
                    transports -= {Transport.COLLECTED} if way.only_delivered else set()
                    transports -= {Transport.DELIVERED} if way.cuts else set()
        if used:
            allowed = [transport for transport in Transport if transport in transports]
            yield number, bill(terms, material=material, cuts=cuts, mass=mass, transports=allowed)


def taken(line: Line, counts: Sequence[Sequence[int]]) -> int:
    """Return how many sticks of a line are taken."""
    return sum(counts[room][kind] for room, kind in line.kinds)
