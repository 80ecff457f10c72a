"""Why a job with yards has no plan, in the words of the job."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from cutting.buying.market import Market, Wish
from cutting.buying.portions import bare
from cutting.fit.angled.limits import lengths_alone
from cutting.question.feasible import impossibilities
from cutting.question.job import Job, Part, Source, Stick
from cutting.question.tape import told_length

__all__ = ["reason_proven", "reasons_at_once"]


def reasons_at_once(job: Job, market: Market) -> tuple[str, ...]:
    """Say why no plan can exist as far as simple sums tell: parts that fit on nothing, sections too short together.

    Parts with substitutes may go elsewhere, so the sums are made over the others.
    """
    fixed = tuple(part for part in job.parts if not part.substitutes)
    short = impossibilities(replace(job, parts=fixed)) if fixed else ()
    placeless = (wish for wish in market.wishes if not wish.places)
    return short or tuple(_placeless(job, wish) for wish in placeless)


def _placeless(job: Job, wish: Wish) -> str:
    part = wish.part
    sections = [part.section, *(other.section for other in part.substitutes)]
    labels = " or ".join(section.label for section in sections)
    keys = {section.key for section in sections}
    sticks = [stick for stick in job.sticks if stick.section.key in keys]
    if not sticks:
        return f"Nobody sells {labels}: no stick, rack piece or own piece of it is listed, and {part.mark} needs it."
    need = _need(job, part)
    long_enough = [stick for stick in sticks if stick.clear >= need]
    if not long_enough:
        longest = max(sticks, key=lambda stick: stick.clear)
        over, length = (told_length(mm, job.unit, job.tape) for mm in (need - longest.clear, need))
        return f"{part.mark} ({length}) is {over} longer than the longest stick of {labels}, {longest.id}, has to fill."
    return _stranded(job, part, long_enough)


def _need(job: Job, part: Part) -> Fraction:
    """Clear length (mm) that a part needs alone."""
    return lengths_alone(job, [part])[0]


def _stranded(job: Job, part: Part, sticks: list[Stick]) -> str:
    """Say that sticks long enough exist, but that none comes home in pieces long enough."""
    names = sorted({stick.yard for stick in sticks if stick.source is not Source.OWN})
    where = " and ".join(name or "the yard" for name in names)
    return (
        f"{part.mark} ({told_length(part.length, job.unit, job.tape)}) can't be brought home: sticks long enough are "
        f"sold by {where}, and can neither be carried with such a part in one piece nor delivered."
    )


def reason_proven(job: Job, market: Market) -> str:
    """Say that no arrangement at all works of a portion of the job, which the search has proven."""
    pieces = sum(wish.part.quantity for wish in market.wishes)
    if bare(market) and all(line.stick.available is not None for line in market.lines):
        return _too_few(job, market, pieces)
    named = {line.yard for line in market.lines if line.yard is not None}
    terms = ", with the yards' minimum orders" if any(market.terms[number].minimum for number in named) else ""
    if terms and not job.idle:
        terms += " and a part on every stick"
    told = "The piece" if pieces == 1 else f"The {pieces} pieces"
    return (
        f"{told} can't be cut from the sticks there are{terms}, in whatever arrangement: this is proven. "
        f"Add a stick, allow more of one, or another yard."
    )


def _too_few(job: Job, market: Market, pieces: int) -> str:
    section = market.rooms[0].section
    needs = [_need(job, wish.part) for wish in market.wishes]
    sticks = [stick for stick in job.sticks if stick.section.key == section.key and stick.clear >= min(needs)]
    count = sum(stick.available or 0 for stick in sticks)
    return (
        f"The {pieces} pieces of {section.label} can't be cut from the {count} sticks there are, in whatever "
        f"arrangement: this is proven. Add a stick, or allow more of one."
    )
