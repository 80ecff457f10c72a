"""From rows of the shop's tables to the values that everybody else sees."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from cutting.question.job import Job
from cutting.question.lengths import Unit
from shared.files.job import read_job
from shared.store.desk.tables import BarRow, MadeRow, RevisionRow, SlotRow, WorkRow
from shared.store.records import moment
from shared.store.values import cut_of, fraction_of, pair_of, parts_of, section_of, stick_of
from shared.work.rack.bars import Bar, BarState, Origin
from shared.work.saw.work import Made, MadeState, PlanInHand, Revision, Slot, SlotState, WorkState

__all__ = ["bar_of", "job_of", "made_of", "revision_of", "slot_of", "work_of"]


@lru_cache(maxsize=64)
def job_of(document: bytes) -> Job:
    """Read a job file that the store holds; raises ValueError where it holds what is none."""
    job, problems = read_job(document)
    if job is None:
        raise ValueError("; ".join(f"{each.where}: {each.message}" for each in problems))
    return job


def bar_of(row: BarRow) -> Bar:
    """Return a bar."""
    return Bar(
        number=row.number,
        section=section_of(row.section),
        length=fraction_of(row.length),
        usable=None if row.usable is None else fraction_of(row.usable),
        trims=pair_of(row.trims),
        place=row.place,
        remark=row.remark,
        heat=row.heat,
        origin=Origin(row.origin),
        parent=row.parent,
        state=BarState(row.state),
        work=row.work,
        made=moment(row.made),
        version=row.version,
    )


def work_of(row: WorkRow) -> PlanInHand:
    """Return a work."""
    job = job_of(row.document)
    kerf = fraction_of(row.kerf)
    return PlanInHand(
        id=row.id,
        title=row.title,
        state=WorkState(row.state),
        revision=row.revision,
        kerf=kerf,
        keep_from=fraction_of(row.keep_from),
        job=replace(job, saw=replace(job.saw, kerf=kerf)),
        document=row.document,
        version=row.version,
        made=moment(row.made),
    )


def revision_of(row: RevisionRow) -> Revision:
    """Return a revision."""
    return Revision(
        work=row.work,
        number=row.number,
        document=row.document,
        plan=row.plan,
        reason=row.reason,
        made=moment(row.made),
    )


def slot_of(row: SlotRow) -> Slot:
    """Return a slot."""
    return Slot(
        id=row.id,
        work=row.work,
        number=row.number,
        copy=row.copy,
        revision=row.revision,
        cut=cut_of(row.cut),
        stick=stick_of(row.stick),
        parts=parts_of(row.parts),
        kerf=fraction_of(row.kerf),
        unit=Unit(row.unit),
        bar=row.bar,
        state=SlotState(row.state),
        sawn=row.sawn,
        used=fraction_of(row.used),
        reached=fraction_of(row.reached),
    )


def made_of(row: MadeRow) -> Made:
    """Return a part made."""
    return Made(
        id=row.id,
        work=row.work,
        mark=row.mark,
        slot=row.slot,
        position=row.position,
        bar=row.bar,
        length=fraction_of(row.length),
        state=MadeState(row.state),
        became=row.became,
    )
