"""Events at the saw: sticks sawn, parts spoilt, sticks that are short, another blade."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from sqlalchemy import select

from cutting.question.tape import told_length
from shared.store.desk.begin import come
from shared.store.desk.run import Desk, Told
from shared.store.desk.tables import ChangeRow, EntryRow, MadeRow, SlotRow, WorkRow
from shared.store.values import fraction_of, fraction_text
from shared.work.errors import NotPossibleError
from shared.work.rack.bars import Bar, BarState, Origin, bar_name
from shared.work.saw.ledger import Account
from shared.work.saw.sawing import Rest, measured_whole, rest_of, saw, shortage
from shared.work.saw.work import MadeState, Slot, SlotState, revision_mark
from shared.work.words import names

__all__ = ["blade", "short", "spoilt", "tick"]

_WIDEST = Fraction(50)


def tick(desk: Desk, work_id: str, slot_id: int, parts: int | None) -> Told:
    """Note that a stick was sawn, or so many of its parts."""
    work, row = desk.work(work_id), desk.slot(work_id, slot_id)
    _must_be_open(desk, work, row)
    slot, bar = _fetched(desk, row)
    whole = len(slot.cut.pieces)
    count = whole if parts is None else parts
    if not whole:
        raise NotPossibleError(f"{_where(slot)} has no parts to saw: it only has to be received.")
    if not slot.sawn < count <= whole:
        raise NotPossibleError(f"{_where(slot)} has {whole} parts, {slot.sawn} of them sawn already; {count} was said.")
    _must_suffice(work, replace(slot, cut=replace(slot.cut, pieces=slot.cut.pieces[:count])), bar)
    _saw_off(desk, work, row, count)
    if count < whole:
        return Told(words=f"{_where(slot)}: {count} of {whole} parts sawn.")
    drop = _finish(desk, work, row)
    left = f", drop {names([drop])} to the rack" if drop else ""
    return Told(words=f"{_where(slot)} sawn: {_marks(slot)}{left}.", bars=(drop,) if drop else ())


def spoilt(desk: Desk, work_id: str, slot_id: int, position: int, left: Fraction | None) -> Told:
    """Note that a part is spoilt; on a stick that isn't done yet sawing stops behind it."""
    work, row = desk.work(work_id), desk.slot(work_id, slot_id)
    slot, _ = desk.seen(row)
    if not 1 <= position <= len(slot.cut.pieces):
        raise NotPossibleError(f"{_where(slot)} has {len(slot.cut.pieces)} parts; {position} was said.")
    mark = slot.cut.pieces[position - 1].mark
    if position <= slot.sawn or slot.state is not SlotState.OPEN:
        _spoil_made(desk, work, row, position)
        if left is not None:
            raise NotPossibleError(f"{_where(slot)}: part {position} was sawn already, so nothing is left behind it.")
        return Told(words=f"{_where(slot)}: part {position} ({mark}) is spoilt.")
    _must_be_open(desk, work, row)
    slot, bar = _fetched(desk, row)
    _must_suffice(work, replace(slot, cut=replace(slot.cut, pieces=slot.cut.pieces[:position])), bar)
    _saw_off(desk, work, row, position)
    _spoil_made(desk, work, row, position)
    rest = _stop_here(desk, work, row, left)
    behind = f"; what is left is {names([rest])}" if rest else "; nothing worth keeping is left of the stick"
    return Told(words=f"{_where(slot)}: part {position} ({mark}) is spoilt{behind}.", bars=(rest,) if rest else ())


def short(desk: Desk, work_id: str, slot_id: int, length: Fraction) -> Told:
    """Note how long a stick really is, or what is left of one that was begun."""
    work, row = desk.work(work_id), desk.slot(work_id, slot_id)
    _must_be_open(desk, work, row)
    slot, bar = _fetched(desk, row)
    if length <= 0:
        raise NotPossibleError(
            f"{_where(slot)} can't be {told_length(length, slot.unit)} long: write what it measures."
        )
    whole = measured_whole(slot, fraction_of(work.kerf), length)
    target = desk.bar(slot.bar)
    target.length, target.usable = fraction_text(whole), None
    desk.journal.book(bar.section.key, Account.CORRECTED, bar.length - whole)
    what = "what is left" if slot.sawn else bar.name
    return Told(words=f"{_where(slot)}: {what} measures {told_length(length, slot.unit)}.")


