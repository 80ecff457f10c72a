"""Ways to buy side by side, below the answer on the page."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse

from api.page.rendering import render
from api.routes.common import JobId, Served
from api.service.comparing import compared, start_comparison, stop_comparison
from api.service.running import Service
from shared.store import JobRecord

__all__ = ["comparison_part", "router"]

router = APIRouter(include_in_schema=False)

_PAUSE = 700


async def comparison_part(service: Service, record: JobRecord) -> Markup:
    """Return what the page says of a comparison: the table so far, or the way to ask for one."""
    found = await compared(service, record)
    part = render("comparison.html", record=record, found=found, pause=_PAUSE)
    return Markup(part)  # noqa: S704  rendered above


@router.post("/plans/{job_id}/comparison")
async def ask_comparison(service: Served, request: Request, job_id: JobId) -> Response:
    """Have every other way to buy planned."""
    client = request.client.host if request.client else ""
    await start_comparison(service, await service.record(job_id), client)
    return await _answer(service, request, job_id)


@router.get("/plans/{job_id}/comparison")
async def follow_comparison(service: Served, job_id: JobId) -> HTMLResponse:
    """Return the comparison as far as it is."""
    return HTMLResponse(await comparison_part(service, await service.record(job_id)))


@router.post("/plans/{job_id}/comparison/stop")
async def end_comparison(service: Served, request: Request, job_id: JobId) -> Response:
    """End the planning of all ways and keep what is found."""
    await stop_comparison(service, job_id)
    return await _answer(service, request, job_id)


async def _answer(service: Service, request: Request, job_id: str) -> Response:
    record = await service.record(job_id)
    if "hx-request" in request.headers:
        return HTMLResponse(await comparison_part(service, record))
    return RedirectResponse(f"/plans/{record.id}#comparison", status_code=303)
