"""The cut sheet for a phone at the saw: one page that needs nothing else once it is open."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from typing import Final

from fastapi import APIRouter
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse

from api.page.answer import answer_of
from api.page.pages import opened
from api.page.rendering import page
from api.problems import ApiError, Kind
from api.routes.common import JobId, Served

__all__ = ["router"]

router = APIRouter(include_in_schema=False)

_FOLDER: Final = Path(__file__).parent / "inline"
_STYLE: Final = (_FOLDER / "saw.css").read_text(encoding="utf-8")
_SCRIPT: Final = (_FOLDER / "saw.js").read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


_CSP: Final = (
    f"default-src 'none'; style-src {_hash(_STYLE)}; script-src {_hash(_SCRIPT)}; img-src data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)


@router.get("/plans/{job_id}/saw")
async def at_the_saw(service: Served, job_id: JobId) -> HTMLResponse:
    """Show a plan's cuts, one layout at a time."""
    record = await opened(service, job_id)
    answer = await run_in_threadpool(answer_of, service.store, record)
    if answer is None or not answer.name:
        raise ApiError(kind=Kind.NO_PLAN_YET, detail="This job has no plan yet; look again when its answer is there.")
    return page(
        "saw.html",
        headers={
            "Content-Security-Policy": _CSP,
            "Cache-Control": "private, max-age=86400" if answer.final else "no-store",
        },
        view=answer.view,
        name=answer.name,
        key=answer.name,
        final=answer.final,
        style=Markup(_STYLE),  # noqa: S704  our own file
        script=Markup(_SCRIPT),  # noqa: S704  our own file
    )
