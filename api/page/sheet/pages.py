"""The sheet and its plans, for browsers."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any, Final

from fastapi import APIRouter, Path, Query, Request, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.responses import HTMLResponse, RedirectResponse

from api.page.answer import answer_of
from api.page.rendering import page, render
from api.page.sheet.demo import DEMO
from api.page.sheet.drafting import Shown, carried, kept_draft
from api.page.sheet.earlier import earlier_sheets
from api.page.sheet.said import PAUSE, Said, followed, kept_of, said_of, standing, token_of
from api.page.sheet.taking import answers_in, put_right
from api.page.sheet.yard_slots import YardSlots, slots_in
from api.routes.common import JobId, Served
from api.service.problems import ApiError, Kind
from api.service.running import Service, digest_of
from api.sheet.form import LISTS, SheetForm, Upload
from api.sheet.kept import Kept
from api.sheet.reading import read_sheet_task
from api.sheet.saws import SAWS, kerf_of
from api.sheet.understood import SheetRead
from cutting.question.lengths import Unit
from shared.store import InHandError, JobRecord, NewJob, State
from shared.work.rack.bars import Bar, BarState

__all__ = ["opened", "router"]

router = APIRouter(include_in_schema=False)

_FIRST_WAIT: Final = 0.6
_LATEST: Final = 100
_SEARCHED: Final = 2_000
_CURRENCIES: Final = ("USD", "CAD", "EUR", "GBP", "AUD", "NZD", "CHF", "SEK", "NOK", "DKK", "PLN", "CZK")
_LABELS: Final = {
    "parts": "What you need, a line for each part",
    "sticks": "Full sticks, a line for each kind",
    "rack": "Pieces on the yard's rack",
    "own": "Your own drops",
}


@router.get("/")
async def new_sheet(request: Request) -> HTMLResponse:
    """Show an empty sheet."""
    return _sheet(_first_form(request), None)


@router.post("/demo")
async def demo(service: Served, request: Request) -> Response:
    """Fill a sheet in and answer it."""
    return await _answer_sheet(service, request, await service.side(read_sheet_task, DEMO, ()))


@router.post("/sheet")
async def write_sheet(service: Served, request: Request) -> Response:
    """Read a sheet; where it makes a job, have it solved."""
    async with request.form(max_fields=5_000, max_part_size=service.settings.limits.body) as fields:
        texts = [(name, value) for name, value in fields.multi_items() if isinstance(value, str)]
        uploads = [
            Upload(field=name.removesuffix("_file"), name=value.filename or "", data=await value.read())
            for name, value in fields.multi_items()
            if isinstance(value, UploadFile) and value.filename and name.removesuffix("_file") in LISTS
        ]
    values = dict(texts)
    written = SheetForm.of(values)
    form = put_right(written, values, [(name, value) for name, value in texts if name in {"choose", "add"}])
    answers = answers_in(values, [value for name, value in texts if name == "alike"])
    rack = await _shop_rack(service, form)
    read: SheetRead = await service.side(read_sheet_task, form, tuple(uploads), rack, answers)
    changed = {field for field in LISTS if read.form.text(field) != written.text(field)}
    if "hx-request" in request.headers:
        yards = YardSlots(form=read.form, before=written, shown=slots_in(values))
        shown = Shown(plan=values.get("plan", ""), draft=values.get("draft", ""))
        return await _swap(service, request, shown, read, _Changed(lists=changed, yards=yards))
    return await _answer_sheet(service, request, read)


async def _shop_rack(service: Service, form: SheetForm) -> tuple[Bar, ...]:
    """Return the free pieces of the shop's own rack, where the sheet offers them."""
    return await run_in_threadpool(service.shop.bars, states=(BarState.FREE,)) if form.shop_rack else ()