def blade(desk: Desk, work_id: str, kerf: Fraction) -> Told:
    """Note what the blade takes from now on."""
    work = desk.work(work_id)
    unit = desk.book(work_id).work.job.unit
    if not 0 <= kerf <= _WIDEST:
        raise NotPossibleError(
            f"A blade can't take {told_length(kerf, unit)}: write 0 to {told_length(_WIDEST, unit)}."
        )
    if kerf == fraction_of(work.kerf):
        raise NotPossibleError(f"The blade takes {told_length(kerf, unit)} already.")
    work.kerf = fraction_text(kerf)
    return Told(words=f"{work.title or 'Plan'}: the blade now takes {told_length(kerf, unit)}.")


# -- what may be done ---------------------------------------------------------------------------


def _where(slot: Slot) -> str:
    return f"Layout {slot.number}, stick {slot.copy} ({bar_name(slot.bar)})"


def _marks(slot: Slot) -> str:
    return ", ".join(piece.mark for piece in slot.cut.pieces)


def _must_be_open(desk: Desk, work: WorkRow, row: SlotRow) -> None:
    where = f"Layout {row.number}, stick {row.copy}"
    if row.state == SlotState.VOID:
        raise NotPossibleError(
            f"{where} was replaced by revision {revision_mark(work.revision)}: throw that sheet away and saw by the "
            f"new one. Where it is sawn like that already: take the replan back, tick it, and plan anew."
        )
    if row.state == SlotState.SAWN:
        raise NotPossibleError(f"{where} was sawn already{_by_whom(desk, row)}.")
    if row.state == SlotState.STOPPED:
        raise NotPossibleError(f"{where} was given up: what is left of it is planned anew.")


def _by_whom(desk: Desk, row: SlotRow) -> str:
    """Say who told last that a stick was sawn; empty where nobody gave a name."""
    query = (
        select(EntryRow.who)
        .join(ChangeRow, ChangeRow.entry == EntryRow.id)
        .where(ChangeRow.table_name == SlotRow.__tablename__, ChangeRow.row == str(row.id))
        .where(EntryRow.undone_by.is_(None))
        .order_by(EntryRow.id.desc())
    )
    who = desk.session.scalars(query).first()
    return f" by {who}" if who else ""


def _fetched(desk: Desk, row: SlotRow) -> tuple[Slot, Bar]:
    """Return slot and steel; steel that is being sawn has come, whether somebody said so or not."""
    bar = desk.bar(row.bar)
    if bar.state == BarState.EXPECTED:
        come(desk, bar)
        desk.session.flush()
    if bar.state != BarState.RESERVED:
        raise NotPossibleError(
            f"Layout {row.number}, stick {row.copy}: {bar_name(row.bar)} isn't there, the books say ({bar.state}). "
            f"Correct that on the rack, or plan anew."
        )
    return desk.seen(row)


def _must_suffice(work: WorkRow, slot: Slot, bar: Bar) -> None:
    lack = shortage(slot, bar, fraction_of(work.kerf), counted=False)
    if lack > 0:
        raise NotPossibleError(
            f"{_where(slot)} is short by {told_length(lack, slot.unit)}, the books say: plan anew, "
            f"or say first what the stick really measures."
        )


# -- what is done -------------------------------------------------------------------------------


def _saw_off(desk: Desk, work: WorkRow, row: SlotRow, count: int) -> None:
    """Cut parts off the stick until so many are sawn."""
    slot, bar = desk.seen(row)
    cuts = saw(slot, bar, fraction_of(work.kerf), count)
    name, material = bar.section.key
    for position in range(slot.sawn + 1, count + 1):
        desk.session.add(
            MadeRow(
                work=work.id,
                mark=slot.cut.pieces[position - 1].mark,
                slot=slot.id,
                position=position,
                bar=bar.number,
                section_name=name,
                section_material=material,
                length=fraction_text(cuts.parts[position - slot.sawn - 1]),
                state=MadeState.GOOD.value,
                became=None,
                version=1,
            )
        )
    desk.journal.book(bar.section.key, Account.TRIM, cuts.trim)
    desk.journal.book(bar.section.key, Account.KERF, cuts.kerf)
    row.sawn, row.used, row.reached = count, fraction_text(cuts.used), fraction_text(cuts.reached)
    desk.lie_about(desk.bar(row.bar))
    desk.session.flush()


