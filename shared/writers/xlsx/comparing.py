"""The sheet that sets ways to buy side by side."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Objective
from cutting.asking.compare import Case, Comparison, Row
from cutting.buying.objective import objective_of
from cutting.question.job import Job
from cutting.question.money import minor_digits
from shared.view.advice.comparing import how_good, paid, way_text
from shared.view.issue import paper_of
from shared.writers.xlsx.cells import Book, Cell, Column, Leaf, Text

__all__ = ["comparison_book", "comparison_leaf", "with_comparison"]


def comparison_book(job: Job, found: Comparison, day: date) -> Book:
    """Return a workbook of the comparison alone.

    Parameters
    ----------
    job : Job
        The job compared.
    found : Comparison
        From `cutting.asking.compare.compare`.
    day : date
        Printed at the foot of every page.
    """
    return Book(
        title=job.title or "Untitled job",
        foot=f"Ways to buy, {day.isoformat()}",
        date=day.isoformat(),
        paper=paper_of(job).value,
        leaves=(comparison_leaf(job, found),),
    )


def with_comparison(book: Book, job: Job, found: Comparison) -> Book:
    """Return the workbook of a plan with the comparison behind its other sheets."""
    return replace(book, leaves=(*book.leaves, comparison_leaf(job, found)))


def comparison_leaf(job: Job, found: Comparison) -> Leaf:
    """Return one row for each way to buy; numbers are numbers, so that they can be reckoned with."""
    form = "#,##0" + ("." + "0" * minor_digits(job.currency) if job.currency and minor_digits(job.currency) else "")
    unit = job.currency or _unit(job)
    heads = (f"to pay {unit}", f"counted {unit}", f"more {unit}", f"at least {unit}")
    return Leaf(
        name="Ways to buy",
        columns=(
            Column(head="buying", wide=34),
            *(Column(head=head, wide=16, form=form if job.currency else "#,##0.0") for head in heads),
            Column(head="how good it is", wide=48),
            Column(head="why there is none", wide=60),
        ),
        rows=tuple(_row(job, row) for row in found.rows),
        strong=(0,),
    )


def _row(job: Job, row: Row) -> tuple[Cell, ...]:
    bound = None if row.reasons else row.lower_bound
    delta = None if row.case is Case.ALL else row.delta
    values = (paid(row), row.cost, delta, bound)
    return (
        Text(way_text(job, row)),
        *(_number(job, value) for value in values),
        Text(how_good(job, row)),
        Text(" ".join(row.reasons)),
    )


def _unit(job: Job) -> str:
    """Return the unit of a job without prices."""
    return "kg" if objective_of(job) is Objective.WEIGHT else job.unit.value


def _number(job: Job, value: Fraction | None) -> Cell:
    if value is None:
        return None
    if job.currency is not None:
        # What leftovers are worth has no end of decimals; a cell shows it rounded, and holds it to eight.
        return (Decimal(value.numerator) / Decimal(value.denominator)).quantize(Decimal("0.00000001")).normalize() + 0
    return float(value / job.unit.mm if objective_of(job) is Objective.LENGTH else value)
