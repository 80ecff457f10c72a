"""A plan taken in hand: its steel, its sticks, its parts, from what came to the last drop."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Body, Path, Response
from starlette.concurrency import run_in_threadpool

from api.routes.common import Served, problems
from api.routes.rack.examples import RECEIVED, TAKE
from api.routes.rack.models import OutcomeBody, SaidBody, outcome_body
from api.routes.rack.reading import Reader
from api.routes.work.models import (
    BeginBody,
    DropBody,
    ReceiveBody,
    SurplusBody,
    WorkBody,
    WorkList,
    summary_of,
    work_body,
)
from api.service.problems import Kind
from api.service.running import Service
from api.service.shop import asked
from cutting.question.lengths import Unit
from shared.work.rack.bars import Received
from shared.work.saw.needs import flags_of
from shared.work.saw.work import WorkBook, WorkState

__all__ = ["WorkId", "book_of", "received_of", "router"]

router = APIRouter(prefix="/v1/works", tags=["work"])

WorkId = Annotated[
    str,
    Path(description="Name of the work: that of its job.", min_length=1, max_length=32, examples=["kX3vQ1bT9sLw0aYd"]),
]
_CHANGED: Final = problems(
    Kind.BAD_REQUEST, Kind.INVALID_PARAMETERS, Kind.TOO_LARGE, Kind.NOT_FOUND, Kind.STALE, Kind.NOT_POSSIBLE
)


async def book_of(service: Service, work_id: str) -> WorkBook:
    """Return everything known of a work; raises ApiError where there is none."""
    return await asked(service.shop.work, work_id)


@router.get("", summary="List what is in hand")
async def list_works(service: Served) -> WorkList:
    """List the plans taken in hand, those that are open first."""
    works = await run_in_threadpool(service.shop.works)
    ordered = sorted(works, key=lambda work: work.state is not WorkState.OPEN)
    return WorkList(works=tuple([summary_of(await book_of(service, work.id)) for work in ordered]))


@router.post(
    "",
    summary="Take a plan in hand",
    status_code=201,
    responses=problems(
        Kind.BAD_REQUEST,
        Kind.INVALID_PARAMETERS,
        Kind.TOO_LARGE,
        Kind.NOT_FOUND,
        Kind.NOT_POSSIBLE,
        Kind.TAKEN,
        Kind.STALE,
    ),
)
async def begin(
    service: Served, response: Response, body: Annotated[BeginBody, Body(openapi_examples={"take": TAKE})]
) -> WorkBody:
    """Take a plan in hand: own pieces are reserved, sticks to buy are expected, each under a number of its own.

    Where an own piece is no longer free, nothing is done, and every such piece is named with who has it.
    """
    await service.record(body.job)
    await asked(service.shop.begin, body.job, body.who)
    response.headers["Location"] = f"/v1/works/{body.job}"
    return _body(await book_of(service, body.job))


def _body(book: WorkBook) -> WorkBody:
    return work_body(book, flags_of(book) if book.work.state is WorkState.OPEN else ())


@router.get("/{work_id}", summary="See how far a work is", responses=problems(Kind.NOT_FOUND, Kind.INVALID_PARAMETERS))
async def get_work(service: Served, work_id: WorkId) -> WorkBody:
    """Return everything about a work: sticks, steel, parts made and missing, what no longer fits."""
    return _body(await book_of(service, work_id))


@router.get(
    "/{work_id}/job",
    summary="Get the parts list in force",
    response_class=Response,
    responses={
        200: {"content": {"application/json": {"schema": {"$ref": "#/components/schemas/JobFile"}}}},
        **problems(Kind.NOT_FOUND, Kind.INVALID_PARAMETERS),
    },
)
async def get_work_job(service: Served, work_id: WorkId) -> Response:
    """Return the job file in force, drawing revisions included."""
    return Response((await book_of(service, work_id)).work.document, media_type="application/json")


@router.post("/{work_id}/receive", summary="Say what came", responses=_CHANGED)
async def receive(
    service: Served, work_id: WorkId, body: Annotated[ReceiveBody, Body(openapi_examples={"came": RECEIVED})]
) -> OutcomeBody:
    """Say which sticks came, with measured lengths and heat numbers; one that is too short is flagged at once."""
    book = await book_of(service, work_id)
    lines = received_of(body, book.work.job.unit)
    return outcome_body(await asked(service.shop.receive, work_id, lines, body.who))


def received_of(body: ReceiveBody, unit: Unit) -> tuple[Received, ...]:
    """Read what came; raises ApiError with every problem."""
    reader = Reader(unit)
    lines = tuple(
        Received(
            bar=line.bar,
            came=line.came and not line.cancel,
            length=reader.length(line.length, f"#/lines/{at}/length"),
            heat=line.heat.strip(),
            cancel=line.cancel,
        )
        for at, line in enumerate(body.lines)
    )
    reader.refuse()
    return lines


@router.post("/{work_id}/surplus", summary="Put parts cut for nothing on the rack", responses=_CHANGED)
async def surplus(service: Served, work_id: WorkId, body: SurplusBody) -> OutcomeBody:
    """Put parts that nobody asks for any more on the rack, each with a number of its own."""
    return outcome_body(await asked(service.shop.surplus_to_rack, work_id, body.made, body.who))


@router.post("/{work_id}/drop", summary="Give a work up", responses=_CHANGED)
async def drop(service: Served, work_id: WorkId, body: DropBody) -> OutcomeBody:
    """Give a work up: what is here and not cut is free again."""
    return outcome_body(await asked(service.shop.drop, work_id, body.who, call_off=body.expected == "cancel"))


@router.post("/{work_id}/finish", summary="Finish a work", responses=_CHANGED)
async def finish(service: Served, work_id: WorkId, body: SaidBody) -> OutcomeBody:
    """Say that a work is finished; what it still holds is free again."""
    return outcome_body(await asked(service.shop.finish, work_id, body.who))
