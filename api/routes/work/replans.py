"""The rest of a work planned anew: a proposal with its proof, accepted or left."""

from __future__ import annotations

import json
from typing import Annotated, Any, Final

from fastapi import APIRouter, Body
from pydantic import BaseModel, ConfigDict, Field, WithJsonSchema
from starlette.concurrency import run_in_threadpool

from api.routes.common import Served, problems
from api.routes.rack.models import OutcomeBody, Who, outcome_body
from api.routes.work.works import WorkId, book_of
from api.service.problems import Kind
from api.service.running import Service
from api.service.settings import LONGEST_SOLVE
from api.service.shop import asked
from shared.files.job import Format, write_job
from shared.files.plan import PlanFile, write_plan
from shared.wording.amounts import bound_text, cost_text
from shared.work.rack.bars import bar_name
from shared.work.replan.anew import Replanned
from shared.work.saw.work import Outcome

__all__ = ["accept_proposal", "propose", "router"]

router = APIRouter(prefix="/v1/works/{work_id}/replans", tags=["work"])

_JOB: Final = {"anyOf": [{"$ref": "#/components/schemas/JobFile"}, {"type": "null"}]}


class _Body(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ReplanBody(_Body):
    """How to look for a proposal."""

    limit: float | None = Field(
        default=None, gt=0, le=LONGEST_SOLVE, description="Seconds; 10 where none are given.", examples=[10]
    )
    seed: int = Field(default=0, ge=0, lt=2**31)


class AcceptBody(_Body):
    """Which proposal to put in force."""

    proposal: str = Field(min_length=1, max_length=40, description="Its name.")
    who: Who = ""


class ProposalBody(_Body):
    """A proposal for the rest of a work."""

    proposal: str = Field(description="Its name, to accept it by.")
    version: int = Field(description="Of the work it was made from; a later change makes it void.")
    possible: bool
    certain: bool = Field(description="Nothing cheaper exists, however much were printed anew.")
    pay: str | None = Field(description="Money to be paid for what is bought more, fees included; null without prices.")
    extra: str | None = Field(description="What is bought more, in terms of the objective; null where impossible.")
    cost: str | None = Field(
        description="What all that is left costs in terms of the objective: `extra`, and where leftovers have a worth, "
        "that of one's own steel used less that of the drops; null where impossible."
    )
    lower_bound: str = Field(description="No way to finish the work has a lower `cost`.")
    kept: tuple[int, ...] = Field(description="Slots that are sawn as they are printed.")
    void: tuple[int, ...] = Field(description="Slots whose paper is to be thrown away.")
    used: tuple[str, ...] = Field(description="Pieces that the new layouts are cut from.")
    freed: tuple[str, ...] = Field(description="Pieces that aren't needed any more.")
    words: tuple[str, ...] = Field(description="All of it for people, a sentence each.")
    reasons: tuple[str, ...] = Field(description="Why there is no plan; empty where there is one.")
    job: Annotated[dict[str, Any] | None, WithJsonSchema(_JOB)] = Field(description="What is planned new.")
    plan: PlanFile | None = Field(description="Its plan.")


async def propose(service: Service, work_id: str, *, limit: float | None, seed: int) -> tuple[str, Replanned]:
    """Plan the rest of a work anew; raises ApiError."""
    book = await book_of(service, work_id)
    rack = await run_in_threadpool(service.shop.bars)
    seconds = service.settings.limits.usual_seconds if limit is None else limit
    return await service.replanning.propose(book, rack, limit=seconds, seed=seed)


async def accept_proposal(service: Service, work_id: str, name: str, who: str) -> Outcome:
    """Put a proposal in force; raises ApiError where the work has changed since."""
    proposal = service.replanning.get(work_id, name)
    return await asked(service.shop.accept, work_id, proposal, proposal.version, who)


@router.post(
    "",
    summary="Plan the rest anew",
    responses=problems(
        Kind.BAD_REQUEST,
        Kind.NOT_FOUND,
        Kind.TOO_LARGE,
        Kind.INVALID_PARAMETERS,
        Kind.TOO_HARD_TO_READ,
        Kind.BUSY,
    ),
)
async def plan_anew(
    service: Served, work_id: WorkId, body: Annotated[ReplanBody | None, Body()] = None
) -> ProposalBody:
    """Plan what is left from all steel at hand, the rack, and what the yards offer, for the least extra money.

    What is cut stays cut, and as many printed layouts as possible stay as they are. Nothing changes until it is
    accepted.
    """
    asked_for = body or ReplanBody()
    name, proposal = await propose(service, work_id, limit=asked_for.limit, seed=asked_for.seed)
    return await run_in_threadpool(_body, name, proposal, (await book_of(service, work_id)).work.job)


@router.post(
    "/accept",
    summary="Put a proposal in force",
    responses=problems(
        Kind.BAD_REQUEST,
        Kind.NOT_FOUND,
        Kind.STALE,
        Kind.TAKEN,
        Kind.NOT_POSSIBLE,
        Kind.TOO_LARGE,
        Kind.INVALID_PARAMETERS,
    ),
)
async def accept(service: Served, work_id: WorkId, body: AcceptBody) -> OutcomeBody:
    """Put a proposal in force as the next revision; refused where the work has changed since it was made."""
    await book_of(service, work_id)
    return outcome_body(await accept_proposal(service, work_id, body.proposal, body.who))


def _body(name: str, proposal: Replanned, job: Any) -> ProposalBody:
    planned = proposal.job is not None and proposal.result is not None and proposal.plan is not None
    return ProposalBody(
        proposal=name,
        version=proposal.version,
        possible=proposal.possible,
        certain=proposal.certain,
        pay=None if proposal.pay is None else f"{proposal.pay}",
        extra=None if proposal.extra is None else cost_text(job, proposal.objective, proposal.extra),
        cost=None if proposal.cost is None else cost_text(job, proposal.objective, proposal.cost),
        lower_bound=bound_text(job, proposal.objective, proposal.proof.lower_bound),
        kept=proposal.kept,
        void=proposal.void,
        used=tuple(map(bar_name, proposal.used)),
        freed=tuple(map(bar_name, proposal.freed)),
        words=proposal.words,
        reasons=proposal.reasons,
        job=json.loads(write_job(proposal.job, Format.JSON)) if planned and proposal.job else None,
        plan=PlanFile.model_validate_json(write_plan(proposal.job, proposal.result))
        if planned and proposal.job and proposal.result
        else None,
    )
