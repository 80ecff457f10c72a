"""A work in hand for browsers: how far it is, what came, what went wrong, the rest planned anew, the end of it."""

from __future__ import annotations

import secrets
from collections import defaultdict
from collections.abc import Awaitable, Callable, Mapping
from typing import Any

from fastapi import APIRouter, Request, Response
from pydantic import TypeAdapter, ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse

from api.page.rack.pages import Said
from api.page.rack.view import entry_lines
from api.page.rendering import page
from api.page.sheet.taking import put_right
from api.page.shop_pages import done, form_of, notice_of, reasons, signed_by, who_of
from api.page.work.proposal import proposal_view
from api.page.work.receiving import received_from
from api.page.work.revising import ListRead, listed_now, read_list_task
from api.page.work.view import work_row, work_view
from api.routes.common import JobId, Served
from api.routes.work.event_models import Event
from api.routes.work.events import happen
from api.routes.work.papers import PAPERS_OF_WORK
from api.routes.work.replans import accept_proposal, propose
from api.routes.work.works import WorkId, book_of
from api.service.problems import ApiError, Kind
from api.service.running import Service
from api.service.shop import asked
from api.sheet.form import SheetForm
from cutting.question.lengths import Unit
from shared.work.saw.needs import flags_of
from shared.work.saw.work import Outcome, WorkBook, WorkState, revision_mark

__all__ = ["router"]

router = APIRouter(include_in_schema=False)

_HISTORY = 60
_EVENT: TypeAdapter[Event] = TypeAdapter(Event)
_UNITS = [unit.value for unit in Unit]

Act = Callable[[dict[str, str]], Awaitable[Outcome]]


@router.get("/works")
async def show_works(service: Served, request: Request, said: Said = None) -> HTMLResponse:
    """List what is in hand."""
    works = await run_in_threadpool(service.shop.works)
    ordered = sorted(works, key=lambda work: work.state is not WorkState.OPEN)
    rows = [work_row(await book_of(service, work.id)) for work in ordered]
    in_hand = sum(1 for row in rows if row.open)
    return page(
        "works.html",
        headline="Nothing is in hand." if not in_hand else f"{in_hand} work{'s' if in_hand > 1 else ''} in hand.",
        rows=rows,
        notice=await notice_of(service, said),
        who=signed_by(request),
    )


@router.post("/plans/{job_id}/take")
async def take(service: Served, request: Request, job_id: JobId) -> Response:
    """Take a plan in hand."""
    await service.record(job_id)
    try:
        return done(f"/works/{job_id}", await asked(service.shop.begin, job_id, who_of(request)))
    except ApiError as error:
        if any(work.id == job_id for work in await run_in_threadpool(service.shop.works)):
            return RedirectResponse(f"/works/{job_id}", status_code=303)
        return page("not_taken.html", status=422, id=job_id, problems=reasons(error), taken=error.kind is Kind.TAKEN)


@router.get("/works/{work_id}")
async def show_work(service: Served, request: Request, work_id: WorkId, said: Said = None) -> HTMLResponse:
    """Show a work."""
    return await _show(service, request, await book_of(service, work_id), said=said)


async def _show(
    service: Service,
    request: Request,
    book: WorkBook,
    *,
    said: int | None = None,
    problems: tuple[str, ...] = (),
    written: Mapping[str, str] | None = None,
) -> HTMLResponse:
    flags = flags_of(book) if book.work.state is WorkState.OPEN else ()
    entries = await run_in_threadpool(service.shop.history, work=book.work.id, limit=_HISTORY)
    return page(
        "work.html",
        status=422 if problems else 200,
        work=work_view(book, flags),
        papers=_papers(changed=book.work.revision > 1),
        entries=entry_lines(entries),
        notice=await notice_of(service, said),
        problems=problems,
        written=defaultdict(str, written or {}),
        key=secrets.token_urlsafe(9),
        who=signed_by(request),
    )


def _papers(*, changed: bool) -> list[dict[str, str]]:
    """Return the papers to be had: of a later revision those of its new layouts alone first."""
    papers = [{"path": paper.name, "label": paper.label} for paper in PAPERS_OF_WORK.values()]
    if not changed:
        return papers
    only = [
        {"path": f"{paper['path']}?changed=true", "label": f"{paper['label']}, only what is new"}
        for paper in papers
        if paper["path"] in {"cut-sheet.pdf", "labels.pdf"}
    ]
    return [*only, *papers]


async def _act(service: Service, request: Request, work_id: str, act: Act, place: str = "") -> Response:
    """Do something about a work, and show it as it is then, or why it can't be."""
    values, _ = await form_of(service, request)
    try:
        outcome = await act(values)
    except ApiError as error:
        book = await book_of(service, work_id)
        return await _show(service, request, book, problems=reasons(error), written=values)
    return done(f"/works/{work_id}{place}", outcome)


@router.post("/works/{work_id}/receive")
async def receive(service: Served, request: Request, work_id: WorkId) -> Response:
    """Book what came."""

    async def act(values: dict[str, str]) -> Outcome:
        book = await book_of(service, work_id)
        lines, problems = received_from(values, book.work.job.unit)
        if problems:
            raise ApiError(
                kind=Kind.INVALID_PARAMETERS, detail=" ".join(fault.detail for fault in problems), faults=problems
            )
        return await asked(service.shop.receive, work_id, lines, who_of(request))

    return await _act(service, request, work_id, act)


