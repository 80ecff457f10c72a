"""Rule: a yard's order: its least material, how it comes home and what that costs, and the yard's tax on all of it.

Taxes are rounded half up once per yard, fees to the smallest unit; trips are our own cost and never taxed. Everything
is in the currency's smallest unit until it is handed out. What the yard's cuts and our trips come to is said by `cuts`
and `trips`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cutting.answer.plan import Transport
from cutting.buying.lines import Line
from cutting.buying.market import Market, Rows, Rule, Taken
from cutting.buying.rules.cuts import cutting_of, cutting_rows, made, most_cuts
from cutting.buying.rules.trips import trip_rows, trips_of
from cutting.buying.terms import Terms
from cutting.question.job import Job
from cutting.question.yards import Carry, Charge

__all__ = ["Bill", "Orders", "bill_of", "bills", "material_of", "ruled"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Bill:
    """What one order costs, in whole minor units.

    Attributes
    ----------
    transport : Transport
        How it comes home.
    trips : int
        0 where delivered.
    material, cutting, delivery, collecting, tax : int
        The charges.
    """

    transport: Transport
    trips: int
    material: int
    cutting: int
    delivery: int
    collecting: int
    tax: int

    @property
    def total(self) -> int:
        """Everything that the order costs."""
        return self.material + self.cutting + self.delivery + self.collecting + self.tax


class Orders(Rule):
    """Charges what an order costs beyond its sticks, and refuses what a yard doesn't take."""

    __slots__ = ()

    @classmethod
    def stated(cls, job: Job) -> bool:
        """Whether yards or the road are described."""
        return bool(job.yards) or job.carry != Carry()

    def joins(self, market: Market) -> Iterator[list[int]]:
        """Yield the sections of each yard whose terms say more than prices."""
        for yard in sorted(ruled(market)):
            yield [line.section for line in market.lines if line.yard == yard]

    def rows(self, master: Rows) -> Any:
        """Write every order that says more than prices."""
        yards = sorted(ruled(master.market))
        return master.market.money * sum(_Order(master, yard).fees() for yard in yards)

    def cost(self, taken: Taken) -> int | None:
        """Return what the orders cost beyond their sticks."""
        total = 0
        for _, each in bills(taken):
            if each is None:
                return None
            total += each.total - each.material
        return total * taken.market.money


def ruled(market: Market) -> set[int]:
    """Return the yards whose terms, or how whose sticks come home, join what is taken from them."""
    found = set()
    for line in market.lines:
        ways = [market.rooms[room].ways[kind] for room, kind in line.kinds]
        if line.yard is not None and (
            _matters(market.terms[line.yard])
            or line.idle_delivered
            or any(way.cuts or way.only_delivered for way in ways)
        ):
            found.add(line.yard)
    return found


def _matters(terms: Terms) -> bool:
    """Whether a yard's terms say more than the price of each stick, so that its sticks have to do with each other."""
    taxed = terms.rate and terms.on
    return bool(terms.minimum or terms.delivery or terms.collecting or terms.charge or taxed)


