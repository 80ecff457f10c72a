"""Compare a job with other ways to buy: each is solved as a job of its own, in the same queue as all others."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from typing import Any

from starlette.concurrency import run_in_threadpool

from api.service.problems import ApiError, Kind
from api.service.runner.ways import Solved, WayDocument, job_of, rows_of, ways_task
from api.service.running import Service, digest_of
from cutting.asking.compare import Case
from cutting.question.job import Job
from shared.store import InHandError, JobRecord, NewJob, State, WayRecord
from shared.view.advice import Advice
from shared.view.advice.comparing import case_text, rows_advice

__all__ = [
    "Compared",
    "Line",
    "compared",
    "forget_comparison",
    "forget_job",
    "solved_ways",
    "start_comparison",
    "stop_comparison",
    "wait_for_comparison",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One way to buy, as far as it is.

    Attributes
    ----------
    way : WayRecord or None
        Which; None for the job as it is.
    record : JobRecord
        The job by which it is solved.
    name : str
        What may be bought, in words.
    cells : tuple of str
        What a table shows of it behind the name; what isn't known yet is empty.
    data : mapping
        The same as plain values; empty while there is no answer.
    """

    way: WayRecord | None
    record: JobRecord
    name: str
    cells: tuple[str, ...]
    data: Mapping[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class Compared:
    """A comparison as far as it is.

    Attributes
    ----------
    job_id : str
        The job compared.
    unit : str
        The unit of its lengths.
    currency : str or None
        ISO 4217 code of its amounts.
    lines : tuple of Line
        The job as it is, then every other way.
    advice : Advice
        Headings and notes; its rows are those that have an answer.
    """

    job_id: str
    unit: str
    currency: str | None
    lines: tuple[Line, ...]
    advice: Advice

    @property
    def over(self) -> bool:
        """Whether nothing more will come."""
        return all(line.record.state.over for line in self.lines)

    @property
    def done(self) -> int:
        """Count the ways that are planned."""
        return sum(line.record.state.over for line in self.lines)

    @property
    def token(self) -> str:
        """Return what tells one stage of it from the next."""
        return "-".join(str(line.record.state)[0] for line in self.lines)


async def start_comparison(service: Service, record: JobRecord, client: str) -> None:
    """Have a job compared with every other way to buy, unless it is already.

    The ways wait under a name of their own, so that a new job of the same client isn't kept waiting behind all of them.

    Raises
    ------
    ApiError
        There is nothing to compare, or no place in the queue for all of them.
    """
    if record.state in {State.FAILED, State.CANCELLED}:
        raise ApiError(kind=Kind.NO_PLAN_YET, detail=f"The job is {record.state}; there is nothing to compare.")
    if await run_in_threadpool(service.ways.of, record.id):
        return
    document = await run_in_threadpool(service.store.document, record.id)
    ways: tuple[WayDocument, ...] = await service.side(ways_task, document or b"")
    if not ways:
        detail = "There is no other way to buy: one yard, no rack, one length of stick."
        raise ApiError(kind=Kind.NOT_POSSIBLE, detail=detail)
    made: list[WayRecord] = []
    try:
        for way in ways:
            made.append(await _add(service, record, way, f"{client} compares"))  # noqa: PERF401  kept on an error
    except ApiError:
        await _drop(service, made)
        raise
    if not await run_in_threadpool(service.ways.keep, record.id, made):
        await _drop(service, made)  # somebody else was quicker


async def _add(service: Service, record: JobRecord, way: WayDocument, client: str) -> WayRecord:
    job = NewJob(
        document=way.document,
        title=record.title,
        digest=digest_of(way.document, record.limit_seconds, record.seed),
        limit_seconds=record.limit_seconds,
        seed=record.seed,
        client=client,
        draft=True,
    )
    added, _ = await service.add(job)
    return WayRecord(job_id=added.id, kind=way.kind, name=way.name, length=way.length)


async def _drop(service: Service, ways: Sequence[WayRecord]) -> None:
    for way in ways:
        await service.cancel(way.job_id)
        with suppress(InHandError):  # the shop works by it: it stays
            await run_in_threadpool(partial(service.store.forget, way.job_id, draft_only=True))


async def stop_comparison(service: Service, job_id: str) -> None:
    """End the planning of all ways; what is found so far stays."""
    for way in await run_in_threadpool(service.ways.of, job_id):
        await service.stop(way.job_id)


async def forget_comparison(service: Service, job_id: str) -> None:
    """End a comparison and delete it."""
    ways = await run_in_threadpool(service.ways.of, job_id)
    await run_in_threadpool(service.ways.forget, job_id)
    await _drop(service, ways)


async def forget_job(service: Service, job_id: str) -> None:
    """End a job and delete it with its comparison; raises InHandError for one that was taken in hand."""
    ways = await run_in_threadpool(service.ways.of, job_id)
    await service.forget(job_id)
    await _drop(service, ways)


async def wait_for_comparison(service: Service, job_id: str, seconds: float) -> None:
    """Wait so long for all ways to be planned."""
    ends = asyncio.get_running_loop().time() + seconds
    for way in await run_in_threadpool(service.ways.of, job_id):
        left = ends - asyncio.get_running_loop().time()
        record = await run_in_threadpool(service.store.get, way.job_id)
        if left > 0 and record is not None:
            await service.wait(record, left)


async def compared(service: Service, record: JobRecord) -> Compared | None:
    """Return a job's comparison as far as it is; None where none was asked for."""
    return await run_in_threadpool(_compared, service, record)


def _compared(service: Service, record: JobRecord) -> Compared | None:
    ways = service.ways.of(record.id)
    document = service.store.document(record.id)
    if not ways or document is None:
        return None
    pairs: list[tuple[WayRecord | None, JobRecord]] = [(None, record)]
    for way in ways:
        known = service.store.get(way.job_id)
        if known is not None:
            pairs.append((way, known))
    states = [_State(way=way, record=known, solved=_solved(service, way, known)) for way, known in pairs]
    return _table(record.id, job_of(document), states)


@dataclass(frozen=True, kw_only=True, slots=True)
class _State:
    """One way with its answer, where it has one."""

    way: WayRecord | None
    record: JobRecord
    solved: Solved | None


def _table(job_id: str, job: Job, states: Sequence[_State]) -> Compared:
    """Set the ways side by side: those with an answer as they are, the others by how far they are."""
    first = states[0].solved
    rows = rows_of(first, [state.solved for state in states[1:] if state.solved is not None])
    advice = rows_advice(job, rows)
    shown = iter(zip(advice.rows, advice.data["rows"], strict=True))
    lines = []
    for state in states:
        cells, data = next(shown) if state.solved is not None else (_open_cells(job, state, len(advice.columns)), {})
        lines.append(Line(way=state.way, record=state.record, name=cells[0], cells=cells[1:], data=data))
    return Compared(job_id=job_id, unit=job.unit.value, currency=job.currency, lines=tuple(lines), advice=advice)


def _open_cells(job: Job, state: _State, count: int) -> tuple[str, ...]:
    """Return the row of a way without an answer: what it is, and how far."""
    way = state.way
    name = case_text(job, Case.ALL, "", None)
    if way is not None:
        name = case_text(job, Case(way.kind), way.name, Fraction(way.length) if way.length else None)
    return (name, *[""] * (count - 2), _far(state.record))


def _far(record: JobRecord) -> str:
    match record.state:
        case State.FAILED:
            return f"no answer: {record.error}"
        case State.CANCELLED:
            return "not looked at"
        case State.WORKING:
            return "being planned"
    return "waiting"


def solved_ways(service: Service, job_id: str) -> tuple[Solved, ...]:
    """Return the ways of a job that have their final answer, the job as it is left out."""
    found = []
    for way in service.ways.of(job_id):
        record = service.store.get(way.job_id)
        one = None if record is None else _solved(service, way, record)
        if one is not None:
            found.append(one)
    return tuple(found)


def _solved(service: Service, way: WayRecord | None, record: JobRecord) -> Solved | None:
    plan = service.store.plan(record.id) if record.state is State.DONE else None
    document = service.store.document(record.id) if plan is not None else None
    if plan is None or document is None:
        return None
    return Solved(way=way, document=document, plan=plan.document, seconds=record.seconds or 0.0)
