"""What machines look at: is the process alive, can it work."""

from __future__ import annotations

from typing import Literal

from fastapi import APIRouter
from pydantic import BaseModel, Field
from starlette.concurrency import run_in_threadpool

from api.routes.common import Served, problems
from api.service.problems import Kind, not_now
from shared.store.health import health_of

__all__ = ["router"]

router = APIRouter(tags=["health"])


class Health(BaseModel):
    """How the service is."""

    status: Literal["ok"]
    warning: str = Field(default="", description="What will soon be wrong, such as a disk that is nearly full.")


@router.get("/healthz", summary="Is it alive?")
async def healthz() -> Health:
    """Answer, that is all."""
    return Health(status="ok")


@router.get("/readyz", summary="Can it work?", responses=problems(Kind.BUSY))
async def readyz(service: Served) -> Health:
    """Answer once the store can be written and every worker works; otherwise say what keeps them."""
    store = await run_in_threadpool(health_of, service.store.engine)
    if fault := service.scheduler.trouble() or store.fault:
        raise not_now(fault)
    return Health(status="ok", warning=store.warning)
