"""Papers of a plan, written in a child: what there is, by name, and how each is made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Final

from api.service.runner.answers import result_of_plan
from api.service.runner.child import Line
from api.service.runner.ways import Solved, comparison_of
from cutting.answer.plan import Plan, Result
from cutting.question.job import Job
from shared.files.job import read_job
from shared.view.drawing import plan_bars
from shared.view.issue import Issue, Paper, paper_of
from shared.view.labels.parts import labels_of
from shared.view.labels.sizes import LABEL_SHEETS, usual_labels
from shared.view.letter.lines import letter_of
from shared.view.sheet.cut_sheet import cut_sheet
from shared.writers.letter import buy_list_csv, buy_list_text, request_csv, request_text
from shared.writers.pdf import cut_sheet_pdf, labels_pdf
from shared.writers.svg import draw, svg_sheet
from shared.writers.xlsx import with_comparison, workbook_of, write_workbook

__all__ = ["PAPERS", "PaperKind", "Paperwork", "paper_task"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Paperwork:
    """What a paper is made of.

    Attributes
    ----------
    job : bytes
        The job file.
    plan : bytes
        The plan file.
    day : date
        When it is issued.
    size : str
        ``a4`` or ``letter``; empty for what suits the job's unit.
    labels : str
        Name of a sheet of labels; empty for the usual one.
    used : int
        Labels that are gone from the first sheet.
    also : tuple of str
        What is needed beside bar stock.
    ways : tuple of Solved
        Other ways to buy that the job was compared with.
    """

    job: bytes
    plan: bytes
    day: date
    size: str = ""
    labels: str = ""
    used: int = 0
    also: tuple[str, ...] = ()
    ways: tuple[Solved, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class PaperKind:
    """One kind of paper.

    Attributes
    ----------
    name : str
        Its file name, and its place below a job's address.
    media : str
        Its media type.
    label : str
        What it is, for people.
    write : callable
        Makes it.
    """

    name: str
    media: str
    label: str
    write: Callable[[Job, Result, Plan, Issue, Paperwork], bytes]


def paper_task(_line: Line, name: str, work: Paperwork) -> bytes | str:
    """Write one paper; a plan that doesn't exist has none, and what can't be written so is said in words."""
    job, problems = read_job(work.job, name="job.json")
    if job is None:
        raise ValueError(f"the store's job can't be read: {problems[0].where}: {problems[0].message}")
    result = result_of_plan(job, work.plan, 0.0)
    if result.plan is None:
        return b""
    issue = Issue(date=work.day, paper=Paper(work.size) if work.size else paper_of(job))
    sheet = LABEL_SHEETS[work.labels] if work.labels else usual_labels(issue.paper)
    if work.used >= sheet.count:
        return f"a sheet {sheet.name} has {sheet.count} labels; write 0 to {sheet.count - 1}"
    return PAPERS[name].write(job, result, result.plan, issue, work)


def _workbook(job: Job, result: Result, _plan: Plan, issue: Issue, work: Paperwork) -> bytes:
    book = workbook_of(job, result, issue)
    return write_workbook(with_comparison(book, job, comparison_of(job, result, work.ways)) if work.ways else book)


def _cut_sheet(job: Job, _result: Result, plan: Plan, issue: Issue, _work: Paperwork) -> bytes:
    return cut_sheet_pdf(cut_sheet(job, plan, issue))


def _labels(job: Job, _result: Result, plan: Plan, issue: Issue, work: Paperwork) -> bytes:
    sheet = LABEL_SHEETS[work.labels] if work.labels else usual_labels(issue.paper)
    return labels_pdf(labels_of(job, plan, issue, sheet, work.used))


def _drawing(job: Job, _result: Result, plan: Plan, _issue: Issue, _work: Paperwork) -> bytes:
    return svg_sheet([draw(bar) for bar in plan_bars(job, plan)], job.title or "Cuts").encode()


def _buy_list(job: Job, _result: Result, plan: Plan, issue: Issue, work: Paperwork) -> bytes:
    return buy_list_csv(letter_of(job, plan, issue, work.also)).encode()


def _buy_text(job: Job, _result: Result, plan: Plan, issue: Issue, work: Paperwork) -> bytes:
    return buy_list_text(letter_of(job, plan, issue, work.also)).encode()


def _request(job: Job, _result: Result, plan: Plan, issue: Issue, work: Paperwork) -> bytes:
    return request_text(letter_of(job, plan, issue, work.also)).encode()


def _request_csv(job: Job, _result: Result, plan: Plan, issue: Issue, work: Paperwork) -> bytes:
    return request_csv(letter_of(job, plan, issue, work.also)).encode()


_XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_CSV: Final = "text/csv; charset=utf-8"
_TEXT: Final = "text/plain; charset=utf-8"

PAPERS: Final = {
    kind.name: kind
    for kind in (
        PaperKind(name="cut-sheet.pdf", media="application/pdf", label="cut sheet", write=_cut_sheet),
        PaperKind(name="plan.xlsx", media=_XLSX, label="workbook", write=_workbook),
        PaperKind(name="labels.pdf", media="application/pdf", label="labels", write=_labels),
        PaperKind(name="buy-list.csv", media=_CSV, label="buy list as a table", write=_buy_list),
        PaperKind(name="buy-list.txt", media=_TEXT, label="buy list as text", write=_buy_text),
        PaperKind(name="request.txt", media=_TEXT, label="request for quotation", write=_request),
        PaperKind(name="request.csv", media=_CSV, label="request as a table", write=_request_csv),
        PaperKind(name="drawing.svg", media="image/svg+xml", label="drawing", write=_drawing),
    )
}
"""By name, in the order in which they are offered."""
