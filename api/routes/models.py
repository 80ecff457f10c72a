"""What the JSON routes answer with."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from api.service.runner.answers import ProgressNews
from shared.files.plan import PlanFile
from shared.store import JobRecord, State

__all__ = ["JobAnswer", "JobList", "JobStatus", "Links", "ProgressBody", "status_of"]


class _Body(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ProgressBody(_Body):
    """How far the search is."""

    objective: str = Field(description="What is minimised: money, length or weight.", examples=["money"])
    incumbent: str | None = Field(description="Cost of the best plan so far.", examples=["812.40"])
    lower_bound: str = Field(description="No plan costs less.", examples=["810.80"])
    gap: str | None = Field(description="What could at most still be saved.", examples=["1.60"])
    seconds: float = Field(description="Since the search began.", examples=[2.5])


class Links(_Body):
    """Where a job's things are."""

    status: str
    events: str
    job: str
    plan: str
    page: str


class JobStatus(_Body):
    """A job and how far it is."""

    id: str
    state: State = Field(description="waiting and working end as done, failed or cancelled.")
    title: str
    created: datetime
    started: datetime | None
    finished: datetime | None
    limit: float = Field(description="Time limit of the solve in seconds.")
    seed: int
    ahead: int | None = Field(description="Solves before this one; null unless it is waiting.")
    progress: ProgressBody | None = Field(description="Null unless it is working.")
    stopped: bool = Field(description="The search was stopped, and its best plan kept.")
    error: str | None = Field(description="Why it failed.")
    seconds: float | None = Field(description="Time the engine took.")
    links: Links


class JobAnswer(JobStatus):
    """A job with its plan."""

    plan: PlanFile | None = Field(description="The plan; null until the job is done.")


class JobList(_Body):
    """The latest jobs, newest first."""

    jobs: tuple[JobStatus, ...]


def status_of(record: JobRecord, ahead: int | None, news: ProgressNews | None) -> JobStatus:
    """Return a job as the routes show it."""
    return JobStatus(**_fields(record, ahead, news))


def answer_of(record: JobRecord, ahead: int | None, news: ProgressNews | None, plan: PlanFile | None) -> JobAnswer:
    """Return a job with its plan."""
    return JobAnswer(**_fields(record, ahead, news), plan=plan)


def _fields(record: JobRecord, ahead: int | None, news: ProgressNews | None) -> dict[str, Any]:
    base = f"/v1/jobs/{record.id}"
    return {
        "id": record.id,
        "state": record.state,
        "title": record.title,
        "created": record.created,
        "started": record.started,
        "finished": record.finished,
        "limit": record.limit_seconds,
        "seed": record.seed,
        "ahead": ahead if record.state is State.WAITING else None,
        "progress": _progress(news) if record.state is State.WORKING and news is not None else None,
        "stopped": record.stopped,
        "error": record.error or None,
        "seconds": record.seconds,
        "links": Links(
            status=base, events=f"{base}/events", job=f"{base}/job", plan=f"{base}/plan", page=f"/plans/{record.id}"
        ),
    }


def _progress(news: ProgressNews) -> ProgressBody:
    return ProgressBody(
        objective=news.objective,
        incumbent=news.incumbent,
        lower_bound=news.lower_bound,
        gap=news.gap,
        seconds=round(news.seconds, 3),
    )
