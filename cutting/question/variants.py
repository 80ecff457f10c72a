"""Jobs made from a job: the same question with something taken away or added, at unchanged prices."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from cutting.question.job import Discount, Job, Part, PerStick, Section, Source, Stick
from cutting.question.prices import stick_prices

__all__ = ["as_drawn", "at_fixed_prices", "only_sticks", "with_part", "with_piece", "without_yard_cuts"]


def at_fixed_prices(job: Job) -> Job:
    """Write discounts as prices, so that rack pieces keep theirs when the sticks they come off are taken away."""
    if job.currency is None:
        return job
    prices = stick_prices(job)

    def fixed(stick: Stick) -> Stick:
        price = prices[stick.id]
        if price is None or not isinstance(stick.price, Discount):
            return stick
        return replace(stick, price=PerStick(amount=price))

    return replace(job, sticks=tuple(map(fixed, job.sticks)))


def only_sticks(job: Job, keep: Callable[[Stick], bool]) -> Job:
    """Keep some lines of sticks."""
    fixed = at_fixed_prices(job)
    return replace(fixed, sticks=tuple(stick for stick in fixed.sticks if keep(stick)))


def without_yard_cuts(job: Job) -> Job:
    """Let no yard cut."""
    return replace(job, yards=tuple(replace(yard, cuts=None) for yard in job.yards))


def as_drawn(job: Job, mark: str | None = None) -> Job:
    """Accept no substitutes, for one part or for all."""
    parts = (replace(part, substitutes=()) if mark in {None, part.mark} else part for part in job.parts)
    return replace(job, parts=tuple(parts))


def with_part(job: Job, part: Part) -> Job:
    """Put a changed part in the place of the one with its mark."""
    return replace(job, parts=tuple(part if each.mark == part.mark else each for each in job.parts))


def with_piece(job: Job, section: Section, length: Fraction) -> Job:
    """Add one free piece of a section whose whole length may be used."""
    piece = Stick(
        id=free_name(job),
        section=section,
        length=length,
        source=Source.OWN,
        price=None,
        available=1,
        trims=(Fraction(0), Fraction(0)),
    )
    return replace(job, sticks=(*job.sticks, piece))


def free_name(job: Job) -> str:
    """Return a stick id that the job doesn't use."""
    known = {stick.id for stick in job.sticks}
    name = "offcut"
    while name in known:
        name += "'"
    return name
