"""`tallystick plan`: the cheapest purchase for a job, how to cut it, and how good that is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from cli.app import app
from cli.exits import Code, leave, leave_with_problems, of_status
from cli.files import name_of, read_bytes, write_bytes
from cli.lists import (
    CurrencyOption,
    EndTrimOption,
    KerfOption,
    LayoutCostOption,
    Lists,
    OwnOption,
    PartsOption,
    RackOption,
    SaveOption,
    SticksOption,
    TapeOption,
    Understood,
    UnitOption,
    also_needed,
    check_lists,
    read_lists,
    save_job,
    with_options,
)
from cli.own_rack import OwnRackOption, rack_bars, with_rack_of
from cli.papers import (
    BuyListOption,
    DateOption,
    LabelSheetOption,
    LabelsOption,
    LabelsUsedOption,
    PaperOption,
    Papers,
    PdfOption,
    RequestOption,
    RevisionOption,
    SvgOption,
    XlsxOption,
    check_papers,
    write_papers,
)
from cli.shop import DataOption, StoreOption
from cli.understood import understood_text
from cutting.answer.plan import Plan, Result
from cutting.question.job import Job

if TYPE_CHECKING:
    from shared.work.rack.bars import Bar

__all__ = ["LimitOption", "SeedOption", "plan", "plan_or_leave", "read_job_file"]

_LONGEST = 86_400.0


def _seconds(value: float) -> float:
    if not 0 < value <= _LONGEST:
        raise typer.BadParameter(f"write a number of seconds above 0 and up to {_LONGEST:.0f}")
    return value


LimitOption = Annotated[
    float,
    typer.Option(
        "--time-limit", metavar="SECONDS", callback=_seconds, help="Time after which the best plan so far is taken."
    ),
]
SeedOption = Annotated[
    int, typer.Option("--seed", metavar="NUMBER", min=0, max=2**31 - 1, help="Seed of every random choice.")
]


@app.command()
def plan(
    job: Annotated[
        str | None,
        typer.Argument(metavar="JOB", help="Job file, TOML or JSON; - reads standard input. Left out with --parts."),
    ] = None,
    *,
    parts: PartsOption = None,
    sticks: SticksOption = None,
    rack: RackOption = None,
    own: OwnOption = None,
    unit: UnitOption = None,
    kerf: KerfOption = None,
    end_trim: EndTrimOption = "0",
    currency: CurrencyOption = None,
    tape: TapeOption = None,
    layout_cost: LayoutCostOption = None,
    save: SaveOption = None,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE", help="Write the plan as JSON; - writes it to standard output instead."),
    ] = None,
    time_limit: LimitOption = 10.0,
    seed: SeedOption = 0,
    xlsx: XlsxOption = None,
    pdf: PdfOption = None,
    labels: LabelsOption = None,
    svg: SvgOption = None,
    buy_list: BuyListOption = None,
    request: RequestOption = None,
    paper: PaperOption = None,
    label_sheet: LabelSheetOption = None,
    labels_used: LabelsUsedOption = 0,
    revision: RevisionOption = "",
    date: DateOption = None,
    own_rack: OwnRackOption = False,
    data: DataOption = None,
    store: StoreOption = "",
    quiet: Annotated[
        bool, typer.Option("--quiet", help="With --parts: leave out what was understood of the lists.")
    ] = False,
) -> None:
    """Plan a job: buy list, cuts, and how good that is."""
    lists = Lists(
        parts=parts, sticks=sticks, rack=rack, own=own, unit=unit, kerf=kerf, end_trim=end_trim, currency=currency
    )
    check_lists(job, lists, own_rack=own_rack)
    papers = Papers(
        xlsx=xlsx,
        pdf=pdf,
        labels=labels,
        svg=svg,
        buy_list=buy_list,
        request=request,
        paper=paper,
        label_sheet=label_sheet,
        labels_used=labels_used,
        revision=revision,
        date=date,
    )
    check_papers(papers, json)
    bars = rack_bars(data, store, wanted=own_rack)
    question, read = (read_job_file(job, bars), None) if job is not None else read_lists(lists, bars)
    question = with_options(question, tape=tape, layout_cost=layout_cost)
    if save is not None:
        save_job(save, question)
    result, stopped = _solve(question, time_limit, seed)
    _write_json(json, question, result)
    write_papers(papers, question, result, also_needed(read))
    if "-" not in {json, *papers.files}:
        _show(question, result, read, quiet=quiet)
    leave(Code.STOPPED if stopped else of_status(result.status))


def read_job_file(path: str, bars: Sequence[Bar] | None = None) -> Job:
    """Read a job file, the rack's pieces with it; ends the command with every problem where there is one."""
    from shared.files.job import read_job  # noqa: PLC0415 - keeps --help instant

    data = read_bytes(path)
    job, problems = read_job(data, name=path)
    if job is not None and bars is not None:
        job, problems = with_rack_of(data, path, bars)
    if job is None:
        leave_with_problems(name_of(path), problems)
    return job


def plan_or_leave(job: Job, limit: float, seed: int) -> Plan:
    """Plan a job; ends the command as `plan` does where there is no plan."""
    result, stopped = _solve(job, limit, seed)
    if stopped:
        leave(Code.STOPPED, "stopped")
    if result.plan is None:
        _show(job, result, None)
        leave(of_status(result.status))
    return result.plan


def _solve(job: Job, limit: float, seed: int) -> tuple[Result, bool]:
    """Return what was found, and whether somebody pressed Ctrl-C; ends the command where nothing was found by then."""
    from cli.solving import solved  # noqa: PLC0415 - the engine takes a moment to import

    work = solved(job, limit, seed)
    if work.result is None:
        leave(Code.STOPPED, "stopped before a plan was found")
    return work.result, work.stopped


def _write_json(path: str | None, job: Job, result: Result) -> None:
    if path is not None:
        from shared.files.plan import write_plan  # noqa: PLC0415 - only where it is needed

        write_bytes(path, write_plan(job, result))


def _show(job: Job, result: Result, read: Understood | None, *, quiet: bool = False) -> None:
    from cli.terminal import is_bold_wanted, width  # noqa: PLC0415 - only where it is shown
    from shared.view import present  # noqa: PLC0415
    from shared.writers.text.plan import plan_text  # noqa: PLC0415

    typer.echo(plan_text(present(job, result), bold=is_bold_wanted(), width=width()), nl=False)
    if others := also_needed(read):
        typer.echo("\n".join(["", "Also needed, not planned here", *others]))
    if read is not None and not quiet:
        typer.echo(understood_text(read), nl=False)
