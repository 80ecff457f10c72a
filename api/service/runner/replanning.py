"""Proposals for the rest of a work: each solved in a child that can be killed, kept until it is accepted or too old."""

from __future__ import annotations

import asyncio
import secrets
from collections import OrderedDict
from collections.abc import Sequence
from typing import Final

from starlette.concurrency import run_in_threadpool

from api.service.problems import ApiError, Kind
from api.service.runner.child import Allowance, Line
from api.service.runner.process import Children, CrashedError, TimeOverError, TooLargeError
from api.service.settings import Limits
from shared.work.rack.bars import Bar
from shared.work.replan.anew import Replanned, replan
from shared.work.saw.work import WorkBook

__all__ = ["Replanning", "replan_task"]

_KEPT: Final = 64
_QUEUE_SECONDS: Final = 30.0
_START_SECONDS: Final = 30.0


def replan_task(_line: Line, book: WorkBook, rack: Sequence[Bar], limit: float, seed: int, cores: int) -> Replanned:
    """Plan the rest of a work anew."""
    return replan(book, rack, limit=limit, seed=seed, cores=cores)


class Replanning:
    """Makes proposals and keeps the latest ones.

    They rest on one version of their work, so that losing one at the end of the service costs a press of a button.

    Parameters
    ----------
    children : Children
        Starts the child processes.
    limits : Limits
        How much at once.
    """

    def __init__(self, children: Children, limits: Limits) -> None:
        self._children = children
        self._limits = limits
        self._places = asyncio.Semaphore(limits.places)
        self._kept: OrderedDict[str, Replanned] = OrderedDict()

    async def propose(self, book: WorkBook, rack: Sequence[Bar], *, limit: float, seed: int) -> tuple[str, Replanned]:
        """Plan the rest of a work anew.

        Parameters
        ----------
        book : WorkBook
            As it is now.
        rack : sequence of Bar
            The shop's pieces.
        limit : float
            Seconds.
        seed : int
            For every random choice.

        Returns
        -------
        tuple of (str, Replanned)
            The proposal under a name that can't be guessed.

        Raises
        ------
        ApiError
            Too many want the same, or it took more than it may.
        """
        try:
            await asyncio.wait_for(self._places.acquire(), _QUEUE_SECONDS)
        except TimeoutError:
            detail = "Other plans are being made; try again in a moment."
            raise ApiError(kind=Kind.BUSY, detail=detail, headers={"Retry-After": "10"}) from None
        try:
            proposal = await run_in_threadpool(self._solve, book, rack, limit, seed)
        finally:
            self._places.release()
        return self._keep(proposal), proposal

    def _solve(self, book: WorkBook, rack: Sequence[Bar], limit: float, seed: int) -> Replanned:
        seconds = limit + self._limits.stop_grace + _START_SECONDS
        allowance = Allowance(memory=self._limits.solve_memory, processor_seconds=seconds)
        try:
            proposal: Replanned = self._children.run(
                replan_task, book, rack, limit, seed, 1, allowance=allowance, seconds=seconds
            )
        except TimeOverError:
            detail = "No proposal was found in the time it may take; give it more, or finish a part of it first."
            raise ApiError(kind=Kind.BUSY, detail=detail) from None
        except TooLargeError:
            detail = "A proposal needs more memory than it may take here."
            raise ApiError(kind=Kind.TOO_HARD_TO_READ, detail=detail) from None
        except CrashedError as error:
            raise ApiError(kind=Kind.DEFECT, detail=f"The search ended by a defect of ours, sorry: {error}.") from None
        return proposal

    def _keep(self, proposal: Replanned) -> str:
        name = secrets.token_urlsafe(12)
        self._kept[name] = proposal
        while len(self._kept) > _KEPT:
            self._kept.popitem(last=False)
        return name

    def get(self, work_id: str, name: str) -> Replanned:
        """Return a proposal; raises ApiError where it isn't kept any more."""
        proposal = self._kept.get(name)
        if proposal is None or proposal.work != work_id:
            detail = "This proposal isn't kept any more: plan the rest anew."
            raise ApiError(kind=Kind.STALE, detail=detail)
        return proposal
