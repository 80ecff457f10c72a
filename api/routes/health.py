"""What machines look at: is the process alive, can it work."""

from __future__ import annotations

from typing import Literal

from fastapi import APIRouter
from pydantic import BaseModel
from sqlalchemy.exc import SQLAlchemyError
from starlette.concurrency import run_in_threadpool

from api.routes.common import Served, problems
from api.service.problems import ApiError, Kind

__all__ = ["router"]

router = APIRouter(tags=["health"])


class Health(BaseModel):
    """How the service is."""

    status: Literal["ok"]


@router.get("/healthz", summary="Is it alive?")
async def healthz() -> Health:
    """Answer, that is all."""
    return Health(status="ok")


@router.get("/readyz", summary="Can it work?", responses=problems(Kind.BUSY))
async def readyz(service: Served) -> Health:
    """Answer once the store does."""
    try:
        await run_in_threadpool(service.store.ready)
    except SQLAlchemyError as error:
        raise ApiError(kind=Kind.BUSY, detail=f"The store doesn't answer: {type(error).__name__}.") from error
    return Health(status="ok")
