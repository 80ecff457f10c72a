"""The rack as a list: out as CSV and workbook, in again, and on paper to take stock by."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated, Any, Final

from fastapi import APIRouter, Query, Request, Response
from starlette.concurrency import run_in_threadpool

from api.routes.common import Served, problems
from api.routes.rack.models import OutcomeBody, UnitName, Who, outcome_body, unit_named
from api.service.problems import ApiError, Fault, Kind, fault_of
from api.service.runner.child import Line
from api.service.running import Service
from api.service.shop import asked
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.work.rack.bars import Bar, BarState
from shared.work.rack.exchange import rack_csv, stock_take_csv
from shared.work.rack.intake import RackList, read_rack_list
from shared.work.saw.work import Outcome
from shared.writers.xlsx.rack import rack_xlsx, stock_take_xlsx

__all__ = ["read_rack_list_task", "router", "take_in", "write_rack_task"]

router = APIRouter(prefix="/v1/rack", tags=["rack"])

_XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_CSV: Final = "text/csv; charset=utf-8"
_ON_THE_RACK: Final = (BarState.FREE, BarState.RESERVED)


@dataclass(frozen=True, kw_only=True, slots=True)
class ListKind:
    """One way to write the rack."""

    media: str
    label: str
    write: Callable[[Sequence[Bar], Mapping[str, str], datetime], bytes]


_LISTS: Final = {
    "rack.csv": ListKind(media=_CSV, label="rack as a table", write=lambda bars, works, _: rack_csv(bars, works)),
    "rack.xlsx": ListKind(media=_XLSX, label="rack as a workbook", write=rack_xlsx),
    "stock-take.csv": ListKind(
        media=_CSV, label="list to take stock by, as a table", write=lambda bars, works, _: stock_take_csv(bars, works)
    ),
    "stock-take.xlsx": ListKind(media=_XLSX, label="list to take stock by, as a workbook", write=stock_take_xlsx),
}


def write_rack_task(_line: Line, name: str, bars: Sequence[Bar], works: Mapping[str, str], now: datetime) -> bytes:
    """Write the rack as a list."""
    return _LISTS[name].write(bars, works, now)


def read_rack_list_task(
    _line: Line, data: bytes, bars: Sequence[Bar], unit: Unit | None
) -> tuple[RackList | None, tuple[Problem, ...]]:
    """Read a list that somebody sent, against what is in the books."""
    return read_rack_list(data, bars, unit=unit)


async def take_in(service: Service, data: bytes, who: str, unit: Unit | None = None) -> Outcome:
    """Take a list in: all of it, or nothing and every problem in an ApiError."""
    bars = await run_in_threadpool(service.shop.bars, states=None)
    read, found = await service.side(read_rack_list_task, data, bars, unit)
    if read is None:
        count = "one problem" if len(found) == 1 else f"{len(found)} problems"
        detail = f"The list has {count}."
        raise ApiError(kind=Kind.UNCLEAR_LINES, detail=detail, faults=tuple(map(fault_of, found)))
    if not read.lines:
        detail = "The list is as the books are: there is nothing to take in."
        raise ApiError(kind=Kind.NOT_POSSIBLE, detail=detail, faults=(Fault(detail=detail),))
    return await asked(service.shop.stock_take, read.lines, who)


def _route(name: str, kind: ListKind) -> None:
    media = kind.media.partition(";")[0]
    schema: dict[str, Any] = {"type": "string"} | ({"format": "binary"} if media == _XLSX else {})

    @router.get(
        f"/{name}",
        name=name,
        summary=f"Get the {kind.label}",
        response_class=Response,
        responses={200: {"content": {media: {"schema": schema}}}, **problems(Kind.TOO_HARD_TO_READ, Kind.BUSY)},
    )
    async def get_list(service: Served) -> Response:
        bars = await run_in_threadpool(service.shop.bars, states=_ON_THE_RACK)
        works = {work.id: work.title for work in await run_in_threadpool(service.shop.works)}
        data: bytes = await service.side(write_rack_task, name, bars, works, datetime.now(tz=UTC))
        return Response(data, media_type=kind.media, headers={"Content-Disposition": f'attachment; filename="{name}"'})


for _name, _kind in _LISTS.items():
    _route(_name, _kind)


@router.post(
    "/list",
    summary="Take a list in",
    responses=problems(
        Kind.INVALID_PARAMETERS,
        Kind.UNCLEAR_LINES,
        Kind.TOO_LARGE,
        Kind.TOO_HARD_TO_READ,
        Kind.BUSY,
        Kind.NOT_POSSIBLE,
        Kind.STALE,
    ),
    openapi_extra={
        "requestBody": {
            "required": True,
            "description": "CSV, xlsx or ods with the columns of the lists above. A line with a label changes that "
            "piece; one without is a new piece; `there?` = no says that it is gone. All of it or nothing.",
            "content": {
                "text/csv": {"schema": {"type": "string"}},
                "application/octet-stream": {"schema": {"type": "string", "format": "binary"}},
            },
        }
    },
)
async def post_list(
    request: Request,
    service: Served,
    who: Annotated[Who, Query(description="Who, or which device; written beside it.")] = "",
    unit: Annotated[UnitName | None, Query(description="What a bare length means where the list doesn't say.")] = None,
) -> OutcomeBody:
    """Take a list of the rack in, as it was exported or made by hand."""
    return outcome_body(await take_in(service, await request.body(), who, unit_named(unit)))
