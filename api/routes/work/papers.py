"""Paper of the rack and of a work in hand: cut sheet and labels of the revision in force, labels of pieces, lists."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Query, Response
from starlette.concurrency import run_in_threadpool

from api.routes.common import Served, problems
from api.routes.work.works import WorkId, book_of
from api.service.problems import ApiError, Fault, Kind
from api.service.runner.child import Line
from api.service.running import Service
from shared.view.issue import Issue, Paper, paper_of
from shared.view.labels.bars import bar_labels
from shared.view.labels.sizes import LABEL_SHEETS, LabelSheet, usual_labels
from shared.view.labels.work import work_labels
from shared.view.work.sheet import work_cut_sheet
from shared.view.work.stock_take import stock_take
from shared.view.work.trace_list import trace_list
from shared.wording.tape import Tape
from shared.work.rack.bars import Bar, BarState, parse_bar_name
from shared.work.rack.measures import usual_unit
from shared.work.saw.trace_table import trace_csv
from shared.work.saw.work import WorkBook
from shared.writers.pdf import cut_sheet_pdf, labels_pdf, stock_take_pdf, trace_list_pdf

__all__ = ["PAPERS_OF_WORK", "PaperOfWork", "router", "work_paper_task"]

router = APIRouter(tags=["work"])

_STRICT: Final = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
_PDF: Final = "application/pdf"
_MOST_NUMBERS: Final = 2_000

PaperName = Annotated[
    Literal["a4", "letter"] | None, Query(description="Size of the paper; by the unit where left out.")
]
SheetName = Annotated[
    Literal[("", *LABEL_SHEETS)],  # type: ignore[valid-type]
    Query(description="Sheet of labels; the paper's usual one where left out or empty."),
]
Used = Annotated[int, Query(ge=0, lt=100, description="Labels that are gone from the first sheet.")]


@dataclass(frozen=True, kw_only=True, slots=True)
class Printing:
    """How a paper is to be printed.

    Attributes
    ----------
    day : date
        When.
    paper : Paper or None
        What on; None by the unit.
    labels : str
        Sheet of labels; empty for the usual one.
    used : int
        Labels that are gone from it.
    changed : bool
        Only what is new in the revision in force.
    """

    day: date
    paper: Paper | None = None
    labels: str = ""
    used: int = 0
    changed: bool = False

    def sheet(self, paper: Paper) -> LabelSheet:
        """Return the sheet of labels."""
        return LABEL_SHEETS[self.labels] if self.labels else usual_labels(paper)


@dataclass(frozen=True, kw_only=True, slots=True)
class PaperOfWork:
    """One paper of a work."""

    name: str
    media: str
    label: str
    write: Callable[[WorkBook, Issue, Printing], bytes]


def _sheet(book: WorkBook, issue: Issue, how: Printing) -> bytes:
    return cut_sheet_pdf(work_cut_sheet(book, issue, changed_only=how.changed))


def _labels(book: WorkBook, issue: Issue, how: Printing) -> bytes:
    return labels_pdf(work_labels(book, issue, how.sheet(issue.paper), how.used, changed_only=how.changed))


def _trace(book: WorkBook, issue: Issue, _how: Printing) -> bytes:
    return trace_list_pdf(trace_list(book, issue))


def _trace_csv(book: WorkBook, _issue: Issue, _how: Printing) -> bytes:
    return trace_csv(book)


PAPERS_OF_WORK: Final = {
    kind.name: kind
    for kind in (
        PaperOfWork(name="cut-sheet.pdf", media=_PDF, label="cut sheet", write=_sheet),
        PaperOfWork(name="labels.pdf", media=_PDF, label="labels", write=_labels),
        PaperOfWork(name="trace.pdf", media=_PDF, label="trace list: which part is from which heat", write=_trace),
        PaperOfWork(name="trace.csv", media="text/csv; charset=utf-8", label="trace list as a table", write=_trace_csv),
    )
}
"""By name, in the order in which they are offered."""


def work_paper_task(_line: Line, name: str, book: WorkBook, how: Printing) -> bytes | str:
    """Write one paper of a work; what can't be written so is said in words."""
    issue = Issue(date=how.day, paper=how.paper or paper_of(book.work.job))
    if wrong := _too_many_gone(how, issue.paper):
        return wrong
    return PAPERS_OF_WORK[name].write(book, issue, how)


def stock_take_task(_line: Line, bars: Sequence[Bar], how: Printing) -> bytes:
    """Write the list to take stock by."""
    return stock_take_pdf(stock_take(bars, how.day, how.paper or _paper_of(bars)))


def rack_labels_task(_line: Line, bars: Sequence[Bar], how: Printing) -> bytes | str:
    """Write labels of pieces."""
    paper = how.paper or _paper_of(bars)
    return _too_many_gone(how, paper) or labels_pdf(bar_labels(bars, how.day, how.sheet(paper), how.used))


