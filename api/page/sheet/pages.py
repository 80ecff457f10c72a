"""The sheet and its plans, for browsers."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any, Final

from fastapi import APIRouter, Request, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.responses import HTMLResponse, RedirectResponse

from api.page.answer import Answer as Found
from api.page.answer import answer_of
from api.page.comparing import comparison_part
from api.page.rendering import page, render
from api.page.sheet.demo import DEMO
from api.page.sheet.yard_slots import YardSlots, slots_in
from api.routes.common import JobId, Served
from api.service.runner.answers import ProgressNews
from api.service.runner.papers import PAPERS
from api.service.running import Service, digest_of
from api.sheet.answering import Answer
from api.sheet.form import LISTS, SheetForm, Upload
from api.sheet.kept import Kept
from api.sheet.reading import read_sheet_task
from api.sheet.saws import SAWS, kerf_of
from api.sheet.understood import SheetRead
from cutting.question.lengths import Unit
from shared.store import JobRecord, NewJob, State
from shared.work.rack.bars import Bar, BarState

__all__ = ["opened", "put_right", "router"]

router = APIRouter(include_in_schema=False)

_PAUSE: Final = 400
_FIRST_WAIT: Final = 0.6
_LATEST: Final = 100
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
    answers = _answers(values, [value for name, value in texts if name == "alike"])
    rack = await _shop_rack(service, form)
    read: SheetRead = await service.side(read_sheet_task, form, tuple(uploads), rack, answers)
    changed = {field for field in LISTS if read.form.text(field) != written.text(field)}
    if "hx-request" in request.headers:
        yards = YardSlots(form=read.form, before=written, shown=slots_in(values))
        return await _swap(service, request, values.get("plan", ""), read, _Changed(lists=changed, yards=yards))
    return await _answer_sheet(service, request, read)


def _answers(values: dict[str, str], offers: list[str]) -> tuple[Answer, ...]:
    """Return the answers that were clicked for all lines that ask the same, each with the line it was clicked at."""
    found = []
    for value in dict.fromkeys(offers):
        field, _, rest = value.partition(":")
        number, _, reading = rest.partition(":")
        was = values.get(f"was-{field}-{number}")
        if field in LISTS and number.isdecimal() and was is not None:
            found.append(Answer(field=field, line=int(number), was=was, reading=reading, alike=True))
    return tuple(found)


async def _shop_rack(service: Service, form: SheetForm) -> tuple[Bar, ...]:
    """Return the free pieces of the shop's own rack, where the sheet offers them."""
    return await run_in_threadpool(service.shop.bars, states=(BarState.FREE,)) if form.shop_rack else ()


async def _answer_sheet(service: Service, request: Request, read: SheetRead) -> Response:
    """Answer a form that was sent as a whole: with the way to its plan, or with the sheet and what is open on it."""
    if not read.document:
        return _sheet(read.form, read, status=200 if read.form.empty else 422)
    record = await _solve(service, request, read, draft=False)
    return RedirectResponse(f"/plans/{record.id}#answer-h", status_code=303)


def put_right(form: SheetForm, values: dict[str, str], offers: list[tuple[str, str]]) -> SheetForm:
    """Apply what was mended beside a line, and each offer that was clicked: once, however often it was sent."""
    for name, was in values.items():
        kind, _, place = name.partition("-")
        field, _, number = place.partition("-")
        if kind == "was" and field in LISTS and number.isdecimal():
            now = values.get(f"fix-{place}", was)
            if now != was:
                form = form.with_line(field, int(number), was, now)
    for name, value in dict.fromkeys(offers):
        form = _take_up(form, values, name, value)
    return form


def _take_up(form: SheetForm, values: dict[str, str], offer: str, value: str) -> SheetForm:
    """Apply one offer that was clicked: a line to add, or a reading that was chosen for a line in question."""
    field, _, line = value.partition(":")
    if (offer, field) == ("add", "yard"):
        return form.with_yard(line)
    if field not in LISTS:
        return form
    if offer == "add":
        return form.with_more(field, line)
    number, _, line = line.partition(":")
    before = values.get(f"was-{field}-{number}")
    return form.with_line(field, int(number), before, line) if number.isdecimal() and before is not None else form


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


