"""From sticks taken to what they cost: exact, and told apart by yard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cutting.market.charges import Bill, bill
from cutting.market.model import Line, Market
from cutting.plan import Transport

__all__ = ["bills", "cost_of", "taken"]


def cost_of(market: Market, counts: Sequence[Sequence[int]]) -> int | None:
    """Return what these sticks of each kind, room by room, cost; None where a yard takes no such order."""
    total = 0
    for _, each in bills(market, counts):
        if each is None:
            return None
        total += each.total
    rooms = {line.room for line in market.lines if line.yard is not None and taken(line, counts)}
    return total + market.kind_cost * max(0, len(rooms) - 1)


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
            material += count * line.price(count)
            mass += count * line.mass
            for kind in line.kinds:
                way = market.rooms[line.room].ways[kind]
                if counts[line.room][kind]:
                    cuts += way.cuts * counts[line.room][kind]
                    transports -= {Transport.COLLECTED} if way.only_delivered else set()
                    transports -= {Transport.DELIVERED} if way.cuts else set()
        if used:
            allowed = [transport for transport in Transport if transport in transports]
            yield number, bill(terms, material=material, cuts=cuts, mass=mass, transports=allowed)


def taken(line: Line, counts: Sequence[Sequence[int]]) -> int:
    """Return how many sticks of a line are taken."""
    return sum(counts[line.room][kind] for kind in line.kinds)
