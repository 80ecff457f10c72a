"""From lists to a job: parts, sticks, rack and own drops, with what the saw takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from cutting.question.feasible import Places, input_problems
from cutting.question.job import Job, Part, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.reading.values.result import OfferRead, PartRead
from shared.sections import understand

__all__ = ["job_of_lists", "join_sections", "part_of", "place_in_yards", "stick_of", "yards_named"]

_LETTERS = {Source.STICKS: "S", Source.RACK: "R", Source.OWN: "O"}


def job_of_lists(
    parts: Sequence[PartRead],
    offers: Sequence[OfferRead],
    *,
    saw: Saw,
    unit: Unit,
    trims: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0)),
    currency: str | None = None,
    title: str = "",
) -> tuple[Job | None, tuple[Problem, ...]]:
    """Make a job from lists that were read.

    Parameters
    ----------
    parts : sequence of PartRead
        All parts.
    offers : sequence of OfferRead
        Sticks, rack pieces and own drops.
    saw : Saw
        What a cut takes.
    unit : Unit
        The unit in which lengths are shown.
    trims : tuple of Fraction
        mm taken off both ends of each stick.
    currency : str or None
        ISO 4217 code of the prices; only used where there are prices.
    title : str
        Shown on all paper.

    Returns
    -------
    Job or None
        None where anything is wrong with it.
    tuple of Problem
        Every problem, by line of its list.
    """
    parts, offers = join_sections(parts, offers)
    offers, unplaced = place_in_yards(offers, yards_named(offers))
    if unplaced:
        return None, tuple(
            Problem(
                where=f"{offers[at].source}, line {offers[at].line}",
                text="",
                message=f"which yard is {_so_many(count)} from? {HOW_TO_NAME}",
            )
            for at, count in unplaced
        )
    priced = any(offer.price is not None for offer in offers)
    if priced and currency is None:
        message = "the prices have no currency; write one behind them, or state it with --currency, such as USD"
        return None, (Problem(where="prices", text="", message=message),)
    job = Job(
        parts=tuple(part_of(part) for part in parts),
        sticks=_sticks(offers, trims),
        saw=saw,
        unit=unit,
        title=title,
        currency=currency if priced else None,
    )
    places = Places(
        parts=tuple(f"parts, line {part.line}" for part in parts),
        sticks=tuple(f"{offer.source}, line {offer.line}" for offer in _in_order(offers)),
    )
    problems = input_problems(job, places)
    return (None, problems) if problems else (job, ())


HOW_TO_NAME = "write its name with a colon in a line above, such as Harbour Steel:"


def _so_many(count: int) -> str:
    return "this line" if count == 1 else f"this line and the {count - 1} below"


def yards_named(offers: Sequence[OfferRead]) -> tuple[str, ...]:
    """Return the yards that lines of sticks name, in their order."""
    return tuple(dict.fromkeys(offer.yard for offer in offers if offer.yard))


def place_in_yards(
    offers: Sequence[OfferRead], names: Sequence[str]
) -> tuple[tuple[OfferRead, ...], tuple[tuple[int, int], ...]]:
    """Put lines that name no yard where they belong, if that is certain: to the only yard there is.

    Parameters
    ----------
    offers : sequence of OfferRead
        All sticks, list by list.
    names : sequence of str
        All yards.

    Returns
    -------
    tuple of OfferRead
        The same, with their yard.
    tuple of (int, int)
        Where a run of lines without a yard begins that several could have, and how many lines it has.
    """
    if len(names) == 1:
        placed = (offer if offer.source is Source.OWN else replace(offer, yard=names[0]) for offer in offers)
        return tuple(placed), ()
    runs: list[tuple[int, int]] = []
    for at, offer in enumerate(offers):
        if not names or offer.yard or offer.source is Source.OWN:
            continue
        start, count = runs[-1] if runs else (at, 0)
        if count and start + count == at and offers[start].source is offer.source:
            runs[-1] = (start, count + 1)
        else:
            runs.append((at, 1))
    return tuple(offers), tuple(runs)


def part_of(part: PartRead) -> Part:
    """Return the job's part; where it was derived from stays with its note."""
    note = "; ".join(text for text in (part.note, part.derived) if text)
    return Part(
        mark=part.mark,
        section=part.section,
        length=part.length,
        quantity=part.quantity,
        note=note,
        assembly=part.assembly,
        ends=part.ends,
        substitutes=part.substitutes,
    )


def _in_order(offers: Sequence[OfferRead]) -> list[OfferRead]:
    """Return sticks first, then rack, then own, each in the order of its list."""
    order = list(Source)
    return sorted(offers, key=lambda offer: order.index(offer.source))


def _sticks(offers: Sequence[OfferRead], trims: tuple[Fraction, Fraction]) -> tuple[Stick, ...]:
    """Return the sticks, numbered within their list."""
    numbers = dict.fromkeys(Source, 0)
    sticks = []
    for offer in _in_order(offers):
        numbers[offer.source] += 1
        sticks.append(stick_of(f"{_LETTERS[offer.source]}{numbers[offer.source]}", offer, trims))
    return tuple(sticks)


def stick_of(name: str, offer: OfferRead, trims: tuple[Fraction, Fraction]) -> Stick:
    """Return the job's stick of this id, trimmed by so much (mm) at its two ends."""
    return Stick(
        id=name,
        section=offer.section,
        length=offer.length,
        source=offer.source,
        price=offer.price,
        available=offer.available,
        trims=trims,
        yard=offer.yard,
        breaks=offer.breaks,
    )


def join_sections(
    parts: Sequence[PartRead], offers: Sequence[OfferRead]
) -> tuple[tuple[PartRead, ...], tuple[OfferRead, ...]]:
    """Give dimensions without a family, in one list, the only family that the other lists have for them.

    Parameters
    ----------
    parts : sequence of PartRead
        All parts.
    offers : sequence of OfferRead
        All sticks.
    """
    named: dict[str, dict[str, Section]] = {}
    for section in (*(part.section for part in parts), *(offer.section for offer in offers)):
        if section.family and " " in section.name:
            named.setdefault(section.name.partition(" ")[2], {})[section.name] = section
    return (
        tuple(replace(part, section=_joined(part.section, named)) for part in parts),
        tuple(replace(offer, section=_joined(offer.section, named)) for offer in offers),
    )


def _joined(section: Section, named: dict[str, dict[str, Section]]) -> Section:
    """Return the section that a name without a family stands for."""
    same = named.get(section.name, {})
    if section.family or len(same) != 1:
        return section
    return understand(next(iter(same)), section.material)