async def _answer_sheet(service: Service, request: Request, read: SheetRead) -> Response:
    """Answer a form that was sent as a whole: with the way to its plan, or with the sheet and what is open on it."""
    if not read.document:
        return _sheet(read.form, read, status=200 if read.form.empty else 422)
    record = await _solve(service, request, read, draft=False)
    return RedirectResponse(f"/plans/{record.id}#answer-h", status_code=303)


async def _solve(service: Service, request: Request, read: SheetRead, *, draft: bool) -> JobRecord:
    digest = digest_of(read.document, read.limit, 0)
    job = NewJob(
        document=read.document,
        title=read.title,
        digest=digest,
        limit_seconds=read.limit,
        seed=0,
        client=request.client.host if request.client else "",
        draft=draft,
        sheet=Kept(form=read.form, also=read.also).to_json(),
    )
    record, _ = await service.add(job)
    return record


@dataclass(frozen=True, kw_only=True, slots=True)
class _Changed:
    """What of the sheet has to be written anew: lists, and places for yards."""

    lists: set[str]
    yards: YardSlots


async def _swap(service: Service, request: Request, shown: Shown, read: SheetRead, changed: _Changed) -> Response:
    """Answer htmx: the margin anew, and below it the answer, or what there is to say until it comes."""
    headers = {}
    before = plan = shown.plan
    draft = ""
    said: Said | None = None
    if not read.document:
        answer = render("open.html", say=read.say)
        headers["HX-Retarget"], headers["HX-Reswap"] = "#searching", "outerHTML"
        draft = await kept_draft(service, shown, read)
        headers["HX-Replace-Url"] = f"/sheets/{draft.rpartition('.')[0]}" if draft else "/"
    else:
        record = await _same(service, before, read)
        if record is None:
            record = await _solve(service, request, read, draft=True)
            await _supersede(service, before)
            record = await service.wait(record, _FIRST_WAIT)
        await run_in_threadpool(service.drafts.drop, shown.draft_id, shown.seen)
        plan = record.id
        said = await said_of(service, record, stale=bool(before))
        answer = said.html
        if not said.complete:
            headers["HX-Retarget"], headers["HX-Reswap"] = "#searching", "outerHTML"
        headers["HX-Replace-Url"] = f"/plans/{plan}"
    values: dict[str, Any] = {
        "plan": plan,
        "draft": draft,
        "read": read,
        "form": read.form,
        "rewritten": changed.lists,
        "yards": changed.yards,
        "lists": LISTS,
        "labels": _LABELS,
        "say": "" if said else read.say,
        **standing(said),
    }
    return page("swap.html", headers=headers, answer=Markup(answer), **values)  # noqa: S704  rendered above


async def _same(service: Service, before: str, read: SheetRead) -> JobRecord | None:
    """Return the plan that the page shows already, where the sheet still makes the same job."""
    record = await run_in_threadpool(service.store.get, before) if before else None
    same = record is not None and record.digest == digest_of(read.document, read.limit, 0)
    return record if same and record is not None and record.state is not State.CANCELLED else None


async def _supersede(service: Service, before: str) -> None:
    """End the search for a draft that nobody waits for any more."""
    record = await run_in_threadpool(service.store.get, before) if before else None
    if record is None or not record.draft:
        return
    if record.state.over:
        with suppress(InHandError):
            await run_in_threadpool(partial(service.store.forget, record.id, draft_only=True))
    else:
        await service.cancel(record.id)


@router.get("/plans")
async def earlier(service: Served, q: Annotated[str, Query(max_length=100)] = "") -> HTMLResponse:
    """List the sheets written last, those that hold the asked words where there are any."""
    count = _LATEST if not q else _SEARCHED
    written = await run_in_threadpool(service.store.written, count)
    drafts = await run_in_threadpool(service.drafts.latest, count)
    sheets = await run_in_threadpool(earlier_sheets, written, drafts, q)
    return page("plans.html", sheets=sheets[:_LATEST], asked=q)


