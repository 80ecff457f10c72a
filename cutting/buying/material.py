"""The least that the parts must cost as material, before any search: a bound that stands at once.

Steel is only as cheap as the cheapest stick per length, so that parts that go to the same sticks cost no less than
filling these to the brim, the cheapest first, as far as there are any. Nothing a yard charges beside makes it less;
what leftovers are worth is never more than their share of a stick's price.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cutting.buying.objective import price_table
from cutting.buying.rules.leftovers import own_worth
from cutting.fit.angled.model import has_angles
from cutting.fit.angled.shape import lengths_of
from cutting.question.job import Job, Part, Stick
from cutting.question.prices import price_steps

__all__ = ["least_by_material"]

_Key = tuple[str, str]


def least_by_material(job: Job) -> Fraction:
    """Return what no plan costs less than, in the objective's unit.

    Parameters
    ----------
    job : Job
        Without input problems.

    Notes
    -----
    n square-ended parts and the cuts between them take n kerfs of m sticks that are one kerf longer each. Parts with
    angled ends may share cuts and nest, and are counted with their length along the centre line, without any kerf.
    """
    costs = _costs(job)
    total = Fraction(0)
    for parts, sticks in _pools(job):
        kerf = Fraction(0) if has_angles(parts) or job.keep_value is not None else job.saw.kerf
        rooms = [(costs[stick.id], _room(job, stick, kerf), stick.available) for stick in sticks]
        total += _filled(parts, [each for each in rooms if each[1] > 0], kerf)
    return total


def _room(job: Job, stick: Stick, kerf: Fraction) -> Fraction:
    """Length that a stick's cost is spread over; all of it where what is left over is worth its share of the price."""
    return stick.clear + kerf if job.keep_value is None else stick.length


def _costs(job: Job) -> dict[str, Fraction]:
    """What a stick counts at its lowest price; its own leftovers' worth included where it is one's own."""
    if job.currency is None:
        return price_table(job)
    lowest = {name: Fraction(min(price for _, price in steps)) for name, steps in price_steps(job).items()}
    return {stick.id: lowest[stick.id] + own_worth(job, stick) for stick in job.sticks}


def _pools(job: Job) -> Iterator[tuple[list[Part], list[Stick]]]:
    """Yield parts that may be cut from the same sections, and all sticks of these."""
    pools: list[tuple[set[_Key], list[Part]]] = []
    for part in job.parts:
        keys, parts = {part.section.key, *(other.section.key for other in part.substitutes)}, [part]
        for pool in [pool for pool in pools if pool[0] & keys]:
            pools.remove(pool)
            keys |= pool[0]
            parts = pool[1] + parts
        pools.append((keys, parts))
    for keys, parts in pools:
        yield parts, [stick for stick in job.sticks if stick.section.key in keys]


def _filled(parts: Sequence[Part], sticks: Sequence[tuple[Fraction, Fraction, int | None]], kerf: Fraction) -> Fraction:
    """Cost of the parts' length, fractions of sticks taken, the cheapest per length first: (cost, room, how many)."""
    lengths = ((part.quantity, max(lengths_of(part).centre.low, Fraction(0))) for part in parts)
    wanted = sum((quantity * (length + kerf) for quantity, length in lengths), Fraction(0))
    total = Fraction(0)
    for cost, room, available in sorted(sticks, key=lambda each: each[0] / each[1]):
        here = wanted if available is None else min(wanted, available * room)
        total += here * cost / room
        wanted -= here
    return total
