"""Rule: what leftovers are worth: drops kept, and one's own pieces that are used.

Behind angled parts a drop is as long as their order and poses leave it: the buying model counts the most it can be, a
sum over the parts, and what it is worth less is added once layouts are known (`cutting.buying.drops`).

A drop's credit never exceeds what that length cost at the line's lowest price. What using an own piece costs is in its
price (`breaks.priced_steps`).
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor
from typing import Any

from cutting.buying.market import Rows, Rule, Taken
from cutting.fit.angled.model import has_angles
from cutting.question.job import Job, Source, Stick
from cutting.question.money import minor_digits
from cutting.question.prices import price_steps

__all__ = ["Leftovers", "keep_rate", "own_worth"]


class Leftovers(Rule):
    """Credits drops."""

    __slots__ = ()

    @classmethod
    def stated(cls, job: Job) -> bool:
        """Whether leftovers have a worth."""
        return job.keep_value is not None

    @classmethod
    def amounts(cls, job: Job) -> Iterator[Fraction]:
        """Yield worths of parts, kerfs and sticks."""
        lengths = [job.saw.kerf, *(part.length for part in job.parts)]
        for rate in sorted({rate for stick in job.sticks if (rate := keep_rate(job, stick))}):
            yield from (rate * length for length in lengths)
        for stick in job.sticks:
            yield from (*(keep_rate(job, stick) * mm for mm in (stick.clear, stick.length)), own_worth(job, stick))
        if job.keep_value is not None and has_angles(job.parts):
            from cutting.buying.drops import row_steps  # noqa: PLC0415 - only where ends are angled

            yield from row_steps(job)

    def rows(self, master: Rows) -> Any:
        """Return what the drops kept are worth, as less than nothing."""
        total: Any = 0
        for room, counts, demands in zip(master.market.rooms, master.counts, master.demands, strict=True):
            if any(room.takes):
                total -= master.total(counts, [way.credit for way in room.ways]) - master.total(demands, room.takes)
        return total

    def cost(self, taken: Taken) -> int:
        """Return the same of what is taken."""
        total = 0
        for room, order in zip(taken.market.rooms, taken.orders, strict=True):
            total -= sum(way.credit * count for way, count in zip(room.ways, order.counts, strict=True))
            total += sum(take * pieces for take, pieces in zip(room.takes, order.demands, strict=True))
        for room, loads in zip(taken.market.rooms, taken.loads, strict=True):
            if room.drops is not None:
                total += sum(load.times * room.drops.beyond(load.pattern) for load in loads)
        return total


def keep_rate(job: Job, stick: Stick) -> Fraction:
    """Money per mm that a drop of a stick is worth: never more than the stick costs at its lowest price.

    What it costs per metre is rounded down to the currency's smallest unit.
    """
    keep = job.keep_value
    if keep is None or job.currency is None:
        return Fraction(0)
    rate = Fraction(keep.amount) / keep.per
    if stick.source is Source.OWN:
        return rate
    cents = 10 ** minor_digits(job.currency)
    lowest = min(price for _, price in price_steps(job)[stick.id])
    return min(rate, Fraction(floor(Fraction(lowest) * cents * 1000 / stick.length), cents * 1000))


def own_worth(job: Job, stick: Stick) -> Fraction:
    """Value of a piece of one's own, which using it costs: that of a drop of its length."""
    keep = job.keep_value
    if stick.source is not Source.OWN or keep is None or stick.length < keep.shortest:
        return Fraction(0)
    return Fraction(keep.amount) / keep.per * stick.length
