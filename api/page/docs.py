"""The API's description for people, from the same document that programs read; and what each problem means."""

from __future__ import annotations

import json
from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from api.page.rendering import page
from api.service.problems import ApiError, Kind

__all__ = ["router"]

router = APIRouter(include_in_schema=False)

_MEANINGS: Final = {
    Kind.BAD_REQUEST: "The request itself is malformed; its detail says where.",
    Kind.PASSWORD_NEEDED: "The service listens to a network and has a password. Send it as a key: "
    "Authorization: Bearer PASSWORD. A browser is asked for it.",
    Kind.FOREIGN_ORIGIN: "A page of another site asked for a change; only our own pages and programs may.",
    Kind.NOT_FOUND: "The address is wrong, or what was there has been deleted.",
    Kind.METHOD_NOT_ALLOWED: "The address exists, but doesn't take this method; the Allow header says which it takes.",
    Kind.NO_PLAN_YET: "The job has no plan: none yet, none at all, or its search was cancelled. Its status says which.",
    Kind.TAKEN: "A plan wants pieces of one's own rack that are no longer free. Each is in errors, with who has it. "
    "Plan anew with the rack as it is now.",
    Kind.STALE: "What was sent rests on an older state of the rack or of the work. Fetch it again, then decide again.",
    Kind.NOT_POSSIBLE: "The rack or the work is in a state in which that makes no sense; the detail says what to do.",
    Kind.IN_HAND: "A plan that has been taken in hand holds steel and history; drop or finish the work instead.",
    Kind.UNCLEAR_LINES: "Lines of a list have several readings or none. Each is in errors, with what to write instead.",
    Kind.TOO_LARGE: "The body is larger than the service takes; split the job.",
    Kind.TOO_SLOW: "The body didn't come whole in the time that a request has. Send it again over a better connection.",
    Kind.UNSUPPORTED_MEDIA_TYPE: "A job file is sent as application/json or application/toml.",
    Kind.WRONG_HOST: "The Host header names another machine. Use the address in numbers, or the computer's own name.",
    Kind.INVALID_JOB: "The job file has problems. Each is in errors, with a JSON pointer and what to write instead.",
    Kind.INVALID_PARAMETERS: "Query parameters, headers or the body's form are wrong; each is in errors.",
    Kind.KEY_REUSED: "The same Idempotency-Key came with another job. Take a new key for each new job.",
    Kind.TOO_HARD_TO_READ: "Reading what was sent, or writing the paper, took more time or memory than it may.",
    Kind.QUEUE_FULL: "As many solves as may wait are waiting. Try again after the seconds in Retry-After.",
    Kind.TOO_MANY_TRIES: "Too many wrong passwords came from one address. Wait for the seconds in Retry-After.",
    Kind.DEFECT: "Something of ours is broken. The service's log says more.",
    Kind.BUSY: "The service can't take this just now: too much is asked for at once, or its store is locked, full or "
    "away. Nothing was changed. Try again after the seconds in Retry-After; /readyz says when it can work again.",
}


@router.get("/docs")
async def docs(request: Request) -> HTMLResponse:
    """Show the API's description."""
    document: dict[str, Any] = request.app.openapi()
    return page("docs.html", api=document, examples=_examples, resolved=lambda ref: _resolved(document, ref))


@router.get("/problems/{slug}")
async def problem(slug: str) -> HTMLResponse:
    """Explain one type of problem."""
    kind = next((kind for kind in Kind if kind.slug == slug), None)
    if kind is None:
        raise ApiError(kind=Kind.NOT_FOUND, detail="There is no such type of problem.")
    return page("problem.html", kind=kind, meaning=_MEANINGS[kind])


def _examples(content: dict[str, Any]) -> list[tuple[str, str]]:
    """Return a media type's examples as texts."""
    values = [example["value"] for example in content.get("examples", {}).values()]
    return [
        ("example", value if isinstance(value, str) else json.dumps(value, indent=2, ensure_ascii=False))
        for value in values
    ]


def _resolved(document: dict[str, Any], schema: dict[str, Any]) -> tuple[str, dict[str, Any]]:
    """Return the name and the fields of the schema that a reference means."""
    name = str(schema.get("$ref", "")).rpartition("/")[2]
    return name, document["components"]["schemas"].get(name, schema)
