"""What the page says of a job: its answer, how far its search is, and the line that always stands in view."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any, Final

from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse

from api.page.answer import Answer, answer_of
from api.page.comparing import comparison_part
from api.page.rendering import render
from api.service.runner.answers import ProgressNews
from api.service.runner.papers import PAPERS
from api.service.running import Service
from api.sheet.kept import Kept
from shared.store import JobRecord

__all__ = ["PAUSE", "Said", "followed", "kept_of", "said_of", "standing", "token_of"]

PAUSE: Final = 400
"""Milliseconds until the page asks again."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Said:
    """What the page says of a job.

    Attributes
    ----------
    html : str
        The answer, or a word about the search for it.
    complete : bool
        Whether it is more than a word about the search.
    record : JobRecord
        The job.
    found : Answer or None
        Its answer so far.
    news : ProgressNews or None
        How far its search is.
    """

    html: str
    complete: bool
    record: JobRecord
    found: Answer | None
    news: ProgressNews | None


def standing(said: Said | None) -> dict[str, Any]:
    """Return what the one line says that always stands in view."""
    if said is None:
        return {"record": None, "found": None, "news": None}
    return {"record": said.record, "found": said.found, "news": said.news}


async def said_of(service: Service, record: JobRecord, *, stale: bool = False) -> Said:
    """Return what there is to say of a job."""
    answer = await run_in_threadpool(answer_of, service.store, record)
    kept = await kept_of(service, record.id)
    values: dict[str, Any] = {
        "record": record,
        "news": (news := service.news(record.id)),
        "ahead": service.scheduler.ahead(record.id),
        "token": await token_of(service, record),
        "pause": PAUSE,
        "stale": stale and answer is None,
        "oob": False,
    }
    if answer is None and not record.state.over and stale:
        return Said(html=render("searching.html", **values), complete=False, record=record, found=None, news=news)
    shown = record.state.over and answer is not None and answer.comparable
    values["comparison"] = await comparison_part(service, record) if shown else ""
    html = render("answer.html", answer=answer, papers=tuple(PAPERS.values()), also=kept.also if kept else (), **values)
    return Said(html=html, complete=True, record=record, found=answer, news=news)


async def token_of(service: Service, record: JobRecord) -> str:
    """Return what tells one stage of an answer from the next."""
    plan = await run_in_threadpool(service.store.plan, record.id)
    seen = b"" if plan is None else plan.document
    return f"{record.state}-{hashlib.sha256(seen).hexdigest()[:8]}" if record.state.over or seen else ""


async def kept_of(service: Service, job_id: str) -> Kept | None:
    """Return the sheet that a job was written on, None where it came another way."""
    document = await run_in_threadpool(service.store.sheet, job_id)
    return None if document is None else Kept.from_json(document)


def followed(said: Said, headers: dict[str, str] | None = None) -> HTMLResponse:
    """Return what is said of a job, and the line that stands in view, anew."""
    return HTMLResponse(said.html + render("stands.html", **standing(said)), headers=headers)