def _finish(desk: Desk, work: WorkRow, row: SlotRow) -> int | None:
    """End a stick that is all sawn; return the number of the drop that goes to the rack."""
    slot, bar = desk.seen(row)
    rest = rest_of(slot, bar, fraction_of(work.kerf))
    tail = _tail(slot, bar)
    key = bar.section.key
    desk.journal.book(key, Account.SCRAP, rest.wedge)
    drop = None
    if rest.length > tail and rest.counted_on >= fraction_of(work.keep_from):
        drop = _put_rest(desk, bar, rest, tail, None)
    else:
        _throw_away(desk, key, rest, tail)
    _done(desk, row, SlotState.SAWN)
    return drop


def _throw_away(desk: Desk, key: tuple[str, str], rest: Rest, tail: Fraction) -> None:
    """Book what is left as what would have been trimmed off it, and scrap."""
    trimmed = min(rest.length, tail)
    desk.journal.book(key, Account.TRIM, trimmed)
    desk.journal.book(key, Account.SCRAP, rest.length - trimmed)


def _stop_here(desk: Desk, work: WorkRow, row: SlotRow, left: Fraction | None) -> int | None:
    """End a stick behind a spoilt part; return the number of what is left, which stays with the work."""
    slot, bar = desk.seen(row)
    rest = rest_of(slot, bar, fraction_of(work.kerf))
    desk.journal.book(bar.section.key, Account.SCRAP, rest.wedge)
    if left is not None:
        if left < 0:
            raise NotPossibleError(f"{_where(slot)}: less than nothing can't be left; write what the rest measures.")
        if left > bar.length:
            whole, told = told_length(bar.length, slot.unit), told_length(left, slot.unit)
            raise NotPossibleError(f"{_where(slot)}: {told} can't be left of {whole}; write what the rest measures.")
        desk.journal.book(bar.section.key, Account.CORRECTED, rest.length - left)
        rest = replace(rest, length=left, counted_on=left)
    tail = _tail(slot, bar)
    number = _put_rest(desk, bar, rest, tail, work.id) if rest.length > tail else None
    if number is None:
        _throw_away(desk, bar.section.key, rest, tail)
    _done(desk, row, SlotState.SAWN if slot.sawn == len(slot.cut.pieces) else SlotState.STOPPED)
    return number


def _tail(slot: Slot, bar: Bar) -> Fraction:
    """What is to be trimmed off the raw end."""
    return slot.stick.trims[1] if bar.trims is None else bar.trims[1]


def _put_rest(desk: Desk, bar: Bar, rest: Rest, tail: Fraction, work: str | None) -> int:
    return desk.put(
        bar.section,
        rest.length,
        origin=Origin.DROP,
        state=BarState.FREE if work is None else BarState.RESERVED,
        work=work,
        parent=bar.number,
        usable=rest.counted_on,
        trims=(Fraction(0), min(tail, rest.length)),
        remark=bar.remark,
        heat=bar.heat,
    ).number


def _done(desk: Desk, row: SlotRow, state: SlotState) -> None:
    row.state, row.used = state.value, fraction_text(Fraction(0))
    desk.bar(row.bar).state = BarState.CUT.value
    desk.session.flush()


def _spoil_made(desk: Desk, work: WorkRow, row: SlotRow, position: int) -> None:
    """Make a part that was sawn a spoilt one."""
    found = next((each for each in _made_on(desk, row.id) if each.position == position), None)
    where = f"Layout {row.number}, stick {row.copy}"
    if found is None:
        _must_be_open(desk, work, row)
        raise NotPossibleError(f"{where}: part {position} was never sawn.")
    if found.state == MadeState.SPOILT:
        raise NotPossibleError(f"{where}: part {position} is spoilt already.")
    if found.state == MadeState.BACK:
        raise NotPossibleError(f"{where}: part {position} went to the rack as {bar_name(found.became or 0)}.")
    found.state = MadeState.SPOILT.value
    desk.journal.book((found.section_name, found.section_material), Account.SCRAP, fraction_of(found.length))
    desk.session.flush()


def _made_on(desk: Desk, slot_id: int) -> list[MadeRow]:
    """Return the parts made on a stick."""
    desk.session.flush()
    return list(desk.session.scalars(select(MadeRow).where(MadeRow.slot == slot_id).order_by(MadeRow.position)))
