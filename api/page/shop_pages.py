"""What the pages of the rack and of the work in hand share: who writes, what was just done, what was refused."""

from __future__ import annotations

from typing import Final
from urllib.parse import quote, unquote

from fastapi import Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.responses import RedirectResponse

from api.page.rack.rows import Notice
from api.service.entrance import COOKIE_SECONDS
from api.service.problems import ApiError
from api.service.running import Service
from shared.work.saw.work import Outcome

__all__ = ["WHO", "done", "form_of", "in_page", "notice_of", "reasons", "signed_by", "titles_of", "who_of"]

WHO: Final = "tallystick_who"
_LONGEST: Final = 60
_MOST_FIELDS: Final = 20_000
_SAID_WITHIN: Final = 50


def signed_by(request: Request) -> str:
    """Return the name that this device keeps, empty where it keeps none."""
    return unquote(request.cookies.get(WHO, ""))[:_LONGEST]


def who_of(request: Request) -> str:
    """Return who says so: the name that this device keeps, else its address."""
    return signed_by(request) or (request.client.host if request.client else "")


def keep_name(response: RedirectResponse, name: str, *, secure: bool) -> None:
    """Have the device keep a name."""
    text = " ".join(name.split())[:_LONGEST]
    response.set_cookie(WHO, quote(text), max_age=COOKIE_SECONDS, httponly=True, samesite="lax", secure=secure)


def in_page(back: str) -> str:
    """Return a path of the rack's or the works' pages to go back to; anything else leads to the rack."""
    inside = back.startswith(("/rack", "/works")) and back.isprintable() and "\\" not in back
    return back if inside else "/rack"


def done(path: str, outcome: Outcome) -> RedirectResponse:
    """Show a page after a change, with what it did."""
    page, _, place = path.partition("#")
    joint = "&" if "?" in page else "?"
    return RedirectResponse(f"{page}{joint}said={outcome.entry}{'#' + place if place else ''}", status_code=303)


async def notice_of(service: Service, said: int | None) -> Notice | None:
    """Return what an entry of the journal did, to be said once; None where there is none."""
    if said is None:
        return None
    latest = await run_in_threadpool(service.shop.history, limit=_SAID_WITHIN)
    entry = next((entry for entry in latest if entry.id == said), None)
    if entry is None:
        return None
    undo = None if entry.undone_by is not None or entry.undoes is not None else entry.id
    return Notice(words=entry.words, undo=undo)


async def titles_of(service: Service) -> dict[str, str]:
    """Return the titles of all works, by id."""
    works = await run_in_threadpool(service.shop.works)
    return {work.id: work.title or "a work without a title" for work in works}


async def form_of(service: Service, request: Request) -> tuple[dict[str, str], dict[str, bytes]]:
    """Read a form: its texts, and the files that somebody chose."""
    async with request.form(max_fields=_MOST_FIELDS, max_part_size=service.settings.limits.body) as fields:
        return _texts(fields), {
            name: await value.read()
            for name, value in fields.multi_items()
            if isinstance(value, UploadFile) and value.filename
        }


def _texts(fields: FormData) -> dict[str, str]:
    return {name: value for name, value in fields.multi_items() if isinstance(value, str)}


def reasons(error: ApiError) -> tuple[str, ...]:
    """Return what was refused as sentences."""
    return tuple(fault.detail for fault in error.faults) or (error.detail,)
