"""Ways to buy side by side: ask for them, see how far they are, end them."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Header, Response
from pydantic import BaseModel, ConfigDict, Field
from starlette.concurrency import run_in_threadpool

from api.routes.common import ClientName, JobId, Served, problems
from api.routes.prefer import preferred_wait
from api.service.comparing import (
    Compared,
    Line,
    compared,
    forget_comparison,
    start_comparison,
    stop_comparison,
    wait_for_comparison,
)
from api.service.problems import ApiError, Kind
from api.service.running import Service
from cutting.answer.plan import Status
from cutting.asking.compare import Case
from shared.store import JobRecord, State

__all__ = ["router"]

router = APIRouter(prefix="/v1/jobs/{job_id}/comparison", tags=["comparison"])


class _Body(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class WayBody(_Body):
    """One way to buy, planned and proven by itself."""

    case: Case = Field(description="What is left out; all is the job as it is.")
    yard: str = Field(description="The one yard that is left, else empty.")
    name: str = Field(description="What may be bought, in words.", examples=["without the rack"])
    job: str = Field(description="The job by which it is solved; its plan can be had like any other.")
    state: State
    status: Status | None = Field(description="How good its plan is; null until it is done.")
    paid: str | None = Field(description="Money to pay, or what else is minimised.", examples=["1441.16"])
    cost: str | None = Field(description="What is minimised: the same, or with leftovers counted.")
    lower_bound: str | None = Field(description="No such plan costs less.")
    more: str | None = Field(description="What it costs more than the job as it is.", examples=["30.66"])
    why: tuple[str, ...] = Field(description="Why no plan exists, where that is so.")
    error: str | None = Field(description="Why it failed.")


class ComparisonBody(_Body):
    """Ways to buy side by side."""

    job: str = Field(description="The job compared.")
    over: bool = Field(description="Nothing more will come.")
    unit: str
    currency: str | None
    rows: tuple[WayBody, ...] = Field(description="The job as it is, then every other way.")


def _row(line: Line) -> WayBody:
    data = line.data
    return WayBody(
        case=Case.ALL if line.way is None else Case(line.way.kind),
        yard="" if line.way is None else line.way.name,
        name=line.name,
        job=line.record.id,
        state=line.record.state,
        status=data.get("status"),
        paid=data.get("paid"),
        cost=data.get("cost"),
        lower_bound=data.get("lower_bound"),
        more=data.get("more"),
        why=tuple(data.get("why", ())),
        error=line.record.error or None,
    )


def _body(found: Compared) -> ComparisonBody:
    return ComparisonBody(
        job=found.job_id,
        over=found.over,
        unit=found.unit,
        currency=found.currency,
        rows=tuple(_row(line) for line in found.lines),
    )


async def _known(service: Service, record: JobRecord) -> ComparisonBody:
    found = await compared(service, record)
    if found is None:
        raise ApiError(kind=Kind.NOT_FOUND, detail="No comparison was asked for; POST to this address to ask for one.")
    return _body(found)


@router.post(
    "",
    summary="Compare ways to buy",
    status_code=202,
    response_model=ComparisonBody,
    responses={
        200: {"model": ComparisonBody, "description": "The whole comparison, where it came within the preferred wait"},
        **problems(Kind.NOT_FOUND, Kind.NO_PLAN_YET, Kind.NOT_POSSIBLE, Kind.QUEUE_FULL, Kind.BUSY),
    },
)
async def compare_ways(
    response: Response,
    service: Served,
    client: ClientName,
    job_id: JobId,
    prefer: Annotated[
        str, Header(description="`wait=N` answers at once where it takes at most N seconds (RFC 7240).", max_length=200)
    ] = "",
) -> ComparisonBody:
    """Have a job planned in every other way worth comparing, each proven by itself.

    Each yard alone, without the rack, without cuts by the yard, without substitutes, one mill length only: as far as
    these ask something different. Each way waits in the queue as a job of its own, with the time limit and seed of the
    job. Asked again, the comparison that there is comes back.
    """
    record = await service.record(job_id)
    await start_comparison(service, record, client)
    if (wait := preferred_wait(prefer)) is not None:
        await wait_for_comparison(service, job_id, wait)
        response.headers["Preference-Applied"] = f"wait={wait}"
    body = await _known(service, await service.record(job_id))
    response.status_code = 200 if body.over else 202
    return body


@router.get("", summary="See how far a comparison is", responses=problems(Kind.NOT_FOUND))
async def get_comparison(service: Served, job_id: JobId) -> ComparisonBody:
    """Return a comparison as far as it is; ways that are still being planned have no status."""
    return await _known(service, await service.record(job_id))


@router.post("/stop", summary="Stop a comparison and keep what it has", responses=problems(Kind.NOT_FOUND))
async def stop_ways(service: Served, job_id: JobId) -> ComparisonBody:
    """End the planning of all ways: those under way keep their best plan, those that wait are not looked at."""
    await stop_comparison(service, job_id)
    return await _known(service, await service.record(job_id))


@router.delete("", summary="Delete a comparison", status_code=204, responses=problems(Kind.NOT_FOUND))
async def delete_comparison(service: Served, job_id: JobId) -> None:
    """End a comparison and delete it with the plans of its ways."""
    await service.record(job_id)
    if not await run_in_threadpool(service.ways.of, job_id):
        raise ApiError(kind=Kind.NOT_FOUND, detail="No comparison was asked for.")
    await forget_comparison(service, job_id)
