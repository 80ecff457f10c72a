"""Ways to buy, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cutting.answer.plan import Status
from cutting.asking.compare import Case, Comparison, Row
from cutting.question.job import Job
from cutting.question.lengths import format_length
from shared.view.advice.table import Advice, Heading, signed, value_text
from shared.wording.sentences import worth_text
from shared.wording.tape import tape_of
from shared.wording.values import length

__all__ = ["case_text", "comparison_advice", "how_good", "paid_text", "rows_advice", "way_text"]

_WAYS = {
    Case.ALL: "everything offered",
    Case.NO_RACK: "without the rack",
    Case.NO_CUTS: "without cuts by the yard",
    Case.NO_SUBSTITUTES: "without substitutes",
}


def comparison_advice(job: Job, found: Comparison) -> Advice:
    """Present a comparison.

    Parameters
    ----------
    job : Job
        The job compared.
    found : Comparison
        From `cutting.asking.compare.compare`.
    """
    return rows_advice(job, found.rows)


def rows_advice(job: Job, rows: Sequence[Row]) -> Advice:
    """Present some rows of a comparison, as long as others are still being planned."""
    kept = job.keep_value is not None or bool(job.kind_cost or job.layout_cost)
    counted = "all counted" if job.kind_cost or job.layout_cost else "leftovers counted"
    columns = [Heading(text="buying"), Heading(text="to pay", right=True)]
    columns += [Heading(text=counted, right=True)] if kept else []
    columns += [Heading(text="more", right=True), Heading(text="how good it is")]
    return Advice(
        title=job.title,
        lead=(),
        columns=tuple(columns),
        rows=tuple(_row(job, row, kept=kept) for row in rows),
        notes=(
            "Each line is planned and proven by itself; more is against the first line.",
            *(f"{way_text(job, row)}: {' '.join(row.reasons)}" for row in rows if row.reasons),
        ),
        data={"unit": job.unit.value, "currency": job.currency, "rows": [_data(job, row) for row in rows]},
    )


def way_text(job: Job, row: Row) -> str:
    """Say what may be bought in a row."""
    return case_text(job, row.case, row.name, row.length)


def case_text(job: Job, case: Case, name: str, one: Fraction | None) -> str:
    """Say what may be bought: everything but what is left out, one yard, or one mill length (mm)."""
    if case is Case.YARD:
        return f"{name or 'the yard without a name'} alone"
    if case is Case.MILL_LENGTH and one is not None:
        return f"only {length(one, tape_of(job)).full} of the sticks"
    return _WAYS[case]


def paid(row: Row) -> Fraction | None:
    """Return what is paid: all that counts, or where leftovers or your own trouble count, the money alone."""
    if row.plan is not None and row.plan.paid is not None:
        return Fraction(row.plan.paid)
    return row.cost


def paid_text(job: Job, row: Row) -> str:
    """Say what is paid; empty without a plan."""
    amount = paid(row)
    return "" if amount is None else worth_text(job, amount)


def how_good(job: Job, row: Row) -> str:
    """Say how good a row's plan is."""
    match row.status:
        case Status.OPTIMAL:
            return "nothing cheaper exists"
        case Status.INFEASIBLE:
            return "no plan exists"
        case Status.UNKNOWN:
            return f"no plan found; any costs at least {worth_text(job, row.lower_bound)}"
    assert row.cost is not None
    return f"at most {worth_text(job, row.cost - row.lower_bound)} more could be saved"


def _row(job: Job, row: Row, *, kept: bool) -> tuple[str, ...]:
    counted = ("" if row.cost is None else worth_text(job, row.cost),) if kept else ()
    more = "" if row.case is Case.ALL else signed(job, row.delta)
    return (way_text(job, row), paid_text(job, row), *counted, more, how_good(job, row))


def _data(job: Job, row: Row) -> dict[str, object]:
    return {
        "case": row.case.value,
        "yard": row.name,
        "length": None if row.length is None else format_length(row.length, job.unit),
        "status": row.status.value,
        "paid": value_text(job, paid(row)),
        "cost": value_text(job, row.cost),
        "lower_bound": None if row.status is Status.INFEASIBLE else value_text(job, row.lower_bound),
        "more": value_text(job, row.delta),
        "why": list(row.reasons),
    }
