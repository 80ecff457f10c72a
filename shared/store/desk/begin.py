"""A plan taken in hand, and what comes from the yards for it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from fractions import Fraction

from sqlalchemy import select
from sqlalchemy.orm import Session

from cutting.answer.plan import Plan
from cutting.question.job import Job
from cutting.question.lengths import LONGEST, Unit
from cutting.question.tape import told_length
from shared.files.plan import read_plan
from shared.store.desk.rows import job_of
from shared.store.desk.run import Desk, Told
from shared.store.desk.tables import BarRow, ChangeRow, RevisionRow, WorkRow
from shared.store.desk.take import Taken, take
from shared.store.tables import JobRow, PlanRow
from shared.store.values import fraction_of, fraction_text
from shared.wording.plurals import many
from shared.work.errors import NoPlanError, NotPossibleError, UnknownError
from shared.work.rack.bars import BarState, Received, bar_name
from shared.work.saw.lay import lay
from shared.work.saw.ledger import Account
from shared.work.saw.work import SlotState, WorkState
from shared.work.words import bar_spans, names, said

__all__ = ["begin", "come", "receive"]

_KEEP_FROM = {True: Fraction(1524, 5), False: Fraction(300)}
_WHEN_NOT_EXPECTED = {
    BarState.FREE: "has come already",
    BarState.RESERVED: "has come already: correct its length or heat number on the rack",
    BarState.CUT: "was cut up already",
    BarState.CANCELLED: "was called off: undo that first",
    BarState.SCRAP: "was scrapped",
    BarState.LOST: "came, and wasn't found when stock was taken",
}


def begin(desk: Desk, job_id: str) -> Told:
    """Take a job's plan in hand: own pieces are reserved, what is bought is expected."""
    row, job, plan, document = _planned(desk.session, job_id)
    known = desk.session.get(WorkRow, job_id)
    if known is not None:
        ended = "taken in hand already" if known.state == WorkState.OPEN else f"taken in hand and {known.state}"
        raise NotPossibleError(f"{known.title or 'This plan'} was {ended}.")
    row.draft = False
    revision = _revision(desk.session, job_id)
    laid = lay(job, plan)
    work = WorkRow(
        id=job_id,
        title=row.title,
        state=WorkState.OPEN.value,
        revision=revision,
        kerf=fraction_text(job.saw.kerf),
        keep_from=fraction_text(_keep_from(job)),
        document=row.document,
        made=desk.now,
        version=1,
        last_revision=revision,
        last_number=max(each.number for each in laid),
    )
    desk.session.add(work)
    desk.session.flush()
    desk.session.add(
        RevisionRow(
            work=job_id,
            number=revision,
            document=row.document,
            plan=document,
            reason="taken in hand",
            made=desk.now,
        )
    )
    taken = take(desk, work, job, laid)
    return Told(words=_begun(row.title, len(laid), taken), bars=taken.new)


def _planned(session: Session, job_id: str) -> tuple[JobRow, Job, Plan, bytes]:
    """Return a job with its final plan."""
    row = session.get(JobRow, job_id)
    if row is None:
        raise UnknownError(f"There is no plan {job_id}.")
    kept = session.get(PlanRow, job_id)
    if kept is None or not kept.final:
        raise NoPlanError(f"{row.title or 'This job'} has no finished plan yet: wait for it, or look why it has none.")
    job = job_of(row.document)
    stated, problems = read_plan(kept.document, job)
    if stated is None:
        raise ValueError("; ".join(f"{each.where}: {each.message}" for each in problems))
    if stated.plan is None:
        raise NoPlanError(f"{row.title or 'This job'} can't be cut as it stands: there is no plan to take in hand.")
    return row, job, stated.plan, kept.document


