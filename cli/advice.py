"""`tallystick compare`, `worth`, `margins` and `spares`: what choices, offcuts, near misses and spares are worth."""

from __future__ import annotations

import json as json_format
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any

import typer

from cli.app import app
from cli.exits import leave, of_status
from cli.files import write_bytes
from cli.papers import XlsxOption, today
from cli.plan import LimitOption, SeedOption, plan_or_leave, read_job_file
from cutting.question.job import Job

if TYPE_CHECKING:
    from cutting.asking.compare import Comparison
    from shared.view.advice import Advice

__all__ = ["compare", "margins", "spares", "worth"]

JobArgument = Annotated[str, typer.Argument(metavar="JOB", help="Job file, TOML or JSON; - reads standard input.")]
JsonOption = Annotated[
    str | None,
    typer.Option("--json", metavar="FILE", help="Write the table as JSON; - writes it to standard output instead."),
]


@app.command()
def compare(
    job: JobArgument,
    json: JsonOption = None,
    xlsx: XlsxOption = None,
    time_limit: LimitOption = 10.0,
    seed: SeedOption = 0,
) -> None:
    """Set ways to buy side by side, each proven: each yard alone, without the rack, and so on.

    --xlsx writes the plan's whole workbook with the comparison as its last sheet.
    """
    from cutting.asking.compare import compare as compared  # noqa: PLC0415 - keeps --help instant
    from shared.view.advice import comparison_advice  # noqa: PLC0415

    question = read_job_file(job)
    found = compared(question, limit=time_limit, seed=seed)
    if xlsx is not None:
        write_bytes(xlsx, _workbook(question, found))
    advice = comparison_advice(question, found)
    _write(json, [advice], advice.data)
    leave(of_status(found.rows[0].status))


def _workbook(job: Job, found: Comparison) -> bytes:
    """Write the plan's workbook with the comparison in it; the comparison alone where the job has no plan."""
    from shared.view.issue import Issue, paper_of  # noqa: PLC0415
    from shared.writers.xlsx import comparison_book, with_comparison, workbook_of, write_workbook  # noqa: PLC0415

    if found.result.plan is None:
        return write_workbook(comparison_book(job, found, today()))
    book = workbook_of(job, found.result, Issue(date=today(), paper=paper_of(job)))
    return write_workbook(with_comparison(book, job, found))


@app.command()
def worth(
    job: JobArgument,
    json: JsonOption = None,
    svg: Annotated[
        str | None, typer.Option("--svg", metavar="FILE", help="Write the plot of worth over length, by section.")
    ] = None,
    time_limit: LimitOption = 10.0,
    seed: SeedOption = 0,
) -> None:
    """Say what one offcut of each length is worth to a job, before walking to the rack."""
    from cutting.asking.worth import worth as valued  # noqa: PLC0415 - keeps --help instant
    from shared.view.advice import worth_advice, worth_plot  # noqa: PLC0415

    question = read_job_file(job)
    plan_or_leave(question, time_limit, seed)
    found = valued(question, limit=time_limit, seed=seed)
    if svg is not None:
        write_bytes(svg, worth_plot(question, found).encode())
    advice = [worth_advice(question, each) for each in found]
    sections = [each.data for each in advice]
    _write(json, advice, {"unit": question.unit.value, "currency": question.currency, "sections": sections})


@app.command()
def margins(
    job: JobArgument,
    *,
    most: Annotated[
        str | None,
        typer.Option("--most", metavar="LENGTH", help="Largest change of a part to consider, 1/2 in or 10 mm."),
    ] = None,
    saving: Annotated[
        str | None,
        typer.Option("--saving", metavar="AMOUNT", help="Only parts that save at least so much money; any if unsaid."),
    ] = None,
    json: JsonOption = None,
    time_limit: LimitOption = 10.0,
    seed: SeedOption = 0,
) -> None:
    """Find near misses: parts that save something a little shorter, and how much longer each may get for free."""
    from cutting.asking.margins import margins as measured  # noqa: PLC0415 - keeps --help instant
    from shared.view.advice import margins_advice  # noqa: PLC0415

    question = read_job_file(job)
    limit, least = _most(question, most), _saving(question, saving)
    plan_or_leave(question, time_limit, seed)
    found = measured(question, limit, saving=least, limit=time_limit, seed=seed)
    if found is not None:
        advice = margins_advice(question, found, limit, least)
        _write(json, [advice], advice.data)


@app.command()
def spares(job: JobArgument, json: JsonOption = None, time_limit: LimitOption = 10.0, seed: SeedOption = 0) -> None:
    """Say which part, if one piece is spoilt, can't be cut again from the drops, and what a spare costs."""
    from cutting.asking.spares import spares as covered  # noqa: PLC0415 - keeps --help instant
    from shared.view.advice import spares_advice  # noqa: PLC0415

    question = read_job_file(job)
    planned = plan_or_leave(question, time_limit, seed)
    advice = spares_advice(question, covered(question, planned, limit=time_limit, seed=seed))
    _write(json, [advice], advice.data)


def _most(job: Job, text: str | None) -> Fraction:
    from cutting.question.errors import LengthError  # noqa: PLC0415 - keeps --help instant
    from cutting.question.lengths import Unit, parse_length  # noqa: PLC0415

    if text is None:
        return Fraction(127, 10) if job.unit in {Unit.IN, Unit.FT} else Fraction(10)
    try:
        length = parse_length(text, job.unit)
    except LengthError as error:
        raise typer.BadParameter(f"--most {text}: {error.wanted}") from error
    if not length:
        raise typer.BadParameter("--most: write a length above 0, such as 1/4")
    return length


def _saving(job: Job, text: str | None) -> Fraction:
    from cutting.question.money import read_amount  # noqa: PLC0415 - keeps --help instant

    if text is None:
        return Fraction(0)
    if job.currency is None:
        raise typer.BadParameter("--saving: the job has no prices, so no money can be saved; leave it out")
    try:
        return Fraction(read_amount(text))
    except ValueError as error:
        raise typer.BadParameter(f"--saving: {error}") from error


def _write(json: str | None, advice: Sequence[Advice], data: Mapping[str, Any]) -> None:
    if json is not None:
        write_bytes(json, (json_format.dumps(data, ensure_ascii=False, indent=2) + "\n").encode())
    if json != "-":
        typer.echo("\n".join(_text(each) for each in advice), nl=False)


def _text(advice: Advice) -> str:
    from cli.terminal import width  # noqa: PLC0415 - keeps --help instant
    from shared.writers.text import columns, wrapped  # noqa: PLC0415

    rows = [[heading.text for heading in advice.columns], *advice.rows]
    sides = "".join("~>"[heading.right] for heading in advice.columns)
    table = columns(rows, sides, width()) if advice.rows else ()
    blocks = ([advice.title] if advice.title else [], advice.lead, table, advice.notes)
    broken = ([line for text in lines for line in wrapped(text, width())] for lines in blocks)
    return "\n\n".join(block for lines in broken if (block := "\n".join(lines))) + "\n"
