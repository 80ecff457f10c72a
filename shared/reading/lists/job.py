"""From lists to a job: parts, sticks, rack and own drops join what the job states once. The only place that does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from cutting.question.feasible import Places, input_problems
from cutting.question.job import Job, Part, Section, Source, Stick
from cutting.question.prices import settle_currency
from cutting.question.problems import Problem
from shared.reading.values.result import OfferRead, PartRead
from shared.sections import understand

__all__ = ["Listed", "job_of_lists", "join_sections", "list_job", "part_of", "place_in_yards", "yards_named"]

_LETTERS: Final = {Source.STICKS: "S", Source.RACK: "R", Source.OWN: "O"}
_NO_TRIM: Final = (Fraction(0), Fraction(0))


@dataclass(frozen=True, kw_only=True, slots=True)
class Listed:
    """A job of lists, right or not.

    Attributes
    ----------
    job : Job
        The job; `cutting.question.feasible.input_problems` says what is wrong with it.
    offers : tuple of OfferRead
        The line that each stick of the job is from.
    unplaced : tuple of (int, int)
        Where among them a run of lines begins that several yards could have, and how many lines it has.
    """

    job: Job
    offers: tuple[OfferRead, ...]
    unplaced: tuple[tuple[int, int], ...]


def list_job(
    parts: Sequence[PartRead],
    offers: Sequence[OfferRead],
    stated: Job,
    *,
    trims: tuple[Fraction, Fraction] = _NO_TRIM,
    yards: Sequence[str] = (),
) -> Listed:
    """Put lists that were read into a job.

    Parameters
    ----------
    parts : sequence of PartRead
        All parts.
    offers : sequence of OfferRead
        Sticks, rack pieces and own drops.
    stated : Job
        What the job states once: saw, unit, terms and so on. It has no parts and no sticks yet; its currency is only
        used where there are prices.
    trims : tuple of Fraction
        mm taken off both ends of each stick.
    yards : sequence of str
        Yards that lines may be from, also where no line names one.
    """
    order = list(Source)
    parts, offers = join_sections(parts, sorted(offers, key=lambda offer: order.index(offer.source)))
    placed, unplaced = place_in_yards(offers, tuple(dict.fromkeys((*yards, *yards_named(offers)))))
    job = replace(stated, parts=tuple(map(part_of, parts)), sticks=_sticks(placed, trims))
    return Listed(job=settle_currency(job), offers=placed, unplaced=unplaced)


def job_of_lists(
    parts: Sequence[PartRead],
    offers: Sequence[OfferRead],
    stated: Job,
    *,
    trims: tuple[Fraction, Fraction] = _NO_TRIM,
) -> tuple[Job | None, tuple[Problem, ...]]:
    """Make a job from lists that were read; see `list_job`.

    Returns
    -------
    Job or None
        None where anything is wrong with it.
    tuple of Problem
        Every problem, by line of its list.
    """
    listed = list_job(parts, offers, stated, trims=trims)
    at_line = [f"{offer.source}, line {offer.line}" for offer in listed.offers]
    if listed.unplaced:
        return None, tuple(
            Problem(where=at_line[at], text="", message=f"which yard is {_so_many(count)} from? {HOW_TO_NAME}")
            for at, count in listed.unplaced
        )
    if stated.currency is None and any(offer.price is not None for offer in offers):
        message = "the prices have no currency; write one behind them, or state it with --currency, such as USD"
        return None, (Problem(where="prices", text="", message=message),)
    places = Places(parts=tuple(f"parts, line {part.line}" for part in parts), sticks=tuple(at_line))
    problems = input_problems(listed.job, places)
    return (None, problems) if problems else (listed.job, ())


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


def _sticks(offers: Sequence[OfferRead], trims: tuple[Fraction, Fraction]) -> tuple[Stick, ...]:
    """Return the sticks, numbered within their list."""
    numbers = dict.fromkeys(Source, 0)
    sticks = []
    for offer in offers:
        numbers[offer.source] += 1
        sticks.append(
            Stick(
                id=f"{_LETTERS[offer.source]}{numbers[offer.source]}",
                section=offer.section,
                length=offer.length,
                source=offer.source,
                price=offer.price,
                available=offer.available,
                trims=trims,
                yard=offer.yard,
                breaks=offer.breaks,
            )
        )
    return tuple(sticks)


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
