"""How paper names bars: their numbers in a row, their heat numbers, what was measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from cutting.question.lengths import Unit
from shared.wording.tape import Tape, is_plain
from shared.work.rack.bars import Bar, BarState
from shared.work.rack.measures import unit_of_bar
from shared.work.saw.work import Slot, SlotState, WorkBook

__all__ = ["HEAT_BLANK", "bar_tape", "bar_text", "drop_of", "heats_kept", "length_text", "stick_name"]

HEAT_BLANK: Final = "heat ____________"
"""Where a heat number is still to be written down."""


def stick_name(slot: Slot) -> str:
    """Name one stick of a plan in hand: ``3.2`` is the second stick of layout 3, for good."""
    return f"{slot.number}.{slot.copy}"


def heats_kept(book: WorkBook) -> bool:
    """Whether heat numbers are written down in this work at all, so that a missing one is worth a blank."""
    return any(book.bar(slot.bar).heat for slot in book.slots)


def bar_text(book: WorkBook, slot: Slot, tape: Tape) -> str:
    """Say which bar a stick is, and what is known of it: ``D17, heat 48213, measured 239 3/4 in``."""
    return ", ".join(_about(book, slot, tape))


def _about(book: WorkBook, slot: Slot, tape: Tape) -> Iterator[str]:
    bar = book.bar(slot.bar)
    yield bar.name
    if bar.heat:
        yield f"heat {bar.heat}"
    elif heats_kept(book):
        yield HEAT_BLANK
    if bar.length != slot.cut.length:
        yield f"measured {tape.text(bar.length)}"
    if slot.state is SlotState.OPEN and not slot.sawn:
        if bar.state is BarState.EXPECTED:
            yield "not come yet"
        elif bar.place:
            yield bar.place
    drop = drop_of(book, slot)
    if drop is not None:
        yield f"left {drop.name}"


def drop_of(book: WorkBook, slot: Slot) -> Bar | None:
    """Return the bar that was left of a stick when it was sawn or given up; None where none was kept."""
    if slot.state is SlotState.OPEN:
        return None
    made = {each.became for each in book.made if each.became is not None}
    left = (bar for bar in book.bars if bar.parent == slot.bar and bar.number not in made)
    return next(left, None)


def bar_tape(bar: Bar, usual: Unit) -> Tape:
    """Return how a bar's lengths are written: in its own unit, and in the other system too where one isn't plain."""
    unit = unit_of_bar(bar, usual)
    if is_plain(bar.length, unit) and is_plain(bar.counted_on, unit):
        return Tape(unit=unit)
    return Tape(unit=unit, other=Unit.MM if unit is Unit.IN else Unit.IN)


def length_text(bar: Bar, tape: Tape) -> str:
    """Write a bar's length; where nobody has measured it and it may be short, how much can be counted on."""
    if bar.usable is None or bar.usable == bar.length:
        return tape.text(bar.length)
    return f"{tape.text(bar.length)}, at least {tape.text(bar.usable)}"
