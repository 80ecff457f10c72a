"""The rack's free pieces as own pieces of a job: both the command line and the page offer them this way.

An own piece called ``D17`` is bar 17 of the rack, once and for all: that is how a plan that is taken in hand finds
the steel it counts on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from cutting.question.feasible import Places, input_problems
from cutting.question.job import Job, Part, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from cutting.question.tape import told_length
from shared.files.job import job_of_table
from shared.files.job.read import usual_trims
from shared.work.rack.bars import Bar, BarState, parse_bar_name

__all__ = ["job_with_rack", "own_sticks", "with_rack"]

_GRID: Final = 25_600
_HUNDREDTHS: Final = 100


def job_with_rack(table: Mapping[str, Any], bars: Sequence[Bar]) -> tuple[Job | None, tuple[Problem, ...]]:
    """Make a job from the tables of a job file and the rack.

    Parameters
    ----------
    table : mapping
        A job file, see `shared.files.job.document.read_document`.
    bars : sequence of Bar
        Everything the shop has on its books; only free pieces are offered.

    Returns
    -------
    tuple of (Job or None, tuple of Problem)
        A job only where nothing is wrong.
    """
    job, problems = job_of_table(table)
    if job is None:
        return None, problems
    return with_rack(job, bars, usual_trims(table))


def with_rack(
    job: Job, bars: Sequence[Bar], trims: tuple[Fraction, Fraction]
) -> tuple[Job | None, tuple[Problem, ...]]:
    """Add the rack's free pieces to a job.

    Parameters
    ----------
    job : Job
        Its own lines stay; one that names a piece of the rack isn't added twice.
    bars : sequence of Bar
        Everything the shop has on its books.
    trims : tuple of Fraction
        mm the saw's job takes off both ends of a stick that doesn't state its own.

    Returns
    -------
    tuple of (Job or None, tuple of Problem)
        A problem for each line of the job that takes a rack piece's name for something else.
    """
    places = Places.of(job)
    offered = own_sticks(bars, job, trims)
    problems = list(_clashes(job, places, {bar.number: bar for bar in bars}, {stick.id for stick in offered}))
    if problems:
        return None, tuple(problems)
    named = {stick.id for stick in job.sticks}
    whole = replace(job, sticks=(*job.sticks, *(stick for stick in offered if stick.id not in named)))
    found = input_problems(whole)
    return (None, found) if found else (whole, ())


def own_sticks(bars: Sequence[Bar], job: Job, trims: tuple[Fraction, Fraction]) -> tuple[Stick, ...]:
    """Return the rack's free pieces that this job may be cut from, as own sticks of one piece each.

    Parameters
    ----------
    bars : sequence of Bar
        Any bars; those that aren't free, are of other sections or too short for any part are left out.
    job : Job
        The job; substitutes of its parts count.
    trims : tuple of Fraction
        mm for pieces that don't state their own.

    Returns
    -------
    tuple of Stick
        By number. A piece whose own trim is less than this saw's cut is trimmed by that cut.
    """
    wanted = _wanted(job)
    found = []
    for bar in sorted(bars, key=lambda bar: bar.number):
        section, shortest = wanted.get(bar.section.key, (None, Fraction(0)))
        if bar.state is BarState.FREE and section is not None:
            stick = _stick(bar, section, job.saw.kerf, trims)
            if stick.clear > 0 and stick.clear >= shortest:
                found.append(stick)
    return tuple(found)


def _stick(bar: Bar, section: Section, kerf: Fraction, trims: tuple[Fraction, Fraction]) -> Stick:
    first, second = (max(trim, kerf) if trim else trim for trim in (trims if bar.trims is None else bar.trims))
    counted = _on_grid(bar.counted_on)
    return Stick(
        id=bar.name,
        section=section,
        length=bar.length,
        source=Source.OWN,
        price=None,
        available=1,
        trims=(first, second),
        usable=None if counted == bar.length else counted,
    )


def _on_grid(mm: Fraction) -> Fraction:
    """Return a length that the engine can count on: odd ones lose less than a hundredth of a millimetre.

    Lengths that a tape shows, and drops rounded to 0.01 mm or 1/1024 in, are multiples of 1/25600 mm as they are.
    """
    return mm if (mm * _GRID).denominator == 1 else Fraction(int(mm * _HUNDREDTHS), _HUNDREDTHS)


def _wanted(job: Job) -> dict[tuple[str, str], tuple[Section, Fraction]]:
    """Return the sections that parts may be cut from, each with the shortest piece that could be of use (mm)."""
    wanted: dict[tuple[str, str], tuple[Section, Fraction]] = {}
    for part in job.parts:
        for section in (part.section, *(each.section for each in part.substitutes)):
            known, shortest = wanted.get(section.key, (section, _least(part)))
            wanted[section.key] = (known, min(shortest, _least(part)))
    return wanted


def _least(part: Part) -> Fraction:
    """Return a length (mm) that no piece for this part can be shorter than; angled ends may nest, so 0 for them."""
    return part.length if part.ends is None else Fraction(0)


def _clashes(job: Job, places: Places, bars: Mapping[int, Bar], offered: set[str]) -> Iterator[Problem]:
    """Say which lines of the job bear the name of a rack piece and aren't that piece as it is now."""
    for stick, where in zip(job.sticks, places.sticks, strict=True):
        number = parse_bar_name(stick.id)
        if number is None:
            continue
        if stick.source is not Source.OWN:
            if stick.id in offered:
                message = "a piece on your own rack has this label; give this line another id"
                yield Problem(where=f"{where}.id", text=stick.id, message=message)
        elif (why := _differs(stick, bars.get(number), job.unit)) is not None:
            yield Problem(where=f"{where}.id", text=stick.id, message=why)


def _differs(stick: Stick, bar: Bar | None, unit: Unit) -> str | None:
    """Say what is wrong with a line that names a bar; None where it is that bar, free."""
    if bar is None:
        return "no piece with this label is on the rack; take the line out, or give it another id"
    if bar.state is not BarState.FREE:
        whose = f" for {bar.work}" if bar.state is BarState.RESERVED and bar.work else ""
        return f"this piece isn't free any more: it is {bar.state}{whose}; take the line out"
    if bar.section.key != stick.section.key:
        return f"on the rack this is {bar.section.label}; take the line out, the rack is offered anyway"
    if bar.length != stick.length:
        return (
            f"on the rack this is {told_length(bar.length, unit)} long, not {told_length(stick.length, unit)}; "
            "take the line out, the rack is offered anyway"
        )
    if stick.available != 1:
        return "a piece on the rack is there once; write quantity = 1"
    return None
