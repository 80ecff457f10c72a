"""The running service: its store, its solves, its side work, put together."""

from __future__ import annotations

import asyncio
import hashlib
from collections.abc import AsyncGenerator, Sequence
from contextlib import aclosing, suppress
from typing import Any, Final

from starlette.concurrency import run_in_threadpool

from api.service.clock import milliseconds
from api.service.entrance import Entrance, Porter
from api.service.problems import ApiError, Fault, Kind, invalid_job
from api.service.runner.answers import ProgressNews
from api.service.runner.child import Allowance, Task
from api.service.runner.fair import FullError
from api.service.runner.hub import Hub
from api.service.runner.process import Children, TimeOverError, TooLargeError
from api.service.runner.replanning import Replanning
from api.service.runner.scheduler import Scheduler
from api.service.runner.tasks import ReadJob, read_job_task
from api.service.runner.turns import WHO, Turns
from api.service.settings import Settings
from shared.store import Drafts, JobRecord, NewJob, Store, Ways, open_database
from shared.store.jobs import KeyClashError
from shared.store.shop import ShopStore

__all__ = ["Service", "digest_of"]

_SIDE_QUEUE_SECONDS: Final = 15.0
_LOOK_AGAIN_SECONDS: Final = 5.0
_TIDY_SECONDS: Final = 86_400.0
_SHEET_DAYS: Final = 365.0


