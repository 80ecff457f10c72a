"""The shop's memory at the service's door: what it refuses becomes a problem with everything that is wrong."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, ParamSpec, TypeVar

from starlette.concurrency import run_in_threadpool

from api.service.problems import ApiError, Fault, Kind
from shared.work.errors import NotPossibleError, ShopError, StaleError, TakenError, UnknownError

__all__ = ["asked", "refusal"]

P = ParamSpec("P")
T = TypeVar("T")

_KINDS: Final = (
    (TakenError, Kind.TAKEN),
    (StaleError, Kind.STALE),
    (NotPossibleError, Kind.NOT_POSSIBLE),
    (UnknownError, Kind.NOT_FOUND),
)


async def asked(method: Callable[P, T], *arguments: P.args, **named: P.kwargs) -> T:
    """Ask the shop's memory; raises ApiError where it refuses."""
    try:
        return await run_in_threadpool(method, *arguments, **named)
    except ShopError as error:
        raise refusal(error) from None


def refusal(error: ShopError) -> ApiError:
    """Return a refusal as a problem, each reason with it."""
    kind = next((kind for type_, kind in _KINDS if isinstance(error, type_)), Kind.NOT_POSSIBLE)
    faults = tuple(Fault(detail=reason) for reason in error.reasons)
    return ApiError(kind=kind, detail=str(error), faults=faults if len(faults) > 1 or kind is Kind.TAKEN else ())
