"""The cut sheet for a phone at the saw: one page that needs nothing else once it is open.

Of a plan in hand it tells the service what was sawn as soon as there is network, and shows what others did.
"""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from typing import Annotated, Final

from fastapi import APIRouter, Query, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse

from api.page.answer import Answer, answer_of
from api.page.rendering import page, render
from api.page.sheet.pages import opened
from api.routes.common import JobId, Served
from api.service.problems import ApiError, Kind
from api.service.running import Service
from shared.store import JobRecord
from shared.view.at_saw import AtSaw, at_saw
from shared.work.errors import UnknownError
from shared.work.saw.work import WorkBook

__all__ = ["router"]

router = APIRouter(include_in_schema=False)

_FOLDER: Final = Path(__file__).parent / "inline"
_STYLE: Final = (_FOLDER / "saw.css").read_text(encoding="utf-8")
_SCRIPTS: Final = ("kept", "turn", "queue", "notes", "news", "panels", "replan", "start")


def _script() -> str:
    """Join the scripts in one closure; each may use what those before it declare."""
    texts = [(_FOLDER / f"saw_{name}.js").read_text(encoding="utf-8") for name in _SCRIPTS]
    return '"use strict";\n(() => {\n' + "\n".join(texts) + "})();\n"


_SCRIPT: Final = _script()


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


_CSP: Final = (
    f"default-src 'none'; style-src {_hash(_STYLE)}; script-src {_hash(_SCRIPT)}; img-src data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_KEPT: Final = "private, max-age=86400"


@router.get("/plans/{job_id}/saw")
async def at_the_saw(service: Served, job_id: JobId) -> HTMLResponse:
    """Show a plan's cuts, one layout at a time; of a plan in hand those of the revision in force."""
    record = await opened(service, job_id)
    book = await _in_hand(service, job_id)
    if book is not None:
        work = await run_in_threadpool(at_saw, book)
        return _whole(work.title, work.name, _sheet_of(work), final=True)
    answer = await _planned(service, record)
    return _whole(answer.view.title, answer.name, _sheet_of(answer), final=answer.final)


@router.get("/plans/{job_id}/saw/now")
async def now_at_the_saw(service: Served, job_id: JobId, have: Annotated[int, Query(ge=0)] = 0) -> Response:
    """Show what is new about a plan in hand, nothing where that is what one has."""
    record = await service.record(job_id)
    book = await _in_hand(service, job_id)
    if have == (0 if book is None else book.work.version):
        return Response(status_code=204)
    shown = await _planned(service, record) if book is None else await run_in_threadpool(at_saw, book)
    return HTMLResponse(_sheet_of(shown))


async def _in_hand(service: Service, job_id: str) -> WorkBook | None:
    try:
        return await run_in_threadpool(service.shop.work, job_id)
    except UnknownError:
        return None


async def _planned(service: Service, record: JobRecord) -> Answer:
    answer = await run_in_threadpool(answer_of, service.store, record)
    if answer is None or not answer.name:
        raise ApiError(kind=Kind.NO_PLAN_YET, detail="This job has no plan yet; look again when its answer is there.")
    return answer


def _sheet_of(shown: AtSaw | Answer) -> str:
    if isinstance(shown, AtSaw):
        return render("saw_work.html", work=shown)
    return render("saw_plan.html", view=shown.view, name=shown.name, final=shown.final)


def _whole(title: str, name: str, sheet: str, *, final: bool) -> HTMLResponse:
    return page(
        "saw.html",
        headers={"Content-Security-Policy": _CSP, "Cache-Control": _KEPT if final else "no-store"},
        title=title,
        key=name,
        sheet=Markup(sheet),  # noqa: S704  rendered above
        style=Markup(_STYLE),  # noqa: S704  our own file
        script=Markup(_SCRIPT),  # noqa: S704  our own files
    )
