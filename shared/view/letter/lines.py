"""The finished view of a buy list and of a request for quotation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from cutting.answer.plan import Plan
from cutting.answer.totals import sum_known
from cutting.question.job import Job, Source
from shared.files.plan.name import plan_id
from shared.view.issue import Issue
from shared.view.letter.wall import wall_text
from shared.wording.plurals import many
from shared.wording.tape import Tape, tape_of
from shared.wording.values import amount
from shared.wording.weights import weight_sum, weight_text, without_text

__all__ = ["BLANK", "Letter", "RequestLine", "letter_of"]

BLANK: Final = "____________"
"""A gap to fill in by hand."""

_OWN: Final = {Source.STICKS: "yard", Source.RACK: "yard's rack", Source.OWN: "own drops"}


@dataclass(frozen=True, kw_only=True, slots=True)
class RequestLine:
    """One line.

    Attributes
    ----------
    number : str
        On a request, counted from 1; own pieces have none, nobody sells them.
    id : str
        The job's name for it.
    section, grade, wall : str
        What it is; grade and wall empty where they aren't known.
    length, tolerance : str
        With their unit; tolerance is what still is enough, empty where any length over the nominal is.
    quantity : str
        Pieces.
    source : str
        The yard's name, with its rack; without names ``yard``, ``yard's rack`` or ``own drops``.
    weight_each, weight : str
        With their unit, or ``not known``.
    price, cost : str
        As the plan reckons, with the currency; empty in a job without prices.
    price_number, cost_number : str
        The same as plain numbers.
    """

    number: str
    id: str
    section: str
    grade: str
    wall: str
    length: str
    tolerance: str
    quantity: str
    source: str
    weight_each: str
    weight: str
    price: str
    cost: str
    price_number: str
    cost_number: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Letter:
    """A buy list and the request that goes with it.

    Attributes
    ----------
    job, plan, revision, date : str
        Which job, plan and issue; the revision empty for a first issue.
    lines : tuple of RequestLine
        Own pieces last.
    pieces : str
        How many are asked for.
    weight : str
        Of what is asked for.
    cost : str
        Of the whole plan; empty in a job without prices.
    currency : str
        Of the plain numbers; empty in a job without prices.
    also : tuple of str
        What the parts list needs besides bar stock, each with its quantity; on the buy list, not on the request.
    price_unit : str
        Per which length a price is asked for: ``ft`` or ``m``.
    """

    job: str
    plan: str
    revision: str
    date: str
    lines: tuple[RequestLine, ...]
    pieces: str
    weight: str
    cost: str
    currency: str
    also: tuple[str, ...]
    price_unit: str

    @property
    def asked(self) -> tuple[RequestLine, ...]:
        """Lines that a yard is asked for: everything but one's own drops."""
        return tuple(line for line in self.lines if line.number)


def letter_of(job: Job, plan: Plan, issue: Issue, also: Sequence[str] = ()) -> Letter:
    """Make the view of a plan's buy list and request.

    Parameters
    ----------
    job : Job
        The question.
    plan : Plan
        The answer.
    issue : Issue
        Revision and date.
    also : sequence of str
        What is needed besides bar stock, such as ``24 x hinges``.
    """
    tape = tape_of(job)
    asked = [line for line in plan.buy if line.source is not Source.OWN]
    together = sum_known((line.section, line.section.mass, line.quantity * line.length) for line in asked)
    costs = [line.cost for line in plan.buy if line.cost is not None]
    return Letter(
        job=job.title or "Untitled job",
        plan=plan_id(job, plan),
        revision=issue.revision,
        date=issue.date.isoformat(),
        lines=tuple(_lines(job, plan, tape)),
        pieces=many(sum(line.quantity for line in asked), "piece"),
        weight=weight_sum(together, tape) + (f", {without_text(together.without)}" if together.partial else ""),
        cost=amount(sum(costs[1:], costs[0]), job.currency).full if costs and job.currency else "",
        currency=job.currency or "",
        also=tuple(" ".join(text.split()) for text in also),
        price_unit="m" if tape.metric else "ft",
    )


def _source(source: Source, yard: str) -> str:
    if not yard:
        return _OWN[source]
    return f"{yard}, rack" if source is Source.RACK else yard


def _lines(job: Job, plan: Plan, tape: Tape) -> Iterator[RequestLine]:
    sticks = {stick.id: stick for stick in job.sticks}
    asked = [line for line in plan.buy if line.source is not Source.OWN]
    own = [line for line in plan.buy if line.source is Source.OWN]
    for number, line in enumerate([*asked, *own], start=1):
        mass = None if line.section.mass is None else line.section.mass * line.length / 1000
        shortest, yard = sticks[line.stick].usable, sticks[line.stick].yard
        yield RequestLine(
            number=str(number) if line.source is not Source.OWN else "",
            id=line.stick,
            section=line.section.name,
            grade=line.section.material,
            wall=wall_text(line.section),
            length=tape.stick(line.length),
            tolerance=f"at least {tape.stick(line.length) if shortest is None else tape.text(shortest)}",
            quantity=str(line.quantity),
            source=_source(line.source, yard),
            weight_each=weight_text(mass, tape),
            weight=weight_text(None if mass is None else mass * line.quantity, tape),
            price=amount(line.price, job.currency).full if line.price is not None and job.currency else "",
            cost=amount(line.cost, job.currency).full if line.cost is not None and job.currency else "",
            price_number="" if line.price is None else f"{line.price:f}",
            cost_number="" if line.cost is None else f"{line.cost:f}",
        )