class Service:
    """Everything a route needs.

    Parameters
    ----------
    settings : Settings
        What it was started with.
    preload : sequence of str
        Modules to load into the fork server beside the engine: the door's own, so that no child imports them anew.
    """

    def __init__(self, settings: Settings, preload: Sequence[str] = ()) -> None:
        self.settings = settings
        self.store = Store(open_database(settings.database), milliseconds)
        self.shop = ShopStore(self.store.engine, milliseconds)
        self.ways = Ways(self.store.engine)
        self.drafts = Drafts(self.store.engine, milliseconds)
        self.hub = Hub()
        self.children = Children(preload)
        self.scheduler = Scheduler(self.store, self.children, settings.limits, self.hub.tell)
        self.replanning = Replanning(self.children, settings.limits)
        self.entrance = Entrance(settings.password, settings.secret)
        self.porter = Porter(self.entrance)
        self._tidier: asyncio.Task[None] | None = None
        self._side = Turns(settings.limits.side_places, settings.limits.side_waiting_each)

    async def open(self) -> None:
        """Start to work."""
        self.hub.open()
        await run_in_threadpool(self.children.warm)
        await run_in_threadpool(self.scheduler.start)
        self._tidier = asyncio.create_task(self._tidy())

    async def _tidy(self) -> None:
        """Forget, once a day, the drafts that nobody opened, and unfinished sheets that nobody touched for a year."""
        while True:
            await run_in_threadpool(self.store.forget_drafts, self.settings.limits.keep_days)
            await run_in_threadpool(self.drafts.forget_old, _SHEET_DAYS)
            await asyncio.sleep(_TIDY_SECONDS)

    async def close(self) -> None:
        """End; nothing is lost."""
        if self._tidier is not None:
            self._tidier.cancel()
        await run_in_threadpool(self.scheduler.close)
        self.store.engine.dispose()

    async def side(self, task: Task, *arguments: Any) -> Any:
        """Do something short in a child: read what somebody sent, write a paper.

        Raises
        ------
        ApiError
            It took too long or too much memory, or too many want the same.
        """
        limits = self.settings.limits
        try:
            async with self._side.turn(WHO.get(), _SIDE_QUEUE_SECONDS):
                return await run_in_threadpool(self._run, task, arguments)
        except (TimeoutError, FullError):
            detail = "Too many readings and papers are asked for at once."
            raise ApiError(kind=Kind.BUSY, detail=detail, headers={"Retry-After": "5"}) from None
        except TimeOverError:
            detail = f"It takes more than {limits.side_seconds:g} s; send less at once."
            raise ApiError(kind=Kind.TOO_HARD_TO_READ, detail=detail) from None
        except TooLargeError:
            detail = "It takes more memory than one request may; send less at once."
            raise ApiError(kind=Kind.TOO_HARD_TO_READ, detail=detail) from None

    def _run(self, task: Task, arguments: tuple[Any, ...]) -> Any:
        limits = self.settings.limits
        allowance = Allowance(memory=limits.side_memory, processor_seconds=limits.side_seconds)
        return self.children.run(task, *arguments, allowance=allowance, seconds=limits.side_seconds)

    async def read_job(self, data: bytes, name: str, *, with_rack: bool = False) -> ReadJob:
        """Read a job file, the shop's rack offered too where asked for; raises ApiError with every problem."""
        if len(data) > (most := self.settings.limits.document):
            detail = f"A job file has at most {most} bytes here; this has {len(data)}. Split the job by section."
            raise ApiError(kind=Kind.TOO_LARGE, detail=detail)
        rack = await run_in_threadpool(self.shop.bars, states=None) if with_rack else None
        read: ReadJob = await self.side(read_job_task, data, name, rack)
        if read.problems:
            raise invalid_job(read.problems)
        return read

    async def add(self, job: NewJob, key: str | None = None) -> tuple[JobRecord, bool]:
        """Keep a job and have it solved; raises ApiError where the queue is full or the key was used."""
        try:
            known = None if key is None else await run_in_threadpool(self.store.of_key, key, job.digest)
            return (known, False) if known is not None else await run_in_threadpool(self.scheduler.add, job, key)
        except KeyClashError:
            fault = Fault(detail="Take a new key for a new job.", parameter="Idempotency-Key", text=key)
            detail = "This key came before with another job."
            raise ApiError(kind=Kind.KEY_REUSED, detail=detail, faults=(fault,)) from None
        except FullError as error:
            wait = str(self.scheduler.retry_after())
            detail = f"{'As many of yours' if error.own else 'As many'} as may are waiting; try again in {wait} s."
            raise ApiError(kind=Kind.QUEUE_FULL, detail=detail, headers={"Retry-After": wait}) from None

    async def record(self, job_id: str) -> JobRecord:
        """Return a job; raises ApiError where there is none."""
        record = await run_in_threadpool(self.store.get, job_id)
        if record is None:
            raise ApiError(kind=Kind.NOT_FOUND, detail="There is no job of this name.")
        return record

    def news(self, job_id: str) -> ProgressNews | None:
        """Return how far a job's solve is."""
        return self.scheduler.news(job_id)

    async def follow(self, job_id: str) -> AsyncGenerator[JobRecord, None]:
        """Yield a job now and whenever something about it may have changed, until it is over or gone."""
        with self.hub.listen(job_id) as changed:
            while (record := await run_in_threadpool(self.store.get, job_id)) is not None:
                yield record
                if record.state.over:
                    return
                with suppress(TimeoutError):
                    await asyncio.wait_for(changed.wait(), _LOOK_AGAIN_SECONDS)
                changed.clear()

    async def wait(self, record: JobRecord, seconds: float) -> JobRecord:
        """Wait so long for a job to be over; return it as it is then."""
        latest = record
        with suppress(TimeoutError):
            async with asyncio.timeout(seconds), aclosing(self.follow(record.id)) as states:
                async for state in states:
                    latest = state
        return latest

    async def stop(self, job_id: str) -> None:
        """End a search and keep its best plan."""
        await run_in_threadpool(self.scheduler.stop, job_id)

    async def cancel(self, job_id: str) -> None:
        """End a job."""
        await run_in_threadpool(self.scheduler.cancel, job_id)

    async def forget(self, job_id: str) -> None:
        """End a job and delete it."""
        await self.cancel(job_id)
        await run_in_threadpool(self.store.forget, job_id)


def digest_of(document: bytes, limit: float, seed: int) -> str:
    """Return a digest of everything that decides a solve's answer."""
    return hashlib.sha256(b"\0".join((document, repr(limit).encode(), str(seed).encode()))).hexdigest()
