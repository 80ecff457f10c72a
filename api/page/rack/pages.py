"""The rack for browsers: what stands there, put more on it, put it right, what happened."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Final

from fastapi import APIRouter, Query, Request, Response
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse

from api.page.rack.reading import About, RackLines, read_rack_task
from api.page.rack.view import bar_page, entry_lines, rack_view
from api.page.rendering import page
from api.page.sheet.taking import put_right
from api.page.shop_pages import (
    done,
    form_of,
    in_page,
    keep_name,
    notice_of,
    reasons,
    signed_by,
    titles_of,
    who_of,
)
from api.routes.common import Served
from api.routes.rack.bars import Number, bar_of
from api.service.measured import read_length
from api.service.problems import ApiError, Kind
from api.service.running import Service
from api.service.shop import asked
from api.sheet.form import SheetForm
from cutting.question.errors import LengthError
from cutting.question.lengths import Unit
from shared.work.rack.bars import Bar, BarChanges, BarState
from shared.work.rack.measures import unit_of_bar
from shared.work.saw.work import Outcome

__all__ = ["ON_THE_RACK", "router"]

router = APIRouter(include_in_schema=False)

ON_THE_RACK: Final = (BarState.FREE, BarState.RESERVED)
_UNITS: Final = [unit.value for unit in Unit]
_REFUSED: Final = 422
_BAR_HISTORY: Final = 100
_LONGEST: Final = {"place": 100, "remark": 200, "heat": 60}

Said = Annotated[int | None, Query(ge=1, description="Entry of the journal to be said.")]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Writing:
    """What is written for the rack and not yet on it."""

    form: SheetForm = field(default_factory=SheetForm)
    about: About = field(default_factory=About)
    read: RackLines | None = None

    @property
    def seen(self) -> str:
        return self.read.text if self.read is not None and self.read.settled else ""


@router.get("/rack")
async def show_rack(
    service: Served, request: Request, section: str = "", free: str = "", said: Said = None
) -> HTMLResponse:
    """Show the rack."""
    return await _rack(service, request, section=section, free=bool(free), said=said)


async def _rack(
    service: Service,
    request: Request,
    writing: _Writing | None = None,
    *,
    section: str = "",
    free: bool = False,
    said: int | None = None,
    problems: tuple[str, ...] = (),
    status: int = 200,
) -> HTMLResponse:
    bars = await run_in_threadpool(service.shop.bars, states=ON_THE_RACK)
    writing = writing or _Writing()
    return page(
        "rack.html",
        status=status,
        rack=rack_view(bars, await titles_of(service), section=section, free=free),
        notice=await notice_of(service, said),
        problems=problems,
        who=signed_by(request),
        **_written(writing),
    )


def _written(writing: _Writing) -> dict[str, Any]:
    return {
        "form": writing.form,
        "about": writing.about,
        "read": writing.read,
        "seen": writing.seen,
        "units": _UNITS,
    }


@router.post("/rack")
async def put_on_the_rack(service: Served, request: Request) -> Response:
    """Read lines for the rack; once they have been seen as they are understood, put the pieces on it."""
    values, files = await form_of(service, request)
    written = SheetForm.of(values)
    form = put_right(written, values, [("choose", values["choose"])] if "choose" in values else [])
    source: str | bytes = files.get("own_file", form.own)
    read: RackLines = await service.side(read_rack_task, source, form.stated_unit)
    form = form.with_text("own", read.text)
    writing = _Writing(form=form, about=_about(values), read=read)
    if "hx-request" in request.headers:
        return page("rack_swap.html", rewritten=form.own != written.own, **_written(writing))
    if read.settled and values.get("seen", "").replace("\r\n", "\n") == read.text:
        try:
            outcome = await asked(service.shop.add_bars, read.bars(writing.about), who_of(request))
        except ApiError as error:
            return await _rack(service, request, writing, problems=reasons(error), status=_REFUSED)
        return done("/rack", outcome)
    return await _rack(service, request, writing, status=200 if read.settled or form.empty else _REFUSED)


def _about(values: dict[str, str]) -> About:
    return About(place=_text(values, "place"), heat=_text(values, "heat"), sawn="sawn" in values)


def _text(values: dict[str, str], name: str) -> str:
    return " ".join(values.get(name, "").split())[: _LONGEST[name]]


@router.get("/rack/history")
async def show_history(
    service: Served, count: Annotated[int, Query(ge=1, le=10_000)] = 100, said: Said = None
) -> HTMLResponse:
    """Show what happened, the latest first."""
    entries = await run_in_threadpool(service.shop.history, limit=count + 1)
    return page(
        "rack_history.html",
        entries=entry_lines(entries[:count]),
        more=min(10 * count, 10_000) if len(entries) > count else 0,
        notice=await notice_of(service, said),
        problems=(),
    )


@router.post("/rack/undo")
async def undo(service: Served, request: Request) -> Response:
    """Take a change back."""
    values, _ = await form_of(service, request)
    entry = values.get("entry", "")
    if not entry.isdecimal() or len(entry) > 18:  # noqa: PLR2004  what a database's number holds
        raise ApiError(kind=Kind.NOT_FOUND, detail="There is no such entry in the journal.")
    return done(in_page(values.get("back", "")), await asked(service.shop.undo, int(entry), who_of(request)))


@router.post("/rack/who")
async def keep_who(service: Served, request: Request) -> Response:
    """Keep on this device who writes here."""
    values, _ = await form_of(service, request)
    response = RedirectResponse(in_page(values.get("back", "")), status_code=303)
    keep_name(response, values.get("who", ""), secure=request.url.scheme == "https")
    return response


@router.get("/rack/{number}")
async def show_bar(service: Served, request: Request, number: Number, said: Said = None) -> HTMLResponse:
    """Show one piece."""
    return await _bar(service, request, await bar_of(service, number), said=said)


async def _bar(
    service: Service,
    request: Request,
    bar: Bar,
    *,
    said: int | None = None,
    form: dict[str, str] | None = None,
    problems: tuple[str, ...] = (),
) -> HTMLResponse:
    shown = bar_page(bar, await titles_of(service))
    entries = await run_in_threadpool(service.shop.history, number=bar.number, limit=_BAR_HISTORY)
    line = shown.line
    return page(
        "bar.html",
        status=_REFUSED if problems else 200,
        bar=shown,
        line=line,
        form=form or {"length": line.bare, "place": line.place, "remark": line.remark, "heat": line.heat},
        entries=entry_lines(entries),
        notice=await notice_of(service, said),
        problems=problems,
        who=signed_by(request),
    )


@router.post("/rack/{number}")
async def correct(service: Served, request: Request, number: Number) -> Response:
    """Put right what is written of a piece."""
    values, _ = await form_of(service, request)
    version = values.get("version", "")
    form = {name: values.get(name, "") for name in ("length", *_LONGEST)}
    try:
        bar = await bar_of(service, number, int(version) if version.isdecimal() else None)
        length = read_length(form["length"], unit_of_bar(bar, Unit.MM))
        changes = BarChanges(
            length=None if length == bar.length else length,
            place=_text(values, "place"),
            remark=_text(values, "remark"),
            heat=_text(values, "heat"),
        )
        outcome = await asked(service.shop.correct, number, changes, who_of(request))
    except LengthError as error:
        return await _bar(service, request, bar, form=form, problems=(f"Length: {error.wanted}.",))
    except ApiError as error:
        return await _bar(service, request, await bar_of(service, number), form=form, problems=reasons(error))
    return done(f"/rack/{number}", outcome)


async def _move(service: Service, request: Request, number: int, how: str) -> Response:
    method = {"scrap": service.shop.scrap, "lost": service.shop.lost, "found": service.shop.found}[how]
    try:
        outcome: Outcome = await asked(method, number, who_of(request))
    except ApiError as error:
        if error.kind is Kind.NOT_FOUND:
            raise
        return await _bar(service, request, await bar_of(service, number), problems=reasons(error))
    return done(f"/rack/{number}", outcome)


@router.post("/rack/{number}/scrap")
async def scrap(service: Served, request: Request, number: Number) -> Response:
    """Take a piece into the scrap bin."""
    return await _move(service, request, number, "scrap")


@router.post("/rack/{number}/lost")
async def lost(service: Served, request: Request, number: Number) -> Response:
    """Say that a piece can't be found."""
    return await _move(service, request, number, "lost")


@router.post("/rack/{number}/found")
async def found(service: Served, request: Request, number: Number) -> Response:
    """Say that a piece is there again."""
    return await _move(service, request, number, "found")
