"""What can be known about a job before it is planned: faults of the input, and jobs that no plan can exist for.

The two are kept apart. An input problem is something the person must mend (a kerf wider than a part). An impossibility
is a right and proper job that steel and arithmetic refuse (a part longer than every stick); it is stated only where it
is certain, in exact arithmetic.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from typing import Final

from cutting.fit.angled.limits import end_problems, lengths_alone
from cutting.question.job import Discount, Job, Part, PerWeight, Saw, Section, Source, Stick
from cutting.question.lengths import show_length
from cutting.question.prices import lowest_rate
from cutting.question.problems import Problem
from cutting.question.tape import mark_fault, told_length
from cutting.question.terms import line_term_problems, whole_term_problems

__all__ = ["MOST_PIECES", "MOST_STEPS", "Places", "impossibilities", "input_problems", "line_problems"]

MOST_PIECES: Final = 100_000
"""Most pieces in one job, and most sticks in one line; more is taken for a typing error."""

MOST_STEPS: Final = 10**10
"""Finest grid that is counted on: so many steps to the longest stick of a section."""

_MOST_NAMED: Final = 5


@dataclass(frozen=True, kw_only=True, slots=True)
class Places:
    """Where each line of a job came from, for messages.

    Attributes
    ----------
    parts, sticks, yards : tuple of str
        A field path for each of `Job.parts`, `Job.sticks` and `Job.yards`.
    """

    parts: tuple[str, ...]
    sticks: tuple[str, ...]
    yards: tuple[str, ...] = ()

    @classmethod
    def of(cls, job: Job) -> Places:
        """Field paths as in a job file that holds just this job."""
        seen: Counter[Source] = Counter()
        sticks = []
        for stick in job.sticks:
            sticks.append(f"{stick.source.value}[{seen[stick.source]}]")
            seen[stick.source] += 1
        parts, yards = (
            tuple(f"{field}[{number}]" for number in range(len(lines)))
            for field, lines in (("parts", job.parts), ("yards", job.yards))
        )
        return cls(parts=parts, sticks=tuple(sticks), yards=yards)


def input_problems(job: Job, places: Places | None = None) -> tuple[Problem, ...]:
    """Everything that is wrong with a job's own statements.

    Parameters
    ----------
    job : Job
        The job.
    places : Places or None
        Where its lines came from; None for the paths of a job file that holds just this job.

    Returns
    -------
    tuple of Problem
        In the order of the job; empty for a job that may be solved.
    """
    places = places or Places.of(job)
    return (*line_problems(job, places), *_whole_problems(job, places))


def line_problems(job: Job, places: Places) -> tuple[Problem, ...]:
    """Problems that each line has by itself or with the saw, true whatever other lines may still be missing."""
    found: list[Problem] = []
    for part, where in zip(job.parts, places.parts, strict=True):
        found.extend(_part_problems(job, part, where))
    for stick, where in zip(job.sticks, places.sticks, strict=True):
        found.extend(_stick_problems(job, stick, where))
    found.extend(_repeated([part.mark for part in job.parts], places.parts, "mark"))
    found.extend(_repeated([stick.id for stick in job.sticks], places.sticks, "id"))
    found.extend(line_term_problems(job, places))
    if job.tape is not None and (fault := mark_fault(job.tape, job.unit)):
        found.append(Problem(where="tape", text=show_length(job.tape, job.unit), message=fault))
    return tuple(found)


def _part_problems(job: Job, part: Part, where: str) -> Iterator[Problem]:
    text = show_length(part.length, job.unit)
    if part.length <= 0:
        yield Problem(where=f"{where}.length", text=text, message="a part must be longer than 0")
    elif part.length < job.saw.kerf:
        kerf = show_length(job.saw.kerf, job.unit)
        message = f"{part.mark} is shorter than the saw's cut is wide ({kerf}); check its length, its unit and saw.kerf"
        yield Problem(where=f"{where}.length", text=text, message=message)
    if part.quantity < 1:
        yield Problem(where=f"{where}.quantity", text=str(part.quantity), message="write a quantity of 1 or more")
    yield from end_problems(job, part, where)


def _stick_problems(job: Job, stick: Stick, where: str) -> Iterator[Problem]:
    def show(mm: Fraction) -> str:
        return show_length(mm, job.unit)

    if stick.length <= 0:
        yield Problem(where=f"{where}.length", text=show(stick.length), message="a stick must be longer than 0")
        return
    if stick.available is not None and not 1 <= stick.available <= MOST_PIECES:
        field = "available" if stick.source is Source.STICKS else "quantity"
        message = f"write a whole number from 1 to {MOST_PIECES}"
        yield Problem(where=f"{where}.{field}", text=str(stick.available), message=message)
    if stick.usable is not None and not 0 < stick.usable <= stick.length:
        message = f"the usable length must be above 0 and no longer than the stick ({show(stick.length)})"
        yield Problem(where=f"{where}.usable", text=show(stick.usable), message=message)
    yield from _trim_problems(job.saw, stick, where, show)
    if isinstance(stick.price, Discount) and not 0 <= stick.price.share <= 1:
        message = 'a discount lies between 0 and 100 %, such as "40 %"'
        yield Problem(where=f"{where}.discount", text=_percent(stick.price), message=message)


def _trim_problems(saw: Saw, stick: Stick, where: str, show: Callable[[Fraction], str]) -> Iterator[Problem]:
    for trim in stick.trims:
        if trim < 0 or 0 < trim < saw.kerf:
            message = f"a trim includes the saw's cut, so write 0 or at least {show(saw.kerf)} (saw.kerf)"
            yield Problem(where=f"{where}.end_trim", text=show(trim), message=message)
            return
    if stick.clear <= 0:
        message = f"nothing of this stick is left once its ends are trimmed: it is {show(stick.length)} long; trim less"
        yield Problem(where=f"{where}.end_trim", text=" and ".join(map(show, stick.trims)), message=message)


def _percent(discount: Discount) -> str:
    return f"{(discount.share * 100).normalize():f} %"


def _repeated(names: Sequence[str], places: Sequence[str], field: str) -> Iterator[Problem]:
    first: dict[str, str] = {}
    for name, where in zip(names, places, strict=True):
        if name in first:
            message = f"{first[name]} has this {field} already; give each its own, or leave it out to have it numbered"
            yield Problem(where=f"{where}.{field}", text=name, message=message)
        else:
            first[name] = where


def _whole_problems(job: Job, places: Places) -> Iterator[Problem]:
    if not job.parts:
        yield Problem(where="parts", text="", message="nothing to cut: write at least one [[parts]] entry")
    total = sum(max(part.quantity, 0) for part in job.parts)
    if total > MOST_PIECES:
        message = (
            f"at most {MOST_PIECES} pieces in one job, this one has {total}; check the quantities or split the job"
        )
        yield Problem(where="parts", text=str(total), message=message)
    for stick, where in zip(job.sticks, places.sticks, strict=True):
        yield from _price_problems(job, stick, where)
    yield from whole_term_problems(job, places)
    for section in job.sections:
        yield from _grid_problems(job, section, places)


def _grid_problems(job: Job, section: Section, places: Places) -> Iterator[Problem]:
    """Refuse lengths that share no grid coarse enough to count on; the finest of them is shown."""
    lengths = [
        (where, part.length)
        for where, part in zip(places.parts, job.parts, strict=True)
        if part.section.key == section.key
    ]
    lengths += [
        (where, stick.clear)
        for where, stick in zip(places.sticks, job.sticks, strict=True)
        if stick.section.key == section.key
    ]
    finest = lcm(job.saw.kerf.denominator, *(mm.denominator for _, mm in lengths))
    step = Fraction(gcd(int(job.saw.kerf * finest), *(int(mm * finest) for _, mm in lengths)), finest)
    if step and max(mm for _, mm in lengths) / step > MOST_STEPS:
        where, mm = max(lengths, key=lambda each: each[1].denominator)
        message = "finer than any saw or tape, together with the other lengths; round it to 0.001 mm or 1/1024 in"
        yield Problem(where=f"{where}.length", text=show_length(mm, job.unit), message=message)


def _price_problems(job: Job, stick: Stick, where: str) -> Iterator[Problem]:
    if stick.source is Source.OWN:
        return
    label = stick.section.label
    if isinstance(stick.price, PerWeight) and stick.section.mass is None:
        message = f"the weight of {label} isn't known, so it can't be priced by weight; write price or price_per_length"
        yield Problem(where=f"{where}.price_per_weight", text=label, message=message)
    elif isinstance(stick.price, Discount) and lowest_rate(job, stick) is None:
        at = f" at {stick.yard}" if stick.yard else ""
        message = f"no stick of {label}{at} has a price that this discount could come off; write a price instead"
        yield Problem(where=f"{where}.discount", text=_percent(stick.price), message=message)
    elif stick.price is None and job.currency is not None:
        message = "other lines have a price and this one has none; write price, price_per_length or price_per_weight"
        yield Problem(where=f"{where}.price", text="", message=message)
    elif stick.price is not None and job.currency is None:
        message = 'in which currency? Write currency = "USD", or another code of three letters, at the top'
        yield Problem(where="currency", text="", message=message)


def impossibilities(job: Job) -> tuple[str, ...]:
    """Why no plan can exist, as far as that is certain by simple sums; a sentence each, in the words of the job.

    Parameters
    ----------
    job : Job
        A job without input problems.

    Returns
    -------
    tuple of str
        Empty where these sums rule nothing out, which doesn't mean that a plan exists.

    Notes
    -----
    n square-ended parts on m sticks need at least n - m cuts between them, so the sum of the parts and n - m kerfs must
    not exceed the clear length of those m sticks. Parts with angled ends may nest into each other and are left out of
    these sums, which keeps them certain.
    """
    found: list[str] = []
    for section in job.sections:
        sticks = [stick for stick in job.sticks if stick.section.key == section.key]
        parts = [part for part in job.parts if part.section.key == section.key]
        if not sticks:
            found.append(_nobody_sells(job, section))
            continue
        too_long = _too_long(job, parts, sticks)
        found.extend(too_long)
        if not too_long:
            found.extend(_too_short(job, section, parts, sticks))
    return tuple(found)


def _nobody_sells(job: Job, section: Section) -> str:
    other = sorted({stick.section.material or "plain" for stick in job.sticks if stick.section.name == section.name})
    if other:
        known = f"it is there as {', '.join(other)}, and another material is another section"
    else:
        names = list(dict.fromkeys(stick.section.name for stick in job.sticks))
        known = f"listed are {', '.join(names[:_MOST_NAMED])}" + (", ..." if names[_MOST_NAMED:] else "")
        known = known if names else "none at all are listed"
    return f"Nobody sells {section.label}: no stick, rack piece or own piece is of it; {known}."


def _too_long(job: Job, parts: Sequence[Part], sticks: Sequence[Stick]) -> list[str]:
    longest = max(sticks, key=lambda stick: stick.clear)
    needs = zip(parts, lengths_alone(job, parts), strict=True)
    return [_too_long_for(job, part, need, longest) for part, need in needs if need > longest.clear]


def _too_long_for(job: Job, part: Part, need: Fraction, longest: Stick) -> str:
    length, over, clear, whole = (
        told_length(mm, job.unit, job.tape) for mm in (need, need - longest.clear, longest.clear, longest.length)
    )
    trimmed = f", {clear} once trimmed" if longest.clear != longest.length else ""
    return (
        f"{part.mark} ({length}) is {over} longer than the longest stick of {part.section.label}: "
        f"{longest.id} has {whole}{trimmed}."
    )


def _too_short(job: Job, section: Section, parts: Sequence[Part], sticks: Sequence[Stick]) -> Iterator[str]:
    square = [part for part in parts if part.ends is None]
    shortest = min((part.length for part in square), default=None)
    useful = [stick for stick in sticks if shortest is not None and stick.clear >= shortest]
    if not useful or any(stick.available is None for stick in useful):
        return
    pieces = sum(part.quantity for part in square)
    kerf = job.saw.kerf
    need = sum((part.quantity * (part.length + kerf) for part in square), Fraction(0))
    have, left = Fraction(0), pieces
    for stick in sorted(useful, key=lambda stick: -stick.clear):
        count = min(left, stick.available or 0)
        have, left = have + count * (stick.clear + kerf), left - count
    if need > have:
        short = told_length(need - have, job.unit, job.tape)
        yield (
            f"The sticks of {section.label} are {short} too short together: "
            f"{pieces} pieces with the cuts between them don't fit on what is available."
        )
