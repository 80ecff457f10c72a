"""The rack: one's own pieces of steel, with labels, places and heat numbers."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Body, Header, Path, Query
from starlette.concurrency import run_in_threadpool

from api.routes.common import Served, problems
from api.routes.rack.examples import CHANGES, COUNT, NEW_BARS
from api.routes.rack.models import (
    BarBody,
    ChangesBody,
    CountBody,
    HistoryBody,
    NewBars,
    OutcomeBody,
    RackBody,
    SaidBody,
    UndoBody,
    bar_body,
    entry_body,
    outcome_body,
)
from api.routes.rack.reading import changes_of, counted_of, new_bars_of
from api.service.problems import ApiError, Kind
from api.service.running import Service
from api.service.shop import asked
from shared.work.rack.bars import Bar, BarState

__all__ = ["Key", "Number", "bar_of", "router"]

router = APIRouter(prefix="/v1/rack", tags=["rack"])

Number = Annotated[int, Path(description="The piece's label number, without its D.", ge=1, lt=2**31, examples=[17])]
Key = Annotated[
    str | None,
    Header(
        alias="Idempotency-Key",
        description="The same key again gives the first answer again.",
        min_length=1,
        max_length=200,
        pattern=r"^[!-~]+$",
    ),
]
_CHANGED: Final = problems(
    Kind.BAD_REQUEST, Kind.INVALID_PARAMETERS, Kind.TOO_LARGE, Kind.NOT_FOUND, Kind.STALE, Kind.NOT_POSSIBLE
)
_ON_THE_RACK: Final = (BarState.FREE, BarState.RESERVED)


async def bar_of(service: Service, number: int, version: int | None = None) -> Bar:
    """Return a piece; raises ApiError where there is none, or it has changed since somebody looked at it."""
    bar = await asked(service.shop.bar, number)
    if version not in {None, bar.version}:
        detail = f"{bar.name} has been changed since you looked at it: look again, then say what is wrong with it."
        raise ApiError(kind=Kind.STALE, detail=detail)
    return bar


def in_order(bar: Bar) -> tuple[str, str, object, int]:
    """Sort by section, the longest first."""
    return (*bar.section.key, -bar.length, bar.number)


@router.get("", summary="List the rack", responses=problems(Kind.INVALID_PARAMETERS))
async def list_rack(
    service: Served,
    state: Annotated[
        list[BarState] | None, Query(description="Only pieces of these states; left out: free and reserved.")
    ] = None,
    section: Annotated[str, Query(max_length=100, description="Only this section, by its canonical name.")] = "",
    work: Annotated[str, Query(max_length=32, description="Only what this work has or waits for.")] = "",
) -> RackBody:
    """List pieces of steel by section, the longest first."""
    bars = await run_in_threadpool(service.shop.bars, states=tuple(state or _ON_THE_RACK))
    wanted = [bar for bar in bars if section in {"", bar.section.name} and work in {"", bar.work}]
    return RackBody(bars=tuple(map(bar_body, sorted(wanted, key=in_order))))


@router.post("", summary="Put pieces on the rack", status_code=201, responses=_CHANGED)
async def add_bars(
    service: Served,
    body: Annotated[NewBars, Body(openapi_examples={"drops": NEW_BARS})],
    idempotency_key: Key = None,
) -> OutcomeBody:
    """Put pieces on the rack; each gets a number for its label. All of them or none."""
    bars = new_bars_of(body.bars, body.unit)
    return outcome_body(await asked(service.shop.add_bars, bars, body.who, key=idempotency_key))


@router.get("/history", summary="See what happened", responses=problems(Kind.INVALID_PARAMETERS))
async def history(
    service: Served,
    number: Annotated[int | None, Query(ge=1, lt=2**31, description="Only what touched this piece.")] = None,
    work: Annotated[str | None, Query(max_length=32, description="Only what belongs to this work.")] = None,
    count: Annotated[int, Query(ge=1, le=1000, description="How many at most.")] = 100,
) -> HistoryBody:
    """List the journal, newest first: nothing of it is ever rewritten."""
    entries = await run_in_threadpool(service.shop.history, number=number, work=work, limit=count)
    return HistoryBody(entries=tuple(map(entry_body, entries)))


@router.post("/undo", summary="Take a change back", responses=_CHANGED)
async def undo(service: Served, body: UndoBody) -> OutcomeBody:
    """Take back what an entry of the journal did; refused where something newer rests on it."""
    return outcome_body(await asked(service.shop.undo, body.entry, body.who))


@router.post("/stock-take", summary="Book a stock-take", responses=_CHANGED)
async def stock_take(
    service: Served, body: Annotated[CountBody, Body(openapi_examples={"count": COUNT})]
) -> OutcomeBody:
    """Book what was different when somebody walked along the rack: in one entry, all of it or nothing."""
    bars = await run_in_threadpool(service.shop.bars, states=None)
    lines, faults = counted_of(body.lines, body.unit, {bar.number: bar.section for bar in bars})
    if faults:
        raise ApiError(kind=Kind.INVALID_PARAMETERS, detail="Lines of the stock-take have problems.", faults=faults)
    return outcome_body(await asked(service.shop.stock_take, lines, body.who))


@router.get("/{number}", summary="See one piece", responses=problems(Kind.NOT_FOUND, Kind.INVALID_PARAMETERS))
async def get_bar(service: Served, number: Number) -> BarBody:
    """Return a piece of steel, whatever has become of it."""
    return bar_body(await bar_of(service, number))


@router.patch("/{number}", summary="Put right what is written of a piece", responses=_CHANGED)
async def correct(
    service: Served, number: Number, body: Annotated[ChangesBody, Body(openapi_examples={"measured": CHANGES})]
) -> OutcomeBody:
    """Put right a piece's length, place, remark, heat number or section."""
    bar = await bar_of(service, number, body.version)
    changes = changes_of(body, bar)
    return outcome_body(await asked(service.shop.correct, number, changes, body.who, words=body.words))


@router.post("/{number}/scrap", summary="Scrap a piece", responses=_CHANGED)
async def scrap(service: Served, number: Number, body: SaidBody) -> OutcomeBody:
    """Take a piece off the rack into the scrap bin."""
    return outcome_body(await asked(service.shop.scrap, number, body.who, words=body.words))


@router.post("/{number}/lost", summary="Say that a piece isn't there", responses=_CHANGED)
async def lost(service: Served, number: Number, body: SaidBody) -> OutcomeBody:
    """Take a piece that can't be found off the rack."""
    return outcome_body(await asked(service.shop.lost, number, body.who, words=body.words))


@router.post("/{number}/found", summary="Say that a piece is there again", responses=_CHANGED)
async def found(service: Served, number: Number, body: SaidBody) -> OutcomeBody:
    """Put a piece that couldn't be found on the rack again."""
    return outcome_body(await asked(service.shop.found, number, body.who, words=body.words))
