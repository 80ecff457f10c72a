"""A new drawing in the middle of a work: what the new parts list changes, and putting it in force."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Query, Request

from api.routes.common import Served, problems
from api.routes.examples import JOB_JSON
from api.routes.rack.models import Who, outcome_body
from api.routes.work.models import RevisedBody
from api.routes.work.works import WorkId, book_of
from api.service.problems import Kind
from api.service.runner.child import Line
from api.service.shop import asked
from shared.files.job import read_job
from shared.work.replan.revise import compare_lists
from shared.work.saw.work import WorkBook

__all__ = ["compare_task", "router"]

router = APIRouter(prefix="/v1/works/{work_id}", tags=["work"])

_LIST_BODY: Final = {
    "required": True,
    "description": "A whole job file: from now on its parts are asked for, and what it offers may be bought.",
    "content": {
        "application/json": {"schema": {"$ref": "#/components/schemas/JobFile"}, "examples": {"stand": JOB_JSON}}
    },
}


def compare_task(_line: Line, document: bytes, book: WorkBook) -> tuple[str, ...]:
    """Say what a new parts list changes, in words."""
    new, problems_ = read_job(document, name="job.json")
    if new is None:
        raise ValueError(f"a list that was read can't be read again: {problems_[0].where}: {problems_[0].message}")
    return compare_lists(book.work.job, new, book).words


@router.post(
    "/revise",
    summary="Put a new parts list in force",
    responses=problems(
        Kind.BAD_REQUEST,
        Kind.NOT_FOUND,
        Kind.STALE,
        Kind.NOT_POSSIBLE,
        Kind.TOO_LARGE,
        Kind.INVALID_PARAMETERS,
        Kind.INVALID_JOB,
        Kind.TOO_HARD_TO_READ,
        Kind.BUSY,
    ),
    openapi_extra={"requestBody": _LIST_BODY},
)
async def revise(
    request: Request,
    service: Served,
    work_id: WorkId,
    who: Annotated[Who, Query(description="Who, or which device; written beside it.")] = "",
    look: Annotated[bool, Query(description="Only say what would change; nothing is done.")] = False,  # noqa: FBT002
) -> RevisedBody:
    """Say what a new parts list changes, and put it in force: what is cut or bought stays.

    The rest is planned anew afterwards, by a proposal that can be accepted.
    """
    book = await book_of(service, work_id)
    read = await service.read_job(await request.body(), "job.json")
    changes = await service.side(compare_task, read.document, book)
    if look:
        return RevisedBody(changes=changes, outcome=None)
    outcome = await asked(service.shop.revise, work_id, read.document, who)
    return RevisedBody(changes=changes, outcome=outcome_body(outcome))
