"""The finished view of a buy list and of a request for quotation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from cutting.answer.plan import Buy, Plan
from cutting.answer.totals import sum_known
from cutting.question.job import Job, Source
from shared.files.plan.name import plan_id
from shared.view.issue import Issue
from shared.view.letter.wall import wall_text
from shared.view.terms import charges_view, money_view, orders_view, yard_cuts_view
from shared.wording.plurals import listed, many
from shared.wording.tape import Tape, tape_of
from shared.wording.values import amount
from shared.wording.weights import weight_sum, weight_text, without_text
from shared.work.carried import yard_cuts

__all__ = ["BLANK", "Letter", "ListedCharge", "RequestLine", "YardRequest", "letter_of"]

BLANK: Final = "____________"
"""A gap to fill in by hand."""

_OWN: Final = {Source.STICKS: "yard", Source.RACK: "yard's rack", Source.OWN: "own drops"}


@dataclass(frozen=True, kw_only=True, slots=True)
class RequestLine:
    """One line.

    Attributes
    ----------
    number : str
        On its yard's request, counted from 1; own pieces have none, nobody sells them.
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
    from_rack : bool
        A single piece from the yard's rack.
    cuts : tuple of str
        The cuts the yard is to make in it, and where to mark them.
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
    from_rack: bool
    cuts: tuple[str, ...]
    weight_each: str
    weight: str
    price: str
    cost: str
    price_number: str
    cost_number: str


@dataclass(frozen=True, kw_only=True, slots=True)
class YardRequest:
    """What one yard is asked for.

    Attributes
    ----------
    yard : str
        Its name; empty where the job names none.
    lines : tuple of RequestLine
        Pieces from its rack first where the job names yards: they are gone soonest.
    pieces, weight : str
        How many are asked for, and their weight.
    cuts : int
        The cuts it is to make.
    reserve : str
        Which of the lines are to be reserved, ``line 1 and line 2``; empty where none is.
    transport : str
        ``delivered`` or ``collected in 2 trips``, as the plan reckons; empty where the job names no yards.
    """

    yard: str
    lines: tuple[RequestLine, ...]
    pieces: str
    weight: str
    cuts: int
    reserve: str
    transport: str


@dataclass(frozen=True, kw_only=True, slots=True)
class ListedCharge:
    """What a yard's bill adds to its sticks.

    Attributes
    ----------
    yard, what : str
        Whose, and what for: ``9 cuts``, ``delivery``, ``tax 6.25 %``.
    cost : str
        With the currency.
    cost_number : str
        As a plain number.
    """

    yard: str
    what: str
    cost: str
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
    requests : tuple of YardRequest
        What is asked for, one for each yard; empty where nothing is to be bought.
    charges : tuple of ListedCharge
        Cuts, delivery, trips and tax, yard by yard.
    cost : str
        Of all lines; empty in a job without prices.
    paid : str
        What the yards are paid, charges included and own drops left out; empty where no yard states terms.
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
    requests: tuple[YardRequest, ...]
    charges: tuple[ListedCharge, ...]
    cost: str
    paid: str
    currency: str
    also: tuple[str, ...]
    price_unit: str

    @property
    def asked(self) -> tuple[RequestLine, ...]:
        """Lines that yards are asked for, yard by yard: everything but one's own drops."""
        return tuple(line for request in self.requests for line in request.lines)


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
    asked = _by_yard(job, plan)
    numbers = {line.stick: str(at) for lines in asked.values() for at, line in enumerate(lines, start=1)}
    lines = {line.id: line for line in _lines(job, plan, tape, numbers)}
    costs = [line.cost for line in plan.buy if line.cost is not None]
    return Letter(
        job=job.title or "Untitled job",
        plan=plan_id(job, plan),
        revision=issue.revision,
        date=issue.date.isoformat(),
        lines=tuple(sorted(lines.values(), key=lambda line: not line.number)),
        requests=tuple(_request(job, plan, yard, bought, lines) for yard, bought in asked.items()),
        charges=tuple(_charges(job, plan)),
        cost=amount(sum(costs[1:], costs[0]), job.currency).full if costs and job.currency else "",
        paid="" if (money := money_view(job, plan)) is None else money.paid.full,
        currency=job.currency or "",
        also=tuple(" ".join(text.split()) for text in also),
        price_unit="m" if tape.metric else "ft",
    )


