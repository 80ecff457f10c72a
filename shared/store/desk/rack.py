"""Events of the rack: pieces put there, corrected, scrapped, lost and found, and the stock-take."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Final, TypeVar

from cutting.question.lengths import LONGEST
from shared.store.desk.run import Desk, Told
from shared.store.desk.stop import stop
from shared.store.desk.tables import BarRow
from shared.store.values import fraction_of, fraction_text, pair_of, pair_text, section_of, value_text
from shared.wording.plurals import many
from shared.work.errors import NotPossibleError, UnknownError
from shared.work.rack.bars import BarChanges, BarState, Counted, NewBar, Origin, bar_name
from shared.work.saw.ledger import Account
from shared.work.words import because, names, said

__all__ = ["add_bars", "correct", "found", "lost", "scrap", "stock_take"]

T = TypeVar("T")

_ON_RACK: Final = (BarState.FREE, BarState.RESERVED)
_FIELDS: Final = {"place": "place", "remark": "remark", "heat": "heat number"}
_STATES: Final = {
    BarState.EXPECTED: "hasn't come yet",
    BarState.FREE: "is free",
    BarState.RESERVED: "is reserved",
    BarState.CUT: "was cut up",
    BarState.SCRAP: "was scrapped",
    BarState.LOST: "wasn't found when stock was taken",
    BarState.CANCELLED: "never came",
}


def add_bars(desk: Desk, news: Sequence[NewBar]) -> Told:
    """Put pieces on the rack."""
    if not news:
        raise NotPossibleError("No pieces were given: write a section and a length for each.")
    _all_right(_new_problems, news)
    numbers = tuple(_put(desk, new) for new in news)
    return Told(words=f"{many(len(numbers), 'piece')} put on the rack: {names(numbers)}.", bars=numbers)


def correct(desk: Desk, number: int, changes: BarChanges, words: str) -> Told:
    """Correct what the books say about a piece."""
    bar = desk.bar(number)
    _all_right(lambda each: _change_problems(desk, bar, each), [changes])
    told = list(_change(bar, changes))
    if not told:
        raise NotPossibleError(f"Nothing about {bar_name(number)} is different from the books.")
    desk.balance_with(Account.CORRECTED)
    return Told(words=f"{bar_name(number)} corrected: {', '.join(told)}{because(words)}.")


def scrap(desk: Desk, number: int, words: str) -> Told:
    """Throw a free piece away."""
    bar = desk.bar(number)
    if bar.state == BarState.RESERVED:
        holder = desk.work(str(bar.work), opened=False).title
        raise NotPossibleError(f"{bar_name(number)} is reserved for {holder}: plan that anew without it first.")
    _must_be(bar, (BarState.FREE,), "scrapped")
    desk.journal.book((bar.section_name, bar.section_material), Account.SCRAP, fraction_of(bar.length))
    bar.state = BarState.SCRAP.value
    return Told(words=f"{bar_name(number)} scrapped{because(words)}.")


def lost(desk: Desk, number: int, words: str) -> Told:
    """Note that a piece isn't where it should be."""
    bar = desk.bar(number)
    _all_right(_lost_problems, [bar])
    _lose(desk, bar)
    return Told(words=f"{bar_name(number)} wasn't found{because(words)}.")


def found(desk: Desk, number: int, words: str) -> Told:
    """Note that a lost piece is there after all."""
    bar = desk.bar(number)
    _must_be(bar, (BarState.LOST,), "found again")
    _find(desk, bar)
    return Told(words=f"{bar_name(number)} was found again{because(words)}.")


def stock_take(desk: Desk, lines: Sequence[Counted]) -> Told:
    """Take over what was found different when the rack was gone through: all of it, or nothing and every reason."""
    _all_right(lambda line: _line_problems(desk, line), lines)
    twice = sorted({line.number for line in lines if line.number and sum(o.number == line.number for o in lines) > 1})
    if twice:
        raise NotPossibleError([f"{bar_name(number)} stands in the list twice." for number in twice])
    numbers = tuple(number for line in lines if (number := _take(desk, line)) is not None)
    desk.balance_with(Account.CORRECTED)
    return Told(words=_stock_words(lines, numbers), bars=numbers)


def _take(desk: Desk, line: Counted) -> int | None:
    """Take over one line; return the number of a new piece."""
    if line.number is None:
        assert line.new is not None
        return _put(desk, line.new)
    bar = desk.bar(line.number)
    if not line.found:
        _lose(desk, bar)
        return None
    if bar.state == BarState.LOST:
        _find(desk, bar)
    list(_change(bar, line.changes))
    return None


def _put(desk: Desk, new: NewBar) -> int:
    bar = desk.put(
        new.section,
        new.length,
        origin=Origin.COUNTED,
        state=BarState.FREE,
        trims=new.trims,
        place=new.place,
        remark=new.remark,
        heat=new.heat,
    )
    desk.journal.book(new.section.key, Account.COUNTED, -new.length)
    return bar.number


def _lose(desk: Desk, bar: BarRow) -> None:
    slot = desk.open_slot_of(bar.number)
    if slot is not None and slot.sawn:
        stop(desk, slot)
    desk.journal.book((bar.section_name, bar.section_material), Account.LOST, fraction_of(bar.length))
    bar.state = BarState.LOST.value