def _paper_of(bars: Sequence[Bar]) -> Paper:
    return Paper.A4 if Tape(unit=usual_unit(bars)).metric else Paper.LETTER


def _too_many_gone(how: Printing, paper: Paper) -> str:
    sheet = how.sheet(paper)
    return f"a sheet {sheet.name} has {sheet.count} labels; write 0 to {sheet.count - 1}" * (how.used >= sheet.count)


def _today() -> date:
    return datetime.now(tz=UTC).astimezone().date()


def _answer(data: bytes | str, name: str, media: str, used: int) -> Response:
    if isinstance(data, str):
        fault = Fault(detail=data, parameter="used", text=str(used))
        raise ApiError(kind=Kind.INVALID_PARAMETERS, detail="So many labels can't be gone.", faults=(fault,))
    shown = "inline" if media == _PDF else "attachment"
    headers = {"Content-Disposition": f'{shown}; filename="{name}"', "Content-Security-Policy": _STRICT}
    return Response(data, media_type=media, headers=headers)


def _documented(media: str) -> dict[int | str, dict[str, Any]]:
    schema = {"type": "string"} | ({"format": "binary"} if media == _PDF else {})
    return {
        200: {"content": {media.partition(";")[0]: {"schema": schema}}},
        **problems(Kind.NOT_FOUND, Kind.INVALID_PARAMETERS, Kind.TOO_HARD_TO_READ, Kind.BUSY),
    }


def _route(kind: PaperOfWork) -> None:
    @router.get(
        f"/v1/works/{{work_id}}/{kind.name}",
        name=f"work-{kind.name}",
        summary=f"Get the {kind.label} of a work",
        response_class=Response,
        responses=_documented(kind.media),
    )
    async def get_paper(  # noqa: PLR0917  FastAPI passes them by name
        service: Served,
        work_id: WorkId,
        paper: PaperName = None,
        labels: SheetName = "",
        used: Used = 0,
        changed: Annotated[  # noqa: FBT002
            bool, Query(description="Only layouts that are new in the revision in force.")
        ] = False,
    ) -> Response:
        how = Printing(day=_today(), paper=Paper(paper) if paper else None, labels=labels, used=used, changed=changed)
        book = await book_of(service, work_id)
        return _answer(await service.side(work_paper_task, kind.name, book, how), kind.name, kind.media, used)


for _kind in PAPERS_OF_WORK.values():
    _route(_kind)


@router.get(
    "/v1/rack/stock-take.pdf",
    tags=["rack"],
    summary="Get the list to take stock by, to print",
    response_class=Response,
    responses=_documented(_PDF),
)
async def stock_take_list(service: Served, paper: PaperName = None) -> Response:
    """Return the rack by place, with blanks to write in."""
    bars = await run_in_threadpool(service.shop.bars)
    how = Printing(day=_today(), paper=Paper(paper) if paper else None)
    return _answer(await service.side(stock_take_task, bars, how), "stock-take.pdf", _PDF, 0)


@router.get(
    "/v1/rack/labels.pdf",
    tags=["rack"],
    summary="Get labels of pieces",
    response_class=Response,
    responses=_documented(_PDF),
)
async def rack_labels(
    service: Served,
    number: Annotated[
        str, Query(max_length=8_000, description="Which pieces, such as `D17 D20`; empty for all of the rack.")
    ] = "",
    paper: PaperName = None,
    labels: SheetName = "",
    used: Used = 0,
) -> Response:
    """Return labels with a code to scan, one for each piece."""
    bars = await _chosen(service, number)
    how = Printing(day=_today(), paper=Paper(paper) if paper else None, labels=labels, used=used)
    return _answer(await service.side(rack_labels_task, bars, how), "labels.pdf", _PDF, used)


async def _chosen(service: Service, text: str) -> tuple[Bar, ...]:
    """Return the pieces that a text names; raises ApiError with every name that is none."""
    names = text.replace(",", " ").split()
    if not names:
        return await run_in_threadpool(service.shop.bars)
    known = {bar.number: bar for bar in await run_in_threadpool(service.shop.bars, states=tuple(BarState))}
    numbers = [int(name) if name.isdecimal() and len(name) < 10 else parse_bar_name(name) for name in names]  # noqa: PLR2004
    faults = tuple(
        Fault(detail="There is no such piece; write its label number, such as D17.", parameter="number", text=name)
        for name, number in zip(names, numbers, strict=True)
        if number not in known
    )
    if faults or len(names) > _MOST_NUMBERS:
        raise ApiError(kind=Kind.INVALID_PARAMETERS, detail="Some of these are no pieces of the books.", faults=faults)
    return tuple(known[number] for number in dict.fromkeys(numbers) if number is not None)