def _charges(job: Job, plan: Plan) -> Iterator[ListedCharge]:
    for order in plan.orders:
        for charge in charges_view(job, order):
            yield ListedCharge(
                yard=order.yard, what=charge.what, cost=charge.amount.full, cost_number=f"{charge.amount.value:f}"
            )


def _by_yard(job: Job, plan: Plan) -> dict[str, list[Buy]]:
    """Return what each yard sells, in the plan's order; where yards have names, pieces from the rack first."""
    yards = {stick.id: stick.yard for stick in job.sticks}
    asked: dict[str, list[Buy]] = {}
    for line in plan.buy:
        if line.source is not Source.OWN:
            asked.setdefault(yards[line.stick], []).append(line)
    for yard in filter(None, asked):
        asked[yard].sort(key=lambda line: line.source is not Source.RACK)
    return asked


def _request(job: Job, plan: Plan, yard: str, bought: Sequence[Buy], lines: Mapping[str, RequestLine]) -> YardRequest:
    tape = tape_of(job)
    names = {line.stick for line in bought}
    together = sum_known((line.section, line.section.mass, line.quantity * line.length) for line in bought)
    reserves = any(each.name == yard and each.reserves for each in job.yards)
    shown = tuple(lines[line.stick] for line in bought)
    orders = {order.yard: view for order, view in zip(plan.orders, orders_view(job, plan, ()), strict=True)}
    return YardRequest(
        yard=yard,
        lines=shown,
        pieces=many(sum(line.quantity for line in bought), "piece"),
        weight=weight_sum(together, tape) + (f", {without_text(together.without)}" if together.partial else ""),
        cuts=sum(cut.quantity * len(cut.marks) for _, cut in yard_cuts(plan) if cut.stick in names),
        reserve=listed([f"line {line.number}" for line in shown if line.from_rack]) if reserves else "",
        transport=orders[yard].transport if yard in orders else "",
    )


def _cuts(job: Job, plan: Plan) -> dict[str, list[str]]:
    """Return in words what the yard cuts, by the stick's name."""
    words: dict[str, list[str]] = {}
    for (_, cut), view in zip(yard_cuts(plan), yard_cuts_view(job, plan), strict=True):
        which = "each" if cut.quantity == _bought(plan, cut.stick) > 1 else f"{cut.quantity} of them"
        words.setdefault(cut.stick, []).append(f"{which}: {view.words}" if _bought(plan, cut.stick) > 1 else view.words)
    return words


def _bought(plan: Plan, stick: str) -> int:
    return sum(line.quantity for line in plan.buy if line.stick == stick)


def _source(source: Source, yard: str) -> str:
    if not yard:
        return _OWN[source]
    return f"{yard}, rack" if source is Source.RACK else yard


def _lines(job: Job, plan: Plan, tape: Tape, numbers: Mapping[str, str]) -> Iterator[RequestLine]:
    sticks = {stick.id: stick for stick in job.sticks}
    cuts = _cuts(job, plan)
    for line in plan.buy:
        mass = None if line.section.mass is None else line.section.mass * line.length / 1000
        shortest, yard = sticks[line.stick].usable, sticks[line.stick].yard
        yield RequestLine(
            number=numbers.get(line.stick, ""),
            id=line.stick,
            section=line.section.name,
            grade=line.section.material,
            wall=wall_text(line.section),
            length=tape.stick(line.length),
            tolerance=f"at least {tape.stick(line.length) if shortest is None else tape.text(shortest)}",
            quantity=str(line.quantity),
            source=_source(line.source, yard),
            from_rack=line.source is Source.RACK,
            cuts=tuple(cuts.get(line.stick, ())),
            weight_each=weight_text(mass, tape),
            weight=weight_text(None if mass is None else mass * line.quantity, tape),
            price=amount(line.price, job.currency).full if line.price is not None and job.currency else "",
            cost=amount(line.cost, job.currency).full if line.cost is not None and job.currency else "",
            price_number="" if line.price is None else f"{line.price:f}",
            cost_number="" if line.cost is None else f"{line.cost:f}",
        )
