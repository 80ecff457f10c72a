"""Stock-take, lists in and out, labels: the rack's page for a person with a clipboard."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse

from api.page.rack.pages import ON_THE_RACK, Said
from api.page.rack.view import by_place
from api.page.rendering import page
from api.page.shop_pages import done, form_of, notice_of, reasons, signed_by, titles_of, who_of
from api.routes.common import Served
from api.routes.rack.lists import take_in
from api.service.measured import read_length
from api.service.problems import ApiError, Fault
from api.service.running import Service
from api.service.shop import asked
from cutting.question.errors import LengthError
from cutting.question.lengths import Unit
from shared.view.labels.sizes import LABEL_SHEETS
from shared.work.rack.bars import Bar, BarChanges, Counted
from shared.work.rack.measures import unit_of_bar, usual_unit

__all__ = ["router"]

router = APIRouter(include_in_schema=False)

_LONGEST = {"place": 100, "remark": 200}


@router.get("/rack/count")
async def show_count(service: Served, request: Request) -> HTMLResponse:
    """Show the list to take stock by."""
    return await _count(service, request, {})


async def _count(
    service: Service, request: Request, written: Mapping[str, str], problems: tuple[str, ...] = ()
) -> HTMLResponse:
    bars = await run_in_threadpool(service.shop.bars, states=ON_THE_RACK)
    return page(
        "count.html",
        status=422 if problems else 200,
        groups=by_place(bars, await titles_of(service)),
        written=defaultdict(str, written),
        problems=problems,
        who=signed_by(request),
    )


@router.post("/rack/count")
async def book_count(service: Served, request: Request) -> Response:
    """Book what was different."""
    values, _ = await form_of(service, request)
    bars = await run_in_threadpool(service.shop.bars, states=ON_THE_RACK)
    lines, problems = _lines(values, bars)
    if not lines and not problems:
        problems = ("Nothing was written: where all is as the list says, there is nothing to book.",)
    if problems:
        return await _count(service, request, values, problems)
    try:
        outcome = await asked(service.shop.stock_take, lines, who_of(request))
    except ApiError as error:
        return await _count(service, request, values, reasons(error))
    return done("/rack", outcome)


def _lines(values: Mapping[str, str], bars: tuple[Bar, ...]) -> tuple[tuple[Counted, ...], tuple[str, ...]]:
    """Return what was written about each piece, and everything that is wrong with it."""
    usual = usual_unit(bars)
    lines = []
    problems = []
    for bar in bars:
        if f"version-{bar.number}" not in values:
            continue
        try:
            line = _line(values, bar, unit_of_bar(bar, usual))
        except LengthError as error:
            problems.append(f"{bar.name}: {error.wanted} (it says {error.text}).")
            continue
        if line is not None:
            lines.append(line)
    return tuple(lines), tuple(problems)


def _line(values: Mapping[str, str], bar: Bar, unit: Unit) -> Counted | None:
    """Return what is different about one piece; None where nothing is."""
    if f"gone-{bar.number}" in values:
        return Counted(number=bar.number, found=False)
    length = values.get(f"length-{bar.number}", "").strip()
    measured = read_length(length, unit) if length else bar.length
    changes = BarChanges(
        length=None if measured == bar.length else measured,
        place=_other(values, bar.number, "place", bar.place),
        remark=_other(values, bar.number, "remark", bar.remark),
    )
    return None if changes == BarChanges() else Counted(number=bar.number, changes=changes)


def _other(values: Mapping[str, str], number: int, name: str, now: str) -> str | None:
    """Return what was written in a blank, where it says something else than the books."""
    text = " ".join(values.get(f"{name}-{number}", "").split())[: _LONGEST[name]]
    return None if text in {"", now} else text


@router.get("/rack/list")
async def show_lists(service: Served, request: Request, said: Said = None) -> HTMLResponse:
    """Show how the rack comes and goes as a list."""
    return await _lists(service, request, said=said)


async def _lists(
    service: Service, request: Request, *, said: int | None = None, faults: tuple[Fault, ...] = ()
) -> HTMLResponse:
    return page(
        "rack_list.html",
        status=422 if faults else 200,
        sheets=tuple(LABEL_SHEETS),
        notice=await notice_of(service, said),
        faults=faults,
        who=signed_by(request),
    )


@router.post("/rack/list")
async def take_list(service: Served, request: Request) -> Response:
    """Take a list in: all of it, or nothing with every problem."""
    _, files = await form_of(service, request)
    try:
        outcome = await take_in(service, files.get("file", b""), who_of(request))
    except ApiError as error:
        return await _lists(service, request, faults=error.faults or (Fault(detail=error.detail),))
    return done("/rack/list", outcome)
