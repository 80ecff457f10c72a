"""The checker's rules for sticks that no part is cut from; written from the agreed rules alone.

They are bought from a yard's full bars, come home whole, and the plan says rightly what they do to the order.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Cut, Idle, IdleReason, Order, Plan, Transport
from cutting.checking.prices import cents, cents_down, charges_of, lowest_price, price_at, trips_of
from cutting.question.job import Job, Source, Stick
from cutting.question.yards import Yard

__all__ = ["counts_of", "idle_faults", "idle_worth"]


def counts_of(plan: Plan) -> Counter[str]:
    """How many sticks of each line the plan leaves whole."""
    counts: Counter[str] = Counter()
    for each in plan.idle:
        for line, count in each.sticks:
            counts[line] += count
    return counts


def idle_worth(job: Job, stick: Stick) -> Fraction:
    """Worth of a stick that stays whole, where leftovers are worth something: at most what it costs at its lowest."""
    keep = job.keep_value
    if keep is None or job.currency is None or stick.length < keep.shortest:
        return Fraction(0)
    metre = cents_down(job.currency, Fraction(lowest_price(job, stick)) * 1000 / stick.length)
    return stick.length * min(Fraction(keep.amount) / keep.per, Fraction(metre) / 1000)


def idle_faults(job: Job, plan: Plan, sticks: dict[str, Stick]) -> Iterator[str]:
    """Whether such sticks may be bought at all, and whether what is said of them is so."""
    if plan.idle and not job.idle:
        yield "The plan leaves sticks whole, and the job forbids that."
    if plan.idle and job.currency is None:
        yield "The plan leaves sticks whole in a job without prices, where that is good for nothing."
        return
    orders = {order.yard: order for order in plan.orders}
    yards = [each.yard for each in plan.idle]
    if yards != [name for name in orders if name in yards]:
        yield f"The plan says more than once, or out of order, what stays whole: {yards}."
    for each in plan.idle:
        faults = [*_lines(job, each, sticks), *_carried(job, each, orders.get(each.yard), sticks)]
        yield from faults
        if not faults:
            yield from _said(job, plan, each, sticks, orders)


def _lines(job: Job, idle: Idle, sticks: dict[str, Stick]) -> Iterator[str]:
    names = [line for line, _ in idle.sticks]
    if not names or names != [stick.id for stick in job.sticks if stick.id in names]:
        yield f"What stays whole isn't listed once and in the order of the job: {names}."
    for line, count in idle.sticks:
        stick = sticks[line]
        if stick.source is not Source.STICKS or stick.yard != idle.yard:
            yield f"{line} stays whole, and it is no full bar of {idle.yard or 'the yard'}."
        if count < 1:
            yield f"{count} of {line} are said to stay whole."


def _carried(job: Job, idle: Idle, order: Order | None, sticks: dict[str, Stick]) -> Iterator[str]:
    if order is None:
        yield f"Sticks of {idle.yard or 'the yard'} stay whole, and nothing is ordered there."
    elif order.transport is Transport.COLLECTED:
        for line, _ in idle.sticks:
            if not _can_be_carried(job, sticks[line]):
                yield f"{line} stays whole, and is too long or too heavy to be carried."


def _can_be_carried(job: Job, stick: Stick) -> bool:
    too_long = job.carry.longest is not None and stick.length > job.carry.longest
    mass = (stick.section.mass or Fraction(0)) * stick.length / 1000
    return not too_long and (job.carry.load is None or mass <= job.carry.load)


def _said(job: Job, plan: Plan, idle: Idle, sticks: dict[str, Stick], orders: dict[str, Order]) -> Iterator[str]:
    order = orders[idle.yard]
    left = _Left(job, plan, idle, sticks)
    wanted = tuple(left.reasons(order))
    if not wanted:
        yield f"The sticks of {idle.yard or 'the yard'} that stay whole are good for nothing."
    if idle.reasons != wanted:
        yield f"What stays whole is there for {[*wanted]}, not for {[*idle.reasons]}."
    saved = left.saved(order)
    if idle.saved != saved:
        yield f"What stays whole saves {saved}, not {idle.saved}."
    elif saved is not None and saved < 0:
        yield f"What stays whole costs {-saved} more than it saves."


class _Left:
    """One yard's order without the sticks that stay whole."""

    def __init__(self, job: Job, plan: Plan, idle: Idle, sticks: dict[str, Stick]) -> None:
        self.job, self.plan, self.idle, self.sticks = job, plan, idle, sticks
        self.yard = next((yard for yard in job.yards if yard.name == idle.yard), Yard(name=idle.yard))
        self.cuts = [cut for cut in plan.cuts if self._is_here(cut)]
        self.counts: Counter[str] = Counter()
        for cut in self.cuts:
            self.counts[cut.stick] += cut.quantity
        prices = {line: price_at(job, sticks[line], count) or Decimal(0) for line, count in self.counts.items()}
        self.material = sum((prices[line] * count for line, count in self.counts.items()), Decimal(0))
        totals = [total for way in Transport if (total := self._total(way)) is not None]
        self.cheapest = min(totals, default=None)

    def _is_here(self, cut: Cut) -> bool:
        stick = self.sticks[cut.stick]
        return stick.source is not Source.OWN and stick.yard == self.idle.yard

    def _total(self, transport: Transport) -> Decimal | None:
        """What is left of the order costs when it comes home so; None where it can't."""
        assert self.job.currency is not None
        if not self.cuts:
            return Decimal(0)
        delivered = transport is Transport.DELIVERED
        if self.material < self.yard.minimum or (self.yard.delivery if delivered else self.yard.collecting) is None:
            return None
        if delivered and any(cut.marks for cut in self.cuts):
            return None
        uncut = [self.sticks[cut.stick] for cut in self.cuts if not cut.marks]
        if not delivered and not all(_can_be_carried(self.job, stick) for stick in uncut):
            return None
        weight = sum(((cut.section.mass or 0) * cut.length * cut.quantity / 1000 for cut in self.cuts), Fraction(0))
        trips = None if delivered else trips_of(self.job, transport, weight)
        made = sum(len(cut.marks) * cut.quantity for cut in self.cuts)
        return self.material + charges_of(self.job.currency, self.yard, self.material, made, trips).total

    def reasons(self, order: Order) -> Iterator[IdleReason]:
        """What the sticks that stay whole do to the order."""
        yard = self.yard
        if self.material < yard.minimum:
            yield IdleReason.MINIMUM
        free = order.transport is Transport.DELIVERED and order.delivery == 0
        if free and yard.delivery and yard.delivery_free_from is not None and self.material < yard.delivery_free_from:
            yield IdleReason.DELIVERY
        for line, count in self.idle.sticks:
            before = self.counts[line]
            now, then = (price_at(self.job, self.sticks[line], n) for n in (before + count, before))
            if before and now is not None and then is not None and now < then:
                yield IdleReason.PRICE
                return

    def saved(self, order: Order) -> Fraction | None:
        """What the same layouts cost more without them; None where no such order is taken."""
        assert self.job.currency is not None
        if self.cheapest is None:
            return None
        here = dict(self.idle.sticks)
        worth = sum((count * idle_worth(self.job, self.sticks[line]) for line, count in here.items()), Fraction(0))
        lines = [line for line in self.plan.buy if line.source is not Source.OWN]
        with_them = {line.section.key for line in lines}
        without = {line.section.key for line in lines if line.quantity > here.get(line.stick, 0)}
        fewer = max(0, len(with_them) - 1) - max(0, len(without) - 1)
        kinds = cents(self.job.currency, Fraction(self.job.kind_cost)) * fewer
        return Fraction(self.cheapest - (order.total or Decimal(0)) - kinds) + worth
