"""Leave a stick as it is: what was cut from it stays cut, the rest stands in the books by its own length."""

from __future__ import annotations

from fractions import Fraction

from sqlalchemy import select

from shared.store.desk.run import Desk
from shared.store.desk.tables import BarRow, SlotRow
from shared.store.values import fraction_of, fraction_text, pair_text
from shared.work.rack.bars import BarState
from shared.work.saw.ledger import Account
from shared.work.saw.sawing import rest_of
from shared.work.saw.work import SlotState

__all__ = ["let_go", "stop"]


def stop(desk: Desk, row: SlotRow) -> None:
    """Give an open slot up. A stick that was begun keeps its number and gets the length of what is left."""
    if row.sawn:
        slot, bar = desk.seen(row)
        kerf = fraction_of(desk.work(row.work, opened=False).kerf)
        rest = rest_of(slot, bar, kerf)
        desk.journal.book(bar.section.key, Account.SCRAP, rest.wedge)
        _shorten(desk.bar(row.bar), rest.length, rest.counted_on, slot.stick.trims[1])
        row.used = fraction_text(Fraction(0))
    row.state = (SlotState.STOPPED if row.sawn else SlotState.VOID).value
    desk.session.flush()


def _shorten(bar: BarRow, length: Fraction, counted_on: Fraction, trim: Fraction) -> None:
    bar.length = fraction_text(length)
    bar.usable = None if counted_on == length else fraction_text(counted_on)
    bar.trims = pair_text((Fraction(0), min(trim, length)))
    if not length:
        bar.state = BarState.CUT.value


def let_go(desk: Desk, bar: BarRow, keep_from: Fraction) -> None:
    """Put a reserved bar that nobody needs any more on the rack, or, a remnant not worth a label, to the scrap."""
    if fraction_of(bar.usable or bar.length) >= keep_from or not _is_remnant(desk, bar):
        bar.state, bar.work = BarState.FREE.value, None
        return
    desk.journal.book((bar.section_name, bar.section_material), Account.SCRAP, fraction_of(bar.length))
    bar.state = BarState.SCRAP.value


def _is_remnant(desk: Desk, bar: BarRow) -> bool:
    """Whether a bar is what sawing for its work left, and not a piece that lay on the rack before."""
    begun = select(SlotRow.id).where(
        SlotRow.work == bar.work, SlotRow.bar.in_([bar.number, bar.parent]), SlotRow.sawn > 0
    )
    return desk.session.scalar(begun.limit(1)) is not None