def _revision(session: Session, job_id: str) -> int:
    """The first revision: A, or the one behind all that were ever printed where a beginning was taken back."""
    query = select(ChangeRow.before).where(ChangeRow.table_name == "works", ChangeRow.row == job_id)
    images = session.scalars(query.where(ChangeRow.after.is_(None)))
    return max((json.loads(image)["last_revision"] for image in images if image), default=0) + 1


def _keep_from(job: Job) -> Fraction:
    return _KEEP_FROM[job.unit in {Unit.IN, Unit.FT}] if job.keep_from is None else job.keep_from


def _begun(title: str, sticks: int, taken: Taken) -> str:
    told = [f"{title or 'A plan'} taken in hand: {many(sticks, 'stick')} to saw"]
    if taken.expected:
        told.append(f"{len(taken.expected)} expected from the yard")
    if taken.reserved:
        told.append(f"reserved {names(taken.reserved)}")
    if taken.counted:
        told.append(f"own pieces with new labels {names(taken.counted)}")
    return ", ".join(told) + "."


# -- receiving ----------------------------------------------------------------------------------


def receive(desk: Desk, work_id: str, lines: Sequence[Received]) -> Told:
    """Note what came: all lines, or none and every reason why."""
    work = desk.work(work_id, opened=False)
    problems = [problem for line in lines for problem in _line_problems(desk, work, line)]
    numbers = [line.bar for line in lines]
    problems += [
        f"{name} stands in the list twice." for name in sorted({bar_name(n) for n in numbers if numbers.count(n) > 1})
    ]
    if not lines:
        problems.append("Nothing was said: name the bars that came.")
    if problems:
        raise NotPossibleError(problems)
    unit = desk.book(work_id).work.job.unit
    alike: dict[str, list[int]] = {}
    for line in lines:
        if words := _receive(desk, line, unit):
            alike.setdefault(words, []).append(line.bar)
    told = "; ".join(f"{bar_spans(numbers)} {words}" for words, numbers in alike.items())
    return Told(words=f"{work.title or 'Plan'}: {told or 'nothing has come yet'}.")


def _receive(desk: Desk, line: Received, unit: Unit) -> str:
    """Book what became of one bar; return it in words that several bars may share, empty where nothing did."""
    bar = desk.bar(line.bar)
    if line.came:
        bar.heat = line.heat.strip() or bar.heat
        come(desk, bar, line.length)
        measured = "" if line.length is None else f", {told_length(line.length, unit)}"
        return f"came{measured}{f', heat {bar.heat}' if bar.heat else ''}"
    if line.cancel:
        bar.state = BarState.CANCELLED.value
        return "called off"
    return ""


def come(desk: Desk, bar: BarRow, length: Fraction | None = None) -> None:
    """Take an expected bar into stock, for the stick it is meant for or else for anybody."""
    if length is not None:
        bar.length, bar.usable = fraction_text(length), None
    desk.journal.book((bar.section_name, bar.section_material), Account.BOUGHT, -fraction_of(bar.length))
    slot = desk.open_slot_of(bar.number)
    if slot is not None and slot.parts == "[]":
        slot.state, slot = SlotState.SAWN.value, None  # nothing is cut from it
    bar.state = (BarState.FREE if slot is None else BarState.RESERVED).value
    bar.work = None if slot is None else bar.work


def _line_problems(desk: Desk, work: WorkRow, line: Received) -> Iterator[str]:
    name = bar_name(line.bar)
    bar = desk.session.get(BarRow, line.bar)
    if bar is None or (bar.work != work.id and bar.state != BarState.FREE):
        yield f"{name} isn't expected for {work.title or 'this plan'}: look at its label again."
    elif bar.state != BarState.EXPECTED:
        yield f"{name} {_WHEN_NOT_EXPECTED[BarState(bar.state)]}."
    elif line.length is not None and not 0 < line.length <= LONGEST:
        yield f"{name} can't be {said(line.length)} long: write what the tape says."
    elif line.came and line.cancel:
        yield f"{name} can't both have come and be called off."
