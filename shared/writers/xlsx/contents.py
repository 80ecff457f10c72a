"""A plan's workbook, sheet by sheet; the first is the summary."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from cutting.answer.plan import Result
from cutting.answer.totals import add_up
from cutting.question.job import Job
from shared.files.plan.name import plan_id
from shared.view import present
from shared.view.issue import Issue
from shared.wording.cautions import at_the_saw, on_the_summary
from shared.wording.plurals import many
from shared.work.carried import as_carried, as_taken
from shared.work.saw.work import WorkBook
from shared.writers.xlsx.buying import assemblies, buy_list, rack_pieces
from shared.writers.xlsx.cells import Book, Cell, Column, Formula, Leaf, Text, value_of
from shared.writers.xlsx.frame import BUY_LIST, PARTS, Frame, Rows, added, column_sum, place_of
from shared.writers.xlsx.ordering import extra_charges, orders
from shared.writers.xlsx.sawing import cut_sheet, drops, parts, strokes
from shared.writers.xlsx.terms import price_leaves
from shared.writers.xlsx.tracing import trace_leaf

__all__ = ["workbook_of"]

_Row = tuple[str, Cell, str]


def workbook_of(job: Job, result: Result, issue: Issue, work: WorkBook | None = None) -> Book:
    """Lay out the workbook of a plan.

    Parameters
    ----------
    job : Job
        The question.
    result : Result
        The answer with its proof.
    issue : Issue
        Revision, date and paper.
    work : WorkBook or None
        The plan in hand: a sheet more traces every piece to its heat number.

    Raises
    ------
    ValueError
        There is no plan to write down.
    """
    if result.plan is None:
        raise ValueError("there is no plan to write down")
    frame = Frame(job=as_taken(job, result.plan), result=result, plan=result.plan, issue=issue)
    carried, at_the_saw = as_carried(job, result.plan)
    saw = Frame(job=carried, result=result, plan=at_the_saw, issue=issue)
    name = plan_id(job, result.plan)
    revision = f", revision {issue.revision}" if issue.revision else ""
    bought, listed = buy_list(frame), parts(saw)
    sums = _Sums(bought=bought.rows, listed=listed.rows)
    leaves = [_summary(frame, saw, name, sums), bought, *orders(frame), *price_leaves(frame), cut_sheet(saw)]
    if any(cut.strokes for cut in result.plan.cuts):
        leaves.append(strokes(saw))
    leaves += [listed, drops(saw), rack_pieces(frame, saw)]
    if any(part.assembly for part in job.parts):
        leaves.append(assemblies(frame))
    if work is not None:
        leaves.append(trace_leaf(work))
    return Book(
        title=job.title or "Untitled job",
        foot=f"Plan {name}{revision}, {issue.date.isoformat()}",
        date=issue.date.isoformat(),
        paper=issue.paper.value,
        leaves=tuple(leaves),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Sums:
    """The rows that the summary adds up."""

    bought: Rows
    listed: Rows


def _summary(frame: Frame, saw: Frame, name: str, sums: _Sums) -> Leaf:
    rows = list(_summary_rows(frame, saw, name, sums))
    strong = {"Job", "In short", f"Cost {frame.money}"}
    return Leaf(
        name="Summary",
        columns=(Column(head="Summary", wide=24), Column(head="", wide=74)),
        rows=tuple((Text(label), value) for label, value, _ in rows),
        strong=tuple(number for number, (label, _, _) in enumerate(rows) if label in strong),
        formats=tuple(form for _, _, form in rows),
    )


def _summary_rows(frame: Frame, saw: Frame, name: str, sums: _Sums) -> Iterator[_Row]:
    view = present(frame.job, frame.result)
    yield "Job", Text(frame.job.title or "Untitled job"), ""
    yield "For", None, ""
    yield "Plan", Text(name), ""
    yield "Revision", Text(frame.issue.revision or "-"), ""
    yield "Date", Text(frame.issue.date.isoformat()), ""
    yield "In short", Text(view.answer), ""
    yield from _cost_rows(frame)
    yield "How good it is", Text(view.proof), ""
    for remark in view.remarks:
        yield "Remark", Text(remark), ""
    for change in view.changes:
        yield "Changed", Text(change.words), ""
    for words in view.money.words if view.money else ():
        yield "Money", Text(words), ""
    sticks, made = added(sums.bought, "H"), added(sums.listed, "G")
    yield "Sticks", Formula(text=f"={column_sum(BUY_LIST, 'H', len(sums.bought))}", value=sticks), "0"
    yield "Parts", Formula(text=f"={column_sum(PARTS, 'G', len(sums.listed))}", value=made), "0"
    yield "Layouts", len(saw.plan.cuts), "0"
    yield _weight_row(frame, sums)
    yield "Used share", _used_share(sums), "0.0%"
    for text in on_the_summary(frame.job):
        yield "Not checked", Text(text), ""
    for text in at_the_saw(frame.job):
        yield "At the saw", Text(text), ""


def _cost_rows(frame: Frame) -> Iterator[_Row]:
    if not frame.money:
        return
    total = column_sum(BUY_LIST, "J", len(frame.plan.buy))
    planned = sum((line.cost for line in frame.plan.buy if line.cost is not None), Decimal(0))
    if frame.plan.paid is not None:
        total, planned = f"{total}+{extra_charges(frame)}", frame.plan.paid
    changed = "changed since the plan was made: plan again to know whether it is still the cheapest"
    yield f"Cost {frame.money}", Formula(text=f"={total}", value=planned), frame.money_form
    yield f"As planned {frame.money}", planned, frame.money_form
    # Half a thousandth is finer than any currency's smallest unit, and coarser than what binary sums lose.
    same = f'=IF(ABS({total}-{planned})<0.0005,"as planned","{changed}")'
    yield "Prices", Formula(text=same, value="as planned"), "General"


def _weight_row(frame: Frame, sums: _Sums) -> _Row:
    weights = add_up(frame.plan).weights
    label = f"Weight {frame.weight_unit}"
    if weights.known is None:
        return label, Text("not known for any section"), ""
    said = f", without {many(len(weights.without), 'section')}" if weights.without else ""
    text = f"={column_sum(BUY_LIST, 'L', len(sums.bought))}"
    return f"{label}{said}", Formula(text=text, value=added(sums.bought, "L")), "#,##0.0"


def _used_share(sums: _Sums) -> Formula:
    wanted, bought = len(sums.listed) + 1, len(sums.bought) + 1
    used = f"SUMPRODUCT('{PARTS}'!$M$2:$M${wanted},'{PARTS}'!$G$2:$G${wanted})"
    taken = f"SUMPRODUCT('{BUY_LIST}'!$E$2:$E${bought},'{BUY_LIST}'!$H$2:$H${bought})"
    return Formula(text=f"={used}/{taken}", value=_product(sums.listed, "MG") / _product(sums.bought, "EH"))


def _product(rows: Rows, columns: str) -> float:
    """Add up what two columns come to, row by row."""
    first, second = map(place_of, columns)
    return sum(float(value_of(row[first])) * float(value_of(row[second])) for row in rows)
