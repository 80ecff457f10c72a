"""Jobs: post one, see how far it is, stop it, take it back."""

from __future__ import annotations

from collections.abc import AsyncIterator
from typing import Annotated, Final

from fastapi import APIRouter, Depends, Header, Query, Request, Response
from fastapi.sse import EventSourceResponse, ServerSentEvent
from starlette.concurrency import run_in_threadpool

from api.routes.common import ClientName, JobId, Served, problems
from api.routes.examples import JOB_JSON, JOB_TOML
from api.routes.models import JobAnswer, JobList, JobStatus, answer_of, status_of
from api.routes.prefer import preferred_wait
from api.service.comparing import forget_job
from api.service.problems import ApiError, Kind
from api.service.running import Service, digest_of
from api.service.settings import LONGEST_SOLVE
from shared.files.plan import PlanFile
from shared.store import JobRecord, NewJob, State
from shared.store.jobs import InHandError

__all__ = ["router"]

router = APIRouter(prefix="/v1/jobs", tags=["jobs"])

_NAMES: Final = {"application/json": "job.json", "application/toml": "job.toml"}
_JOB_BODY: Final = {
    "required": True,
    "description": "The job file. Its texts are read by the rules of the job file; all problems are said at once.",
    "content": {
        "application/json": {"schema": {"$ref": "#/components/schemas/JobFile"}, "examples": {"stand": JOB_JSON}},
        "application/toml": {"schema": {"type": "string"}, "examples": {"stand": JOB_TOML}},
    },
}


async def shown(service: Service, record: JobRecord) -> JobStatus:
    """Return a job as it is just now."""
    ahead = service.scheduler.ahead(record.id) if record.state is State.WAITING else None
    return status_of(record, ahead, service.news(record.id))


async def answered(service: Service, record: JobRecord) -> JobAnswer:
    """Return a job as it is just now, with its plan when it is done."""
    plan = await run_in_threadpool(service.store.plan, record.id) if record.state is State.DONE else None
    file = None if plan is None else PlanFile.model_validate_json(plan.document)
    ahead = service.scheduler.ahead(record.id) if record.state is State.WAITING else None
    return answer_of(record, ahead, service.news(record.id), file)


@router.post(
    "",
    summary="Post a job",
    status_code=202,
    response_model=JobAnswer,
    responses={
        200: {"model": JobAnswer, "description": "The answer, where it came within the preferred wait"},
        **problems(
            Kind.BAD_REQUEST,
            Kind.TOO_LARGE,
            Kind.UNSUPPORTED_MEDIA_TYPE,
            Kind.INVALID_JOB,
            Kind.KEY_REUSED,
            Kind.TOO_HARD_TO_READ,
            Kind.QUEUE_FULL,
            Kind.BUSY,
        ),
    },
    openapi_extra={"requestBody": _JOB_BODY},
)
async def post_job(  # noqa: PLR0917  FastAPI passes them by name
    request: Request,
    response: Response,
    service: Served,
    client: ClientName,
    limit: Annotated[
        float | None,
        Query(gt=0, le=LONGEST_SOLVE, description="Time limit of the solve in seconds; 10 where none is given."),
    ] = None,
    seed: Annotated[int, Query(ge=0, lt=2**31, description="For every random choice.")] = 0,
    rack: Annotated[  # noqa: FBT002
        bool, Query(description="Offer what is free on the shop's own rack too, each piece by its label as an own one.")
    ] = False,
    prefer: Annotated[
        str, Header(description="`wait=N` answers at once where it takes at most N seconds (RFC 7240).", max_length=200)
    ] = "",
    idempotency_key: Annotated[
        str | None,
        Header(
            description="The same key and job again give the job made first.",
            min_length=1,
            max_length=200,
            pattern=r"^[!-~]+$",
        ),
    ] = None,
) -> JobAnswer:
    """Have a job solved.

    The answer is 202 with a Location, or with `Prefer: wait=N` the plan itself, where it is found in time.
    """
    read = await service.read_job(await request.body(), _name(request), with_rack=rack)
    seconds = service.settings.limits.usual_seconds if limit is None else limit
    digest = digest_of(read.document, seconds, seed)
    job = NewJob(
        document=read.document, title=read.title, digest=digest, limit_seconds=seconds, seed=seed, client=client
    )
    record, _ = await service.add(job, idempotency_key)
    response.headers["Location"] = f"/v1/jobs/{record.id}"
    if (wait := preferred_wait(prefer)) is not None:
        record = await service.wait(record, wait)
        response.headers["Preference-Applied"] = f"wait={wait}"
    response.status_code = 200 if record.state.over else 202
    return await answered(service, record)


