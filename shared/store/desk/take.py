"""Steel for planned sticks: own pieces are reserved, what is bought is expected; all of it or none."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from cutting.question.job import Job, Source
from cutting.question.tape import told_length
from shared.store.desk.rows import bar_of
from shared.store.desk.run import Desk
from shared.store.desk.tables import BarRow, SlotRow, WorkRow
from shared.store.values import fraction_text, value_text
from shared.work.errors import TakenError
from shared.work.rack.bars import BarState, Origin, bar_name, parse_bar_name
from shared.work.saw.lay import Laid
from shared.work.saw.ledger import Account
from shared.work.saw.sawing import shortage
from shared.work.saw.work import Slot, SlotState

__all__ = ["Taken", "take"]

_OWN = frozenset({BarState.RESERVED, BarState.EXPECTED})


@dataclass(kw_only=True, slots=True)
class Taken:
    """What sticks were given.

    Attributes
    ----------
    reserved : list of int
        Own pieces.
    expected : list of int
        Bars to be bought.
    counted : list of int
        Own pieces that weren't in the books before.
    """

    reserved: list[int] = field(default_factory=list)
    expected: list[int] = field(default_factory=list)
    counted: list[int] = field(default_factory=list)

    @property
    def new(self) -> tuple[int, ...]:
        """Bars that came into the books."""
        return tuple(sorted((*self.expected, *self.counted)))


def take(desk: Desk, work: WorkRow, job: Job, laid: Iterable[Laid]) -> Taken:
    """Give each stick its steel and write its slot.

    Parameters
    ----------
    desk : Desk
        Of the event.
    work : WorkRow
        For which; its revision is the one in which the sticks were planned.
    job : Job
        In which they were planned.
    laid : iterable of Laid
        The sticks.

    Raises
    ------
    TakenError
        Own pieces can't be had: a sentence for each.
    """
    taken = Taken()
    reasons: list[str] = []
    for each in laid:
        number = parse_bar_name(each.stick.id) if each.stick.source is Source.OWN else None
        if number is None:
            bar = _new(desk, work, each, taken)
        else:
            reason = _why_not(desk, work, job, each, number)
            if reason:
                reasons.append(reason)
                continue
            bar = _reserve(desk, work, number, taken)
        desk.session.add(_slot(work, job, each, bar.number))
    if reasons:
        raise TakenError(reasons)
    desk.session.flush()
    return taken


def _new(desk: Desk, work: WorkRow, laid: Laid, taken: Taken) -> BarRow:
    """Expect a bar that is bought, or count an own piece that has no label yet."""
    bought = laid.stick.source is not Source.OWN
    bar = desk.put(
        laid.stick.section,
        laid.cut.length,
        origin=Origin.BOUGHT if bought else Origin.COUNTED,
        state=BarState.EXPECTED if bought else BarState.RESERVED,
        work=work.id,
        usable=laid.stick.usable,
        trims=laid.stick.trims,
        remark="" if bought else f"{laid.stick.id} in the job",
    )
    (taken.expected if bought else taken.counted).append(bar.number)
    if not bought:
        desk.journal.book(laid.stick.section.key, Account.COUNTED, -laid.cut.length)
    return bar


def _reserve(desk: Desk, work: WorkRow, number: int, taken: Taken) -> BarRow:
    bar = desk.bar(number)
    if bar.state == BarState.FREE:
        bar.state, bar.work = BarState.RESERVED.value, work.id
    taken.reserved.append(number)
    return bar


def _why_not(desk: Desk, work: WorkRow, job: Job, laid: Laid, number: int) -> str:
    """Why an own piece can't be had for a stick; empty where it can."""
    name = bar_name(number)
    row = desk.session.get(BarRow, number)
    if row is None:
        return f"{name} isn't in the books: put it on the rack first, or give your own piece another name."
    bar = bar_of(row)
    if bar.state is BarState.RESERVED and bar.work != work.id:
        return f"{name} is reserved for {_holder(desk, bar.work)} now."
    if not (bar.state is BarState.FREE or (bar.state in _OWN and bar.work == work.id)):
        return f"{name} can't be had any more: it is {bar.state}."
    if bar.section.key != laid.stick.section.key:
        return f"{name} is {bar.section.label}, and the plan takes it for {laid.stick.section.label}."
    if desk.open_slot_of(number) is not None:
        return f"{name} is planned for another layout of this work already."
    lack = shortage(_as_slot(work, job, laid, number), bar, job.saw.kerf)
    return f"{name} is {told_length(lack, job.unit)} shorter than the plan needs it." if lack > 0 else ""


def _holder(desk: Desk, work_id: str | None) -> str:
    other = desk.session.get(WorkRow, work_id)
    return "another plan" if other is None or not other.title else other.title


def _as_slot(work: WorkRow, job: Job, laid: Laid, number: int) -> Slot:
    return Slot(
        id=0,
        work=work.id,
        number=laid.number,
        copy=laid.copy,
        revision=work.revision,
        cut=laid.cut,
        stick=laid.stick,
        parts=laid.parts,
        kerf=job.saw.kerf,
        unit=job.unit,
        bar=number,
    )


def _slot(work: WorkRow, job: Job, laid: Laid, number: int) -> SlotRow:
    name, material = laid.cut.section.key
    return SlotRow(
        work=work.id,
        number=laid.number,
        copy=laid.copy,
        revision=work.revision,
        cut=value_text(laid.cut),
        stick=value_text(laid.stick),
        parts=value_text(laid.parts),
        kerf=fraction_text(job.saw.kerf),
        unit=job.unit.value,
        section_name=name,
        section_material=material,
        bar=number,
        state=SlotState.OPEN.value,
        sawn=0,
        used=fraction_text(Fraction(0)),
        reached=fraction_text(Fraction(0)),
        version=1,
    )
