"""Why a job with yards has no plan, in the words of the job."""

from __future__ import annotations

from dataclasses import replace

from cutting.buying.market.model import Market, Wish
from cutting.fit.angled.limits import length_alone
from cutting.question.feasible import impossibilities
from cutting.question.job import Job, Part, Source, Stick
from cutting.question.tape import told_length

__all__ = ["hopeless", "refused"]


def hopeless(job: Job, market: Market) -> tuple[str, ...]:
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
    need = part.length if part.ends is None else length_alone(job, part)
    long_enough = [stick for stick in sticks if stick.clear >= need]
    if not long_enough:
        longest = max(sticks, key=lambda stick: stick.clear)
        over, length = (told_length(mm, job.unit, job.tape) for mm in (need - longest.clear, need))
        return f"{part.mark} ({length}) is {over} longer than the longest stick of {labels}, {longest.id}, has to fill."
    return _stranded(job, part, long_enough)


def _stranded(job: Job, part: Part, sticks: list[Stick]) -> str:
    """Say that sticks long enough exist, but that none comes home in pieces long enough."""
    names = sorted({stick.yard for stick in sticks if stick.source is not Source.OWN})
    where = " and ".join(name or "the yard" for name in names)
    return (
        f"{part.mark} ({told_length(part.length, job.unit, job.tape)}) can't be brought home: sticks long enough are "
        f"sold by {where}, and can neither be carried with such a part in one piece nor delivered."
    )


def refused(job: Job, market: Market) -> tuple[str, ...]:
    """Say that no arrangement at all works, which the search has proven."""
    pieces = sum(part.quantity for part in job.parts)
    terms = ", with the yards' minimum orders" if any(terms.minimum for terms in market.terms) else ""
    if terms and not job.idle:
        terms += " and a part on every stick"
    told = "The piece" if pieces == 1 else f"The {pieces} pieces"
    reason = (
        f"{told} can't be cut from the sticks there are{terms}, in whatever arrangement: this is proven. "
        f"Add a stick, allow more of one, or another yard."
    )
    return (reason,)