def _name(request: Request) -> str:
    media = request.headers.get("content-type", "application/json").partition(";")[0].strip().lower()
    if media not in _NAMES:
        detail = f"Send a job file as {' or '.join(_NAMES)}, not as {media[:60]!r}."
        raise ApiError(kind=Kind.UNSUPPORTED_MEDIA_TYPE, detail=detail)
    return _NAMES[media]


@router.get("", summary="List the latest jobs", responses=problems(Kind.INVALID_PARAMETERS))
async def list_jobs(
    service: Served, count: Annotated[int, Query(ge=1, le=200, description="How many at most.")] = 20
) -> JobList:
    """List the jobs made last, newest first."""
    records = await run_in_threadpool(service.store.latest, count)
    return JobList(jobs=tuple([await shown(service, record) for record in records]))


@router.get("/{job_id}", summary="See how far a job is", responses=problems(Kind.NOT_FOUND))
async def get_job(service: Served, job_id: JobId) -> JobAnswer:
    """Return a job, with its plan as soon as it is done."""
    return await answered(service, await service.record(job_id))


@router.get(
    "/{job_id}/job",
    summary="Get the job file",
    response_class=Response,
    responses={
        200: {"content": {"application/json": {"schema": {"$ref": "#/components/schemas/JobFile"}}}},
        **problems(Kind.NOT_FOUND),
    },
)
async def get_job_file(service: Served, job_id: JobId) -> Response:
    """Return the job as it was understood."""
    document = await run_in_threadpool(service.store.document, job_id)
    if document is None:
        raise ApiError(kind=Kind.NOT_FOUND, detail="There is no job of this name.")
    return Response(document, media_type="application/json")


async def _known(service: Served, job_id: JobId) -> JobRecord:
    return await service.record(job_id)


@router.get(
    "/{job_id}/events",
    summary="Follow a job",
    response_class=EventSourceResponse,
    responses=problems(Kind.NOT_FOUND),
)
async def follow_job(service: Served, record: Annotated[JobRecord, Depends(_known)]) -> AsyncIterator[ServerSentEvent]:
    """Follow a job by server-sent events.

    Each `status` event holds the job as `GET /v1/jobs/{job_id}` shows it, its plan left out; the last one says that it
    is over.
    """
    last = None
    async for state in service.follow(record.id):
        status = await shown(service, state)
        if status != last:
            last = status
            yield ServerSentEvent(event="status", raw_data=status.model_dump_json())


@router.post("/{job_id}/stop", summary="Stop a search and keep its best plan", responses=problems(Kind.NOT_FOUND))
async def stop_job(service: Served, job_id: JobId) -> JobStatus:
    """End a job's search; the best plan it has so far becomes its answer.

    A job that hasn't begun is cancelled; one that is over stays as it is.
    """
    await service.record(job_id)
    await service.stop(job_id)
    return await shown(service, await service.record(job_id))


@router.post("/{job_id}/cancel", summary="Cancel a job", responses=problems(Kind.NOT_FOUND))
async def cancel_job(service: Served, job_id: JobId) -> JobStatus:
    """End a job without an answer; one that is over stays as it is."""
    await service.record(job_id)
    await service.cancel(job_id)
    return await shown(service, await service.record(job_id))


@router.delete("/{job_id}", summary="Delete a job", status_code=204, responses=problems(Kind.NOT_FOUND, Kind.IN_HAND))
async def delete_job(service: Served, job_id: JobId) -> None:
    """Delete a job with its plan, ending its search where it has one; one that was taken in hand stays."""
    await service.record(job_id)
    try:
        await forget_job(service, job_id)
    except InHandError as error:
        raise ApiError(kind=Kind.IN_HAND, detail=f"{error} Finish the work or give it up instead.") from None
