"""What a plan can be had as: JSON, and every paper."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Query, Response
from starlette.concurrency import run_in_threadpool

from api.routes.common import JobId, Served, problems
from api.routes.naming import saved_as
from api.service.comparing import solved_ways
from api.service.problems import ApiError, Fault, Kind
from api.service.runner.papers import PAPERS, PaperKind, Paperwork, paper_task
from api.service.running import Service
from api.sheet.kept import Kept
from shared.files.plan import PlanFile
from shared.view.labels.sizes import LABEL_SHEETS

__all__ = ["router"]

router = APIRouter(prefix="/v1/jobs/{job_id}", tags=["plans"])

_STRICT: Final = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
_WHOLE: Final = {"X-Plan-Final": {"description": "Whether no better plan will come.", "schema": {"type": "boolean"}}}


async def plan_of(service: Service, job_id: str) -> tuple[bytes, bool]:
    """Return the plan a job has, and whether it is final; raises ApiError where there is none."""
    record = await service.record(job_id)
    plan = await run_in_threadpool(service.store.plan, job_id)
    if plan is None:
        detail = f"The job is {record.state}; it has no plan{'' if record.state.over else ' yet'}."
        raise ApiError(kind=Kind.NO_PLAN_YET, detail=detail)
    return plan.document, plan.final


@router.get(
    "/plan",
    summary="Get the plan as JSON",
    response_model=PlanFile,
    responses={200: {"headers": _WHOLE}, **problems(Kind.NOT_FOUND, Kind.NO_PLAN_YET)},
)
async def get_plan(service: Served, job_id: JobId) -> Response:
    """Return the plan: the best so far while the search goes on, the final one afterwards."""
    document, final = await plan_of(service, job_id)
    return Response(document, media_type="application/json", headers={"X-Plan-Final": str(final).lower()})


def _route(kind: PaperKind) -> None:
    @router.get(
        f"/{kind.name}",
        name=kind.name,
        summary=f"Get the {kind.label}",
        response_class=Response,
        responses={
            200: {"content": {kind.media.partition(";")[0]: {"schema": _schema(kind)}}, "headers": _WHOLE},
            **problems(Kind.NOT_FOUND, Kind.NO_PLAN_YET, Kind.TOO_HARD_TO_READ, Kind.BUSY),
        },
    )
    async def get_paper(
        service: Served,
        job_id: JobId,
        paper: Annotated[
            Literal["a4", "letter"] | None, Query(description="Size of the paper; by the job's unit where left out.")
        ] = None,
        labels: Annotated[
            Literal[tuple(LABEL_SHEETS)] | None,  # type: ignore[valid-type]
            Query(description="Sheet of labels; the paper's usual one where left out."),
        ] = None,
        used: Annotated[int, Query(ge=0, lt=100, description="Labels that are gone from the first sheet.")] = 0,
    ) -> Response:
        document, final = await plan_of(service, job_id)
        job = await run_in_threadpool(service.store.document, job_id)
        sheet = await run_in_threadpool(service.store.sheet, job_id)
        work = Paperwork(
            job=job or b"",
            plan=document,
            day=datetime.now(tz=UTC).astimezone().date(),
            size=paper or "",
            labels=labels or "",
            used=used,
            also=Kept.from_json(sheet).also if sheet else (),
            ways=await run_in_threadpool(solved_ways, service, job_id) if kind.name == "plan.xlsx" else (),
        )
        data: bytes | str = await service.side(paper_task, kind.name, work)
        if isinstance(data, str):
            fault = Fault(detail=data, parameter="used", text=str(used))
            raise ApiError(kind=Kind.INVALID_PARAMETERS, detail="So many labels can't be gone.", faults=(fault,))
        if not data:
            raise ApiError(kind=Kind.NO_PLAN_YET, detail="No plan exists for this job; its status says why.")
        await run_in_threadpool(service.store.keep, job_id)
        title = (await service.record(job_id)).title
        return Response(data, media_type=kind.media, headers=_headers(kind, title, final=final))


def _schema(kind: PaperKind) -> dict[str, Any]:
    binary = kind.media.startswith(("application/pdf", "application/vnd"))
    return {"type": "string", "format": "binary"} if binary else {"type": "string"}


def _headers(kind: PaperKind, title: str, *, final: bool) -> dict[str, str]:
    shown = "inline" if kind.name.endswith((".pdf", ".txt", ".svg")) else "attachment"
    return {
        "Content-Disposition": saved_as(shown, title, kind.name),
        "Content-Security-Policy": _STRICT,
        "X-Plan-Final": str(final).lower(),
    }


for _kind in PAPERS.values():
    _route(_kind)
