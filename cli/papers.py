"""The options of `tallystick plan` that write paper: workbook, cut sheet, labels, drawings, buy list, request."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from cli.exits import Code, leave
from cli.files import write_bytes
from cutting.answer.plan import Plan, Result
from cutting.question.job import Job

if TYPE_CHECKING:
    from shared.view.issue import Issue

__all__ = [
    "BuyListOption",
    "DateOption",
    "LabelSheetOption",
    "LabelsOption",
    "LabelsUsedOption",
    "PaperOption",
    "Papers",
    "PdfOption",
    "RequestOption",
    "RevisionOption",
    "SvgOption",
    "XlsxOption",
    "check_papers",
    "today",
    "write_papers",
]

_LABEL_SHEETS = ("a4-70x37", "a4-63.5x38.1", "a4-105x74", "letter-2-5/8x1", "letter-4x2")
_LONGEST_REVISION = 12
_PLACE = "- writes to standard output instead of the plan."


def _date(text: str | None) -> str | None:
    if text is not None:
        try:
            date.fromisoformat(text)
        except ValueError as error:
            raise typer.BadParameter(f"{text!r} is no date; write year, month and day, such as 2026-11-25") from error
    return text


def _revision(text: str) -> str:
    if len(text) > _LONGEST_REVISION or not text.isprintable():
        raise typer.BadParameter(f"write at most {_LONGEST_REVISION} letters or digits, such as B or 2")
    return text


def _paper(text: str | None) -> str | None:
    if text is not None and text.lower() not in {"a4", "letter"}:
        raise typer.BadParameter("write a4 or letter")
    return None if text is None else text.lower()


def _labels(text: str | None) -> str | None:
    if text is not None and text not in _LABEL_SHEETS:
        raise typer.BadParameter(f"write one of {', '.join(_LABEL_SHEETS)} (mm and inches, of one label)")
    return text


XlsxOption = Annotated[
    str | None, typer.Option("--xlsx", metavar="FILE", help=f"Write the plan as a workbook; {_PLACE}")
]
PdfOption = Annotated[str | None, typer.Option("--pdf", metavar="FILE", help=f"Write the cut sheet as PDF; {_PLACE}")]
LabelsOption = Annotated[
    str | None, typer.Option("--labels", metavar="FILE", help=f"Write labels for parts and drops as PDF; {_PLACE}")
]
SvgOption = Annotated[
    str | None, typer.Option("--svg", metavar="FILE", help=f"Write the drawing of every layout as SVG; {_PLACE}")
]
BuyListOption = Annotated[
    str | None,
    typer.Option(
        "--buy-list", metavar="FILE", help=f"Write the buy list: CSV where FILE ends in .csv, else text; {_PLACE}"
    ),
]
RequestOption = Annotated[
    str | None,
    typer.Option(
        "--request",
        metavar="FILE",
        help=f"Write a request for quotation: CSV where FILE ends in .csv, else text; {_PLACE}",
    ),
]
PaperOption = Annotated[
    str | None,
    typer.Option(
        "--paper",
        metavar="SIZE",
        callback=_paper,
        help="Paper to print on: a4 or letter. Letter beside inches and feet, a4 otherwise.",
    ),
]
LabelSheetOption = Annotated[
    str | None,
    typer.Option(
        "--label-sheet",
        metavar="NAME",
        callback=_labels,
        help=f"Labels to print on, by size of one: {', '.join(_LABEL_SHEETS)}.",
    ),
]
LabelsUsedOption = Annotated[
    int, typer.Option("--labels-used", metavar="NUMBER", min=0, help="Labels already missing on the first sheet.")
]
RevisionOption = Annotated[
    str, typer.Option("--revision", metavar="TEXT", callback=_revision, help="Revision printed on every sheet.")
]
DateOption = Annotated[
    str | None,
    typer.Option("--date", metavar="DATE", callback=_date, help="Date printed on every sheet; today's by default."),
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Papers:
    """Which papers to write where, and what they say of themselves; the options of the same names."""

    xlsx: str | None
    pdf: str | None
    labels: str | None
    svg: str | None
    buy_list: str | None
    request: str | None
    paper: str | None
    label_sheet: str | None
    labels_used: int
    revision: str
    date: str | None

    @property
    def files(self) -> tuple[str, ...]:
        """Where something is written."""
        places = (self.xlsx, self.pdf, self.labels, self.svg, self.buy_list, self.request)
        return tuple(place for place in places if place is not None)


def check_papers(papers: Papers, json: str | None) -> None:
    """End the command where two outputs would share standard output."""
    if [*papers.files, json].count("-") > 1:
        leave(Code.USAGE, "standard output holds only one file: write - once, and a file's name for the others")


def write_papers(papers: Papers, job: Job, result: Result, also: Sequence[str] = ()) -> None:
    """Write what was asked for, `also` (what is needed besides bar stock) on the buy list.

    Without a plan nothing is written, and that is said.
    """
    if not papers.files:
        return
    if result.plan is None:
        typer.echo(f"without a plan nothing is written to {', '.join(papers.files)}", err=True)
        return
    for place, data in _written(papers, job, result, result.plan):
        write_bytes(place, data)
    for place, data in _letters(papers, job, result.plan, also):
        write_bytes(place, data)


def _written(papers: Papers, job: Job, result: Result, plan: Plan) -> Iterator[tuple[str, bytes]]:
    issue = _issue(papers, job)
    if papers.xlsx is not None:
        from shared.writers.xlsx import workbook_of, write_workbook  # noqa: PLC0415 - only where it is needed

        yield papers.xlsx, write_workbook(workbook_of(job, result, issue))
    if papers.pdf is not None:
        from shared.view.sheet.cut_sheet import cut_sheet  # noqa: PLC0415
        from shared.writers.pdf import cut_sheet_pdf  # noqa: PLC0415

        yield papers.pdf, cut_sheet_pdf(cut_sheet(job, plan, issue))
    if papers.labels is not None:
        yield papers.labels, _label_sheets(papers, job, plan, issue)
    if papers.svg is not None:
        from shared.view.drawing import plan_bars  # noqa: PLC0415
        from shared.writers.svg import draw, svg_sheet  # noqa: PLC0415

        yield papers.svg, svg_sheet([draw(bar) for bar in plan_bars(job, plan)], job.title or "Cut sheet").encode()


def _letters(papers: Papers, job: Job, plan: Plan, also: Sequence[str]) -> Iterator[tuple[str, bytes]]:
    from shared.view.letter.lines import letter_of  # noqa: PLC0415
    from shared.writers.letter import buy_list_csv, buy_list_text, request_csv, request_text  # noqa: PLC0415

    letter = letter_of(job, plan, _issue(papers, job), also)
    for place, as_csv, as_text in (
        (papers.buy_list, buy_list_csv, buy_list_text),
        (papers.request, request_csv, request_text),
    ):
        if place is not None:
            yield place, (as_csv if place.lower().endswith(".csv") else as_text)(letter).encode()


def _label_sheets(papers: Papers, job: Job, plan: Plan, issue: Issue) -> bytes:
    from shared.view.labels.parts import labels_of  # noqa: PLC0415
    from shared.view.labels.sizes import LABEL_SHEETS, usual_labels  # noqa: PLC0415
    from shared.writers.pdf import labels_pdf  # noqa: PLC0415

    sheet = LABEL_SHEETS[papers.label_sheet] if papers.label_sheet else usual_labels(issue.paper)
    if papers.labels_used >= sheet.count:
        leave(Code.USAGE, f"a sheet of {sheet.name} has {sheet.count} labels; --labels-used must be below that")
    return labels_pdf(labels_of(job, plan, issue, sheet, papers.labels_used))


def _issue(papers: Papers, job: Job) -> Issue:
    from shared.view.issue import Issue, Paper, paper_of  # noqa: PLC0415

    return Issue(
        date=date.fromisoformat(papers.date) if papers.date else today(),
        revision=papers.revision,
        paper=Paper(papers.paper) if papers.paper else paper_of(job),
    )


def today() -> date:
    """Return the date for people, or the one that a reproducible build asks for (SOURCE_DATE_EPOCH)."""
    stamp = os.environ.get("SOURCE_DATE_EPOCH", "")
    return datetime.fromtimestamp(int(stamp), tz=UTC).date() if stamp.isdigit() else datetime.now().astimezone().date()
