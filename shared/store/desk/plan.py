"""What changes a work as a whole: another parts list, another plan for the rest, its end."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from sqlalchemy import select

from shared.files.job import Format, read_job, write_job
from shared.files.plan import write_plan
from shared.store.desk.run import Desk, Told
from shared.store.desk.stop import let_go, stop
from shared.store.desk.tables import BarRow, MadeRow, RevisionRow, SlotRow, WorkRow
from shared.store.desk.take import Taken, take
from shared.store.values import fraction_of
from shared.wording.plurals import many
from shared.work.errors import NotPossibleError, StaleError, UnknownError
from shared.work.rack.bars import BarState, Origin, bar_name
from shared.work.saw.lay import lay
from shared.work.saw.ledger import Account
from shared.work.saw.needs import needed, same_piece, sawn_part
from shared.work.saw.work import Made, MadeState, SlotState, WorkBook, WorkState, revision_mark
from shared.work.words import names

if TYPE_CHECKING:
    from shared.work.replan.anew import Replanned

__all__ = ["accept", "drop", "finish", "revise", "surplus_to_rack"]


def revise(desk: Desk, work_id: str, document: bytes) -> Told:
    """Put another parts list in force; what was made and isn't asked for any more is surplus."""
    work = desk.work(work_id)
    job, problems = read_job(document)
    if job is None:
        raise NotPossibleError([f"{each.where}: {each.message}" for each in problems])
    if document == work.document:
        raise NotPossibleError("This is the parts list that is in force already.")
    work.document = document
    desk.session.flush()
    book = desk.book(work_id)
    states = _sorted_out(book)
    for made_id, state in states.items():
        desk.session.get_one(MadeRow, made_id).state = state.value
    surplus = sum(state is MadeState.SURPLUS for state in states.values())
    wanted = sum(state is MadeState.GOOD for state in states.values())
    told = [f"{work.title or 'Plan'}: a new parts list is in force"]
    if surplus:
        told.append(f"{many(surplus, 'part')} made for nothing")
    if wanted:
        told.append(f"{many(wanted, 'part')} made before wanted again")
    return Told(words=", ".join(told) + ".")


def _sorted_out(book: WorkBook) -> dict[int, MadeState]:
    """Which parts made become surplus or good by the list in force."""
    asked = {part.mark: part for part in book.work.job.parts}
    counted: Counter[str] = Counter()
    changed: dict[int, MadeState] = {}
    for made in book.made:
        if made.state not in {MadeState.GOOD, MadeState.SURPLUS}:
            continue
        part = asked.get(made.mark)
        serves = part is not None and same_piece(sawn_part(book, made), part) and counted[made.mark] < part.quantity
        counted[made.mark] += serves
        state = MadeState.GOOD if serves else MadeState.SURPLUS
        if state is not made.state:
            changed[made.id] = state
    return changed


def surplus_to_rack(desk: Desk, work_id: str, made_ids: Sequence[int]) -> Told:
    """Put parts that were cut for nothing on the rack."""
    work = desk.work(work_id, opened=False)
    book = desk.book(work_id)
    known = {made.id: made for made in book.made}
    reasons = [reason for made_id in made_ids if (reason := _not_surplus(book, known.get(made_id)))]
    if len(set(made_ids)) < len(made_ids) or not made_ids:
        reasons.append("Name each part once, and at least one.")
    if reasons:
        raise NotPossibleError(reasons)
    numbers = tuple(_as_bar(desk, book, known[made_id]) for made_id in made_ids)
    marks = ", ".join(known[made_id].mark for made_id in made_ids)
    return Told(
        words=f"{work.title or 'Plan'}: {marks}, cut for nothing, on the rack as {names(numbers)}.", bars=numbers
    )


def _not_surplus(book: WorkBook, made: Made | None) -> str:
    if made is None:
        raise UnknownError("One of these parts was never made: load the page again.")
    if made.state is not MadeState.SURPLUS:
        return f"{made.mark} from {bar_name(made.bar)} isn't surplus, it is {made.state}."
    if _relied_on(book, made) <= 0:
        return f"{made.mark} from {bar_name(made.bar)} has no square length between its angled ends: scrap."
    return ""


def _relied_on(book: WorkBook, made: Made) -> Fraction:
    """Length of a part between its short points."""
    slot = next(slot for slot in book.slots if slot.id == made.slot)
    lie = slot.cut.pieces[made.position - 1].lie
    return made.length if lie is None else min(lie.lengths)


def _as_bar(desk: Desk, book: WorkBook, made: Made) -> int:
    source, length = book.bar(made.bar), _relied_on(book, made)
    row = desk.session.get_one(MadeRow, made.id)
    section = sawn_part(book, made).section
    bar = desk.put(
        section,
        length,
        origin=Origin.PART,
        state=BarState.FREE,
        parent=made.bar,
        trims=(Fraction(0), Fraction(0)),
        remark=f"was cut as {made.mark}",
        heat=source.heat,
    )
    row.state, row.became = MadeState.BACK.value, bar.number
    desk.journal.book(section.key, Account.SCRAP, made.length - length)
    return bar.number