async def _event(service: Service, request: Request, work_id: str, kind: str, values: dict[str, str]) -> Outcome:
    """Have one event from the page count: its fields are those of the JSON route."""
    told: dict[str, Any] = {name: text.strip() for name, text in values.items() if text.strip()}
    try:
        event = _EVENT.validate_python({**told, "kind": kind})
    except ValidationError as error:
        raise ApiError(kind=Kind.INVALID_PARAMETERS, detail=_missing(error)) from None
    book = await book_of(service, work_id)
    return await happen(service, work_id, event, book.work.job.unit, who_of(request))


def _missing(error: ValidationError) -> str:
    names = {"length": "the length", "kerf": "what the blade takes", "left": "what is left of the stick"}
    wrong = [str(detail["loc"][-1]) for detail in error.errors(include_url=False)]
    return f"Write {' and '.join(names.get(name, name) for name in wrong)}, such as 238 1/2 or 6050."


def _event_route(kind: str) -> None:
    @router.post(f"/works/{{work_id}}/{kind}", name=f"event-{kind}")
    async def tell(service: Served, request: Request, work_id: WorkId) -> Response:
        async def act(values: dict[str, str]) -> Outcome:
            return await _event(service, request, work_id, kind, values)

        return await _act(service, request, work_id, act)


for _kind in ("tick", "short", "spoilt", "blade"):
    _event_route(_kind)


@router.post("/works/{work_id}/surplus")
async def surplus(service: Served, request: Request, work_id: WorkId) -> Response:
    """Put parts cut for nothing on the rack."""

    async def act(values: dict[str, str]) -> Outcome:
        names = [name.removeprefix("made-") for name in values if name.startswith("made-")]
        made = tuple(int(name) for name in names if name.isdecimal())
        return await asked(service.shop.surplus_to_rack, work_id, made, who_of(request))

    return await _act(service, request, work_id, act, "#parts")


@router.post("/works/{work_id}/finish")
async def finish(service: Served, request: Request, work_id: WorkId) -> Response:
    """Finish a work."""

    async def act(_values: dict[str, str]) -> Outcome:
        return await asked(service.shop.finish, work_id, who_of(request))

    return await _act(service, request, work_id, act)


@router.post("/works/{work_id}/drop")
async def drop(service: Served, request: Request, work_id: WorkId) -> Response:
    """Give a work up."""

    async def act(values: dict[str, str]) -> Outcome:
        call_off = values.get("expected", "cancel") == "cancel"
        return await asked(service.shop.drop, work_id, who_of(request), call_off=call_off)

    return await _act(service, request, work_id, act)


@router.post("/works/{work_id}/replan")
async def plan_anew(service: Served, request: Request, work_id: WorkId) -> Response:
    """Plan the rest anew, and show what that would mean."""
    try:
        name, proposal = await propose(service, work_id, limit=None, seed=0)
    except ApiError as error:
        if error.kind is Kind.NOT_FOUND:
            raise
        return await _show(service, request, await book_of(service, work_id), problems=reasons(error))
    book = await book_of(service, work_id)
    shown = await run_in_threadpool(proposal_view, proposal)
    return page(
        "proposal.html",
        id=work_id,
        title=book.work.title or "Without a title",
        proposal=shown,
        token=name,
        next_mark=revision_mark(book.work.revision + 1),
        problems=(),
    )


@router.post("/works/{work_id}/accept")
async def accept(service: Served, request: Request, work_id: WorkId) -> Response:
    """Put a proposal in force."""

    async def act(values: dict[str, str]) -> Outcome:
        return await accept_proposal(service, work_id, values.get("proposal", ""), who_of(request))

    return await _act(service, request, work_id, act)


@router.get("/works/{work_id}/compare")
async def show_list(service: Served, work_id: WorkId) -> HTMLResponse:
    """Show the parts list in force, to be changed where the drawing did."""
    book = await book_of(service, work_id)
    return await _revised(service, book, SheetForm(parts=listed_now(book.work.job)), first=True)


@router.post("/works/{work_id}/compare")
async def compare(service: Served, request: Request, work_id: WorkId) -> Response:
    """Show what a new parts list changes, before it counts."""
    values, _ = await form_of(service, request)
    written = SheetForm.of(values)
    form = put_right(written, values, [("choose", values["choose"])] if "choose" in values else [])
    book = await book_of(service, work_id)
    return await _revised(service, book, form)


async def _revised(
    service: Service, book: WorkBook, form: SheetForm, problems: tuple[str, ...] = (), *, first: bool = False
) -> HTMLResponse:
    read: ListRead = await service.side(read_list_task, form, book)
    headline = "This is different" if read.document else "The list waits for what is open about it"
    if first:
        headline = "Change the list where the drawing has changed"
    return page(
        "revised.html",
        status=200 if first or (read.document and not problems) else 422,
        id=book.work.id,
        title=book.work.title or "Without a title",
        version=book.work.version,
        headline=headline if form.parts.strip() else "Write the whole list as it is now",
        changes=() if first else read.changes,
        document=bool(read.document) and not first,
        form=form,
        read=read,
        units=_UNITS,
        problems=(*problems, *read.faults),
    )


@router.post("/works/{work_id}/revise")
async def revise(service: Served, request: Request, work_id: WorkId) -> Response:
    """Put a new parts list in force, as it was shown."""
    values, _ = await form_of(service, request)
    form = SheetForm.of(values)
    book = await book_of(service, work_id)
    if values.get("version") != str(book.work.version):
        stale = "Something has happened to this work meanwhile; look once more at what is different."
        return await _revised(service, book, form, (stale,))
    read: ListRead = await service.side(read_list_task, form, book)
    if not read.document:
        return await _revised(service, book, form)
    try:
        outcome = await asked(service.shop.revise, work_id, read.document, who_of(request))
    except ApiError as error:
        return await _revised(service, book, form, reasons(error))
    return done(f"/works/{work_id}", outcome)