def _find(desk: Desk, bar: BarRow) -> None:
    """Put a lost piece back, for the work that still counts on it."""
    desk.journal.book((bar.section_name, bar.section_material), Account.LOST, -fraction_of(bar.length))
    wanted = desk.open_slot_of(bar.number) is not None
    bar.state = (BarState.RESERVED if wanted else BarState.FREE).value
    bar.work = bar.work if wanted else None


def _change(bar: BarRow, changes: BarChanges) -> Iterator[str]:
    """Alter a bar's row; say what was altered."""
    old = section_of(bar.section)
    if changes.section is not None and changes.section != old:
        bar.section_name, bar.section_material = changes.section.key
        bar.section = value_text(changes.section)
        yield f"{changes.section.label} instead of {old.label}"
    if changes.length is not None and (fraction_of(bar.length) != changes.length or bar.usable is not None):
        was = fraction_of(bar.length)
        bar.length, bar.usable = fraction_text(changes.length), None
        yield f"{said(changes.length)} instead of {said(was)}"
    if changes.trims is not None and pair_text(changes.trims) != bar.trims:
        bar.trims = pair_text(changes.trims)
        yield "other end trims"
    for field in ("place", "remark", "heat"):
        value = getattr(changes, field)
        if value is not None and value != getattr(bar, field):
            setattr(bar, field, value)
            yield f"{_FIELDS[field]} {value}" if value else f"no {_FIELDS[field]}"


# -- what speaks against it ---------------------------------------------------------------------


def _all_right(problems: Callable[[T], Iterator[str]], lines: Sequence[T]) -> None:
    """Refuse everything where anything is wrong, and say all of it."""
    many = len(lines) > 1
    found = [
        f"Line {number}: {problem}" if many else problem
        for number, line in enumerate(lines, start=1)
        for problem in problems(line)
    ]
    if found:
        raise NotPossibleError(found)


def _length_problems(length: Fraction, trims: tuple[Fraction, Fraction] | None) -> Iterator[str]:
    shown = said(length)
    if not 0 < length <= LONGEST:
        yield f"A piece can't be {shown} long: write what the tape says, above 0."
    elif trims is not None and (min(trims) < 0 or sum(trims) >= length):
        yield f"End trims must be 0 or more, and together leave something of {shown}."


def _new_problems(new: NewBar) -> Iterator[str]:
    if not new.section.name.strip():
        yield "A piece needs a section, such as SHS 2x2x1/8."
    yield from _length_problems(new.length, new.trims)


def _change_problems(desk: Desk, bar: BarRow, changes: BarChanges) -> Iterator[str]:
    name = bar_name(bar.number)
    if bar.state not in _ON_RACK:
        yield f"{name} isn't on the rack ({_STATES[BarState(bar.state)]}), so nothing about it can be corrected."
        return
    yield from _altered(desk, bar, changes)


def _altered(desk: Desk, bar: BarRow, changes: BarChanges) -> Iterator[str]:
    name = bar_name(bar.number)
    slot = desk.open_slot_of(bar.number)
    other = changes.section is not None and changes.section.key != (bar.section_name, bar.section_material)
    if other and slot is not None:
        holder = desk.work(slot.work, opened=False).title
        yield f"{name} is planned for {holder} as {bar.section_name}: plan that anew before you change its section."
    if changes.length is not None and slot is not None and slot.sawn:
        yield f"{name} is being sawn: say at its layout ({slot.number}) how much of it is left."
    length = changes.length or fraction_of(bar.length)
    yield from _length_problems(length, changes.trims or pair_of(bar.trims))


def _lost_problems(bar: BarRow) -> Iterator[str]:
    if bar.state not in _ON_RACK:
        yield f"{bar_name(bar.number)} isn't on the rack anyway: it {_STATES[BarState(bar.state)]}."


def _line_problems(desk: Desk, line: Counted) -> Iterator[str]:
    if line.number is None:
        if line.new is None:
            yield "Neither a label number nor a new piece: write one of them."
        else:
            yield from _new_problems(line.new)
        return
    try:
        bar = desk.bar(line.number)
    except UnknownError as error:
        yield str(error)
        return
    if not line.found:
        yield from _lost_problems(bar)
    elif bar.state == BarState.LOST:
        yield from _altered(desk, bar, line.changes)
    else:
        yield from _change_problems(desk, bar, line.changes)


def _must_be(bar: BarRow, states: Sequence[BarState], done: str) -> None:
    if bar.state not in states:
        raise NotPossibleError(f"{bar_name(bar.number)} can't be {done}: it {_STATES[BarState(bar.state)]}.")


# -- words --------------------------------------------------------------------------------------


def _stock_words(lines: Sequence[Counted], new: Sequence[int]) -> str:
    gone = [line.number for line in lines if line.number is not None and not line.found]
    told = [f"{many(len(lines), 'piece')} looked at"]
    if gone:
        told.append(f"not found: {names(gone)}")
    if new:
        told.append(f"new: {names(new)}")
    return f"Stock taken, {'; '.join(told)}."