@router.get("/sheets/{draft_id}")
async def show_draft(service: Served, draft_id: Annotated[str, Path(max_length=32)]) -> HTMLResponse:
    """Show a sheet that doesn't make a job yet, as it was written last."""
    draft = await run_in_threadpool(service.drafts.get, draft_id)
    if draft is None:
        raise ApiError(
            kind=Kind.NOT_FOUND, detail="This sheet is gone: it was finished under another address, or never written."
        )
    kept = Kept.from_json(draft.document)
    read: SheetRead = await service.side(read_sheet_task, kept.form, (), await _shop_rack(service, kept.form))
    return _sheet(kept.form, read, draft=carried(draft))


async def opened(service: Service, job_id: str) -> JobRecord:
    """Return a plan that somebody opens: from now on it is no draft."""
    record = await service.record(job_id)
    if record.draft:
        await run_in_threadpool(service.store.keep, job_id)
    return record


@router.get("/plans/{job_id}")
async def show_plan(service: Served, job_id: JobId) -> HTMLResponse:
    """Show a plan with the sheet it came from."""
    record = await opened(service, job_id)
    said = await said_of(service, record)
    kept = await kept_of(service, record.id)
    if kept is None:
        answer = Markup(said.html)  # noqa: S704  rendered above
        return page("plan.html", answer=answer, **standing(said))
    read: SheetRead = await service.side(read_sheet_task, kept.form, (), await _shop_rack(service, kept.form))
    return _sheet(kept.form, read, said=said)


@router.get("/plans/{job_id}/answer")
async def follow_answer(service: Served, job_id: JobId, have: str = "", *, old: bool = False) -> HTMLResponse:
    """Return what is new about an answer: the whole of it, or just the word about the search.

    `old` says that the page still shows the answer to an earlier sheet.
    """
    record = await service.record(job_id)
    if await token_of(service, record) == have:
        news = service.news(job_id)
        searching = render(
            "searching.html",
            record=record,
            news=news,
            ahead=service.scheduler.ahead(job_id),
            token=have,
            pause=PAUSE,
            stale=old,
            oob=True,
        )
        found = await run_in_threadpool(answer_of, service.store, record)
        told = Said(html=searching, complete=False, record=record, found=found, news=news)
        return followed(told, headers={"HX-Reswap": "none"})
    return followed(await said_of(service, record))


@router.post("/plans/{job_id}/stop")
async def stop_plan(service: Served, request: Request, job_id: JobId) -> Response:
    """Stop a search and keep its best plan."""
    await service.record(job_id)
    await service.stop(job_id)
    record = await service.wait(await opened(service, job_id), service.settings.limits.stop_grace + 1)
    if "hx-request" in request.headers:
        return followed(await said_of(service, record))
    return RedirectResponse(f"/plans/{record.id}", status_code=303)


def _first_form(request: Request) -> SheetForm:
    """Return an empty sheet in the currency that the browser's language suggests."""
    language = request.headers.get("accept-language", "en-US").partition(",")[0].strip().lower()
    if language in {"en-us", "en", ""}:
        return SheetForm()
    return SheetForm(currency="GBP" if language == "en-gb" else "EUR")


def _sheet(
    form: SheetForm,
    read: SheetRead | None,
    *,
    said: Said | None = None,
    draft: str = "",
    status: int = 200,
) -> HTMLResponse:
    again = said is not None and not said.record.state.over
    return page(
        "sheet.html",
        status=status,
        form=form,
        read=read,
        yards=YardSlots(form=form, before=form, shown=0),
        plan=said.record.id if said else "",
        draft=draft,
        answer=Markup(said.html) if said else None,  # noqa: S704  rendered above
        again=again,
        **standing(said),
        units=[unit.value for unit in Unit],
        currencies=_CURRENCIES,
        saws=SAWS,
        usual_kerf=kerf_of(form.saw, Unit.IN if read is None else read.unit),
    )