# -- another plan for the rest ------------------------------------------------------------------


def accept(desk: Desk, work_id: str, proposal: Replanned, version: int) -> Told:
    """Put a proposal in force as the next revision."""
    work = desk.work(work_id)
    _must_be_fresh(work, proposal, version)
    for slot_id in proposal.void:
        row = desk.slot(work_id, slot_id)
        if row.state != SlotState.OPEN:
            raise StaleError(f"Layout {row.number}, stick {row.copy} isn't open any more: plan anew.")
        stop(desk, row)
    work.last_revision += 1
    work.revision = work.last_revision
    taken = _lay_anew(desk, work, proposal)
    desk.session.flush()
    _release(desk, work)
    return Told(words=_accepted(work, proposal, taken), bars=taken.new)


def _must_be_fresh(work: WorkRow, proposal: Replanned, version: int) -> None:
    if work.version != version or proposal.version != version or proposal.work != work.id:
        raise StaleError(f"{work.title or 'This plan'} has changed since that was proposed: plan the rest anew.")
    if proposal.reasons:
        raise NotPossibleError(proposal.reasons)
    if not (proposal.void or proposal.used or proposal.freed or proposal.plan):
        raise NotPossibleError("Nothing would change: the plan in force does.")


def _lay_anew(desk: Desk, work: WorkRow, proposal: Replanned) -> Taken:
    """Write the new layouts and the revision."""
    job, result = proposal.job, proposal.result
    taken, document, written = Taken(), b"", b""
    if job is not None and result is not None and result.plan is not None:
        laid = lay(job, result.plan, work.last_number + 1)
        taken = take(desk, work, job, laid)
        work.last_number = max((each.number for each in laid), default=work.last_number)
        document, written = write_job(job, Format.JSON), write_plan(job, result)
    desk.session.add(
        RevisionRow(
            work=work.id,
            number=work.revision,
            document=document,
            plan=written,
            reason=" ".join(proposal.words),
            made=desk.now,
        )
    )
    return taken


def _held(desk: Desk, work: WorkRow, state: BarState) -> list[BarRow]:
    query = select(BarRow).where(BarRow.work == work.id, BarRow.state == state.value).order_by(BarRow.number)
    return list(desk.session.scalars(query))


def _release(desk: Desk, work: WorkRow) -> list[int]:
    """Let go of every reserved bar that lies in no open slot."""
    free = [bar for bar in _held(desk, work, BarState.RESERVED) if desk.open_slot_of(bar.number) is None]
    for bar in free:
        let_go(desk, bar, fraction_of(work.keep_from))
    return [bar.number for bar in free]


def _accepted(work: WorkRow, proposal: Replanned, taken: Taken) -> str:
    told = [f"{work.title or 'Plan'}: revision {revision_mark(work.revision)} is in force"]
    if proposal.void:
        told.append(f"{many(len(proposal.void), 'stick')} planned anew")
    if taken.expected:
        told.append(f"{len(taken.expected)} to be bought")
    return ", ".join(told) + "."


# -- the end ------------------------------------------------------------------------------------


def drop(desk: Desk, work_id: str, *, call_off: bool) -> Told:
    """Give a work up: what it reserved is free; what is expected still comes, or is called off."""
    work = desk.work(work_id)
    for row in _open_slots(desk, work):
        stop(desk, row)
    freed = _release(desk, work)
    expected = _held(desk, work, BarState.EXPECTED)
    if call_off:
        for bar in expected:
            bar.state = BarState.CANCELLED.value
    work.state = WorkState.DROPPED.value
    told = [f"{work.title or 'Plan'} dropped"]
    if freed:
        told.append(f"no longer reserved: {names(freed)}")
    if expected:
        told.append(f"{'called off' if call_off else 'still expected'}: {names(bar.number for bar in expected)}")
    return Told(words="; ".join(told) + ".")


def finish(desk: Desk, work_id: str) -> Told:
    """End a work that is all made."""
    work = desk.work(work_id)
    book = desk.book(work_id)
    reasons = [
        f"Layout {slot.number}, stick {slot.copy} ({bar_name(slot.bar)}) isn't sawn yet."
        for slot in book.slots
        if slot.left
    ]
    reasons += [f"{count} of {mark} still to be made." for mark, count in needed(book).items() if count]
    if reasons:
        raise NotPossibleError([*reasons, "Saw or plan that first, or drop the plan."])
    freed = _release(desk, work)
    work.state = WorkState.DONE.value
    return Told(words=f"{work.title or 'Plan'} is finished{f'; on the rack again: {names(freed)}' if freed else ''}.")


def _open_slots(desk: Desk, work: WorkRow) -> list[SlotRow]:
    query = select(SlotRow).where(SlotRow.work == work.id, SlotRow.state == SlotState.OPEN.value).order_by(SlotRow.id)
    return list(desk.session.scalars(query))