class _Order:
    """One yard's order in the buying model."""

    def __init__(self, master: Rows, yard: int) -> None:
        self.master = master
        self.terms = master.market.terms[yard]
        self.numbers = [number for number, line in enumerate(master.market.lines) if line.yard == yard]
        self.lines: list[Line] = [master.market.lines[number] for number in self.numbers]

    def fees(self) -> Any:
        """Return everything beyond the sticks, and see to it that the yard takes the order."""
        master, terms = self.master, self.terms
        material = sum(master.prices[number] for number in self.numbers)
        deliver, collect = master.bool(), master.bool()
        master.model.add_at_most_one([deliver, collect])
        used = deliver + collect
        if terms.delivery is None:
            master.model.add(deliver == 0)
        if terms.collecting is None:
            master.model.add(collect == 0)
        for number, line in zip(self.numbers, self.lines, strict=True):
            master.model.add(master.taken(number) <= line.most * used)
        if terms.minimum > 0:
            master.model.add(material >= terms.minimum * used)
        self._delivered_only(deliver)
        delivery = self._delivery(material, deliver)
        cutting = cutting_rows(master, terms, self.lines, collect)
        fees = delivery + cutting
        if terms.collecting:
            fees += terms.collecting * trip_rows(master, terms, self.numbers, collect)
        return fees + self._tax({Charge.MATERIAL: material, Charge.CUTS: cutting, Charge.DELIVERY: delivery})

    def _delivered_only(self, deliver: Any) -> None:
        """Let sticks that can't be carried come by delivery alone."""
        master = self.master
        for number, line in zip(self.numbers, self.lines, strict=True):
            if line.idle_delivered:
                master.model.add(master.idle[number] <= line.idle * deliver)
            for room, kind in line.kinds:
                if master.market.rooms[room].ways[kind].only_delivered:
                    master.model.add(master.counts[room][kind] <= line.most * deliver)

    def _most(self) -> int:
        """Return the most that the material can cost."""
        money = self.master.market.money
        return sum(max(price for _, price in line.steps) // money * line.most for line in self.lines)

    def _delivery(self, material: Any, deliver: Any) -> Any:
        terms, model = self.terms, self.master.model
        if not terms.delivery:
            return 0
        if terms.free_from is None or terms.free_from > self._most():
            return terms.delivery * deliver
        free = self.master.bool()
        model.add(free <= deliver)
        model.add(material >= terms.free_from * free)
        return terms.delivery * (deliver - free)

    def _tax(self, charges: dict[Charge, Any]) -> Any:
        """Round half up from below: the least whole number within half a unit of the exact tax."""
        terms = self.terms
        if not terms.rate or not terms.on:
            return 0
        base = sum(charges[charge] for charge in Charge if charge in terms.on)
        most = self._most() + (terms.delivery or 0) + terms.charge * most_cuts(self.master.market, self.lines)
        tax = self.master.model.new_int_var(0, int(terms.rate * most) + 1, "")
        rate = terms.rate
        self.master.model.add(2 * rate.denominator * tax >= 2 * rate.numerator * base - rate.denominator + 1)
        return tax


# -- the same, exactly, of what is taken ------------------------------------------------------


def bills(taken: Taken) -> Iterator[tuple[int, Bill | None]]:
    """Yield (number of the yard, its bill) for every yard that anything is taken from."""
    for number in sorted({line.yard for line, count in taken.lines() if line.yard is not None and count}):
        yield number, bill_of(taken, number)


def material_of(taken: Taken, yard: int) -> int:
    """Return what the sticks of one yard's order cost, in the currency's smallest unit."""
    sold = [(line, count) for line, count in taken.lines() if line.yard == yard and count]
    return sum(count * (line.price(count) // taken.market.money) for line, count in sold)


def bill_of(taken: Taken, yard: int) -> Bill | None:
    """Return the bill of one yard, by its cheapest transport; None where it takes no such order."""
    terms, material = taken.market.terms[yard], material_of(taken, yard)
    if material < terms.minimum:
        return None
    mass = sum((count * line.mass for line, count in taken.lines() if line.yard == yard and count), Fraction(0))
    cuts = made(taken, yard)
    found = [_bill(terms, material, cuts, mass, transport) for transport in _transports(taken, yard)]
    return min((each for each in found if each is not None), key=lambda each: each.total, default=None)


def _transports(taken: Taken, yard: int) -> Sequence[Transport]:
    """Return how what is taken of a yard can come home."""
    market, left = taken.market, {*Transport}
    for line, whole in zip(market.lines, taken.idle, strict=True):
        if line.yard != yard:
            continue
        if whole and line.idle_delivered:
            left -= {Transport.COLLECTED}
        for room, kind in line.kinds:
            way = market.rooms[room].ways[kind]
            if taken.orders[room].counts[kind]:
                left -= {Transport.COLLECTED} if way.only_delivered else set()
                left -= {Transport.DELIVERED} if way.cuts else set()
    return [transport for transport in Transport if transport in left]


def _bill(terms: Terms, material: int, cuts: int, mass: Fraction, transport: Transport) -> Bill | None:
    delivery, collecting, trips = 0, 0, 0
    if transport is Transport.DELIVERED:
        if terms.delivery is None:
            return None
        free = terms.free_from is not None and material >= terms.free_from
        delivery = 0 if free else terms.delivery
    else:
        if terms.collecting is None:
            return None
        trips = trips_of(terms, mass)
        collecting = trips * terms.collecting
    cutting = cutting_of(terms, cuts)
    charges = {Charge.MATERIAL: material, Charge.CUTS: cutting, Charge.DELIVERY: delivery}
    tax = terms.rate * sum(charges[charge] for charge in terms.on)
    return Bill(
        transport=transport,
        trips=trips,
        material=material,
        cutting=cutting,
        delivery=delivery,
        collecting=collecting,
        tax=(2 * tax.numerator + tax.denominator) // (2 * tax.denominator),
    )