async def _swap(service: Service, request: Request, before: str, read: SheetRead, changed: _Changed) -> Response:
    """Answer htmx: the margin anew, and below it the answer, or what there is to say until it comes."""
    headers = {}
    plan = before
    said: _Said | None = None
    if not read.document:
        answer = render("open.html", say=read.say)
        headers["HX-Retarget"], headers["HX-Reswap"] = "#searching", "outerHTML"
    else:
        record = await _same(service, before, read)
        if record is None:
            record = await _solve(service, request, read, draft=True)
            await _supersede(service, before)
            record = await service.wait(record, _FIRST_WAIT)
        plan = record.id
        said = await _said(service, record, stale=bool(before))
        answer = said.html
        if not said.complete:
            headers["HX-Retarget"], headers["HX-Reswap"] = "#searching", "outerHTML"
        headers["HX-Replace-Url"] = f"/plans/{plan}"
    values: dict[str, Any] = {
        "plan": plan,
        "read": read,
        "form": read.form,
        "rewritten": changed.lists,
        "yards": changed.yards,
        "lists": LISTS,
        "labels": _LABELS,
        "say": "" if said else read.say,
        **_standing(said),
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
    if record is not None and record.draft and not record.state.over:
        await service.cancel(record.id)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Said:
    """What the page says of a job.

    Attributes
    ----------
    html : str
        The answer, or a word about the search for it.
    complete : bool
        Whether it is more than a word about the search.
    record : JobRecord
        The job.
    found : Answer or None
        Its answer so far.
    news : ProgressNews or None
        How far its search is.
    """

    html: str
    complete: bool
    record: JobRecord
    found: Found | None
    news: ProgressNews | None


def _standing(said: _Said | None) -> dict[str, Any]:
    """Return what the one line says that always stands in view."""
    if said is None:
        return {"record": None, "found": None, "news": None}
    return {"record": said.record, "found": said.found, "news": said.news}


async def _said(service: Service, record: JobRecord, *, stale: bool = False) -> _Said:
    """Return what there is to say of a job."""
    answer = await run_in_threadpool(answer_of, service.store, record)
    kept = await _kept(service, record.id)
    values: dict[str, Any] = {
        "record": record,
        "news": (news := service.news(record.id)),
        "ahead": service.scheduler.ahead(record.id),
        "token": await _token(service, record),
        "pause": _PAUSE,
        "stale": stale and answer is None,
        "oob": False,
    }
    if answer is None and not record.state.over and stale:
        return _Said(html=render("searching.html", **values), complete=False, record=record, found=None, news=news)
    shown = record.state.over and answer is not None and answer.comparable
    values["comparison"] = await comparison_part(service, record) if shown else ""
    html = render("answer.html", answer=answer, papers=tuple(PAPERS.values()), also=kept.also if kept else (), **values)
    return _Said(html=html, complete=True, record=record, found=answer, news=news)


async def _token(service: Service, record: JobRecord) -> str:
    """Return what tells one stage of an answer from the next."""
    plan = await run_in_threadpool(service.store.plan, record.id)
    seen = b"" if plan is None else plan.document
    return f"{record.state}-{hashlib.sha256(seen).hexdigest()[:8]}" if record.state.over or seen else ""


async def _kept(service: Service, job_id: str) -> Kept | None:
    document = await run_in_threadpool(service.store.sheet, job_id)
    return None if document is None else Kept.from_json(document)


@router.get("/plans")
async def earlier(service: Served) -> HTMLResponse:
    """List the sheets written last."""
    return page("plans.html", records=await run_in_threadpool(service.store.latest, _LATEST))


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
    said = await _said(service, record)
    kept = await _kept(service, record.id)
    if kept is None:
        answer = Markup(said.html)  # noqa: S704  rendered above
        return page("plan.html", answer=answer, **_standing(said))
    read: SheetRead = await service.side(read_sheet_task, kept.form, (), await _shop_rack(service, kept.form))
    return _sheet(kept.form, read, said=said)


@router.get("/plans/{job_id}/answer")
async def follow_answer(service: Served, job_id: JobId, have: str = "", *, old: bool = False) -> HTMLResponse:
    """Return what is new about an answer: the whole of it, or just the word about the search.

    `old` says that the page still shows the answer to an earlier sheet.
    """
    record = await service.record(job_id)
    if await _token(service, record) == have:
        news = service.news(job_id)
        searching = render(
            "searching.html",
            record=record,
            news=news,
            ahead=service.scheduler.ahead(job_id),
            token=have,
            pause=_PAUSE,
            stale=old,
            oob=True,
        )
        found = await run_in_threadpool(answer_of, service.store, record)
        told = _Said(html=searching, complete=False, record=record, found=found, news=news)
        return _followed(told, headers={"HX-Reswap": "none"})
    return _followed(await _said(service, record))


def _followed(said: _Said, headers: dict[str, str] | None = None) -> HTMLResponse:
    """Return what is said of a job, and the line that stands in view, anew."""
    return HTMLResponse(said.html + render("stands.html", **_standing(said)), headers=headers)


@router.post("/plans/{job_id}/stop")
async def stop_plan(service: Served, request: Request, job_id: JobId) -> Response:
    """Stop a search and keep its best plan."""
    await service.record(job_id)
    await service.stop(job_id)
    record = await service.wait(await opened(service, job_id), service.settings.limits.stop_grace + 1)
    if "hx-request" in request.headers:
        return _followed(await _said(service, record))
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
    said: _Said | None = None,
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
        answer=Markup(said.html) if said else None,  # noqa: S704  rendered above
        again=again,
        **_standing(said),
        units=[unit.value for unit in Unit],
        currencies=_CURRENCIES,
        saws=SAWS,
        usual_kerf=kerf_of(form.saw, Unit.IN if read is None else read.unit),
    )
