"""Read the rack's list back: what is new, what is different, what was found or not, and everything that is wrong.

The same reading serves an import and a stock-take; only the latter's list has the columns ``there?`` and ``measured``.
Nothing is taken unless the whole list is right.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from cutting.question.tape import told_length
from shared.work.rack.bars import Bar, BarChanges, BarState, Counted, NewBar, bar_name
from shared.work.rack.cells import CellError, answer_of, label_of
from shared.work.rack.columns import Col
from shared.work.rack.fields import UNCHANGED, Fields
from shared.work.rack.measures import unit_of_bar, unit_of_steel, usual_unit
from shared.work.rack.rows import RackRow, RackSheet, read_rack_sheet

__all__ = ["RackList", "read_rack_list", "say_new"]


@dataclass(frozen=True, kw_only=True, slots=True)
class RackList:
    """A list of the rack as understood.

    Attributes
    ----------
    lines : tuple of Counted
        What is to be done, in the order of the list: new pieces, changes, pieces found or not.
    words : tuple of str
        The same for people, one line for each that changes something.
    same : int
        Pieces that are as the books have them.
    unseen : int
        Pieces of a stock-take list beside which nothing is written.
    """

    lines: tuple[Counted, ...]
    words: tuple[str, ...]
    same: int
    unseen: int


def read_rack_list(
    data: bytes, bars: Sequence[Bar], *, unit: Unit | None = None, as_new: bool = False
) -> tuple[RackList | None, tuple[Problem, ...]]:
    """Read a list against the books.

    Parameters
    ----------
    data : bytes
        CSV, xlsx or ods, as `shared.work.rack.exchange` writes it or made by hand with such headings.
    bars : sequence of Bar
        Everything on the books, whatever has become of it.
    unit : Unit or None
        What a bare length means where the list doesn't say; None to ask.
    as_new : bool
        Take every row for a piece that isn't in the books, its label being another shop's.

    Returns
    -------
    tuple of (RackList or None, tuple of Problem)
        Every problem at once, by row and column; a list only where there is none.
    """
    sheet, problems = read_rack_sheet(data)
    if sheet is None:
        return None, problems
    reading = _Reading(
        bars={bar.number: bar for bar in bars},
        sheet=sheet,
        unit=unit,
        usual=usual_unit(bars),
        as_new=as_new,
        counting=any(Col.THERE in row.cells for row in sheet.rows),
        problems=list(problems),
    )
    for row in sheet.rows:
        reading.read(row)
    if reading.problems:
        return None, tuple(reading.problems)
    lines, words = tuple(reading.lines), tuple(reading.words)
    return RackList(lines=lines, words=words, same=reading.same, unseen=reading.unseen), ()


def say_new(new: NewBar, usual: Unit) -> str:
    """Write a piece that isn't in the books yet: section, length, place, remark, heat."""
    unit = unit_of_steel(new.section, new.length, usual)
    heat = f"heat {new.heat}" if new.heat else ""
    said = (new.section.label, told_length(new.length, unit), new.place, new.remark, heat)
    return ", ".join(text for text in said if text)


@dataclass(kw_only=True, slots=True)
class _Reading:
    """One list being read."""

    bars: Mapping[int, Bar]
    sheet: RackSheet
    unit: Unit | None
    usual: Unit
    as_new: bool
    counting: bool
    problems: list[Problem]
    lines: list[Counted] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    seen: dict[int, int] = field(default_factory=dict)
    same: int = 0
    unseen: int = 0

    def read(self, row: RackRow) -> None:
        """Read one row, whatever is wrong with it."""
        before = len(self.problems)
        fields = self._fields(row)
        number = None if self.as_new else fields.cell(Col.LABEL, label_of)
        if len(self.problems) > before:
            return
        if number is None:
            self._new(fields)
        elif self._is_right(fields, number):
            bar = self.bars[number]
            self._known(self._fields(row, bar), bar)

    def _fields(self, row: RackRow, bar: Bar | None = None) -> Fields:
        shown = "" if bar is None else self._length(bar)
        return Fields(row=row, units=self.sheet.units, unit=self.unit, bar=bar, shown=shown, problems=self.problems)

    def _is_right(self, fields: Fields, number: int) -> bool:
        """Whether a label is that of one piece on the rack; what is wrong is said."""
        name, bar = bar_name(number), self.bars.get(number)
        first = self.seen.setdefault(number, fields.row.line)
        if first != fields.row.line:
            why = f"row {first} is about {name} already; keep one of them"
        elif bar is None:
            why = "no such label in the books; empty the cell to put the piece on the rack as a new one"
        elif bar.state is BarState.LOST:
            if self._found_again(fields):
                return True
            why = f"{name} was lost: write yes in a column {Col.THERE} if it was found again, or take the row out"
        elif not bar.state.at_hand:
            why = f"{name} isn't on the rack: it is {bar.state}; take the row out"
        else:
            return True
        fields.say(Col.LABEL, why)
        return False

    def _found_again(self, fields: Fields) -> bool:
        try:
            return answer_of(fields.row.text(Col.THERE)) is True
        except CellError:
            return False

    def _new(self, fields: Fields) -> None:
        """Take a piece that isn't in the books."""
        before = len(self.problems)
        if fields.cell(Col.THERE, answer_of) is False:
            fields.say(Col.THERE, "a piece without a label that isn't there; take the row out, or write its label")
        state, sure = fields.row.text(Col.STATE), fields.row.text(Col.SURE)
        if state and state.casefold() != BarState.FREE.value:
            fields.say(Col.STATE, "a new piece is free for anyone; write free, empty the cell, or take the row out")
        if sure and sure != fields.row.text(Col.LENGTH):
            fields.say(Col.SURE, "measure a new piece, write that as its length, and empty this cell")
        section, length, trims, texts = fields.section(), fields.length(), fields.trims(), fields.texts()
        if len(self.problems) == before:
            assert section is not None
            assert length is not None
            new = NewBar(section=section, length=length, trims=trims, **texts)
            self.lines.append(Counted(new=new))
            self.words.append(f"new: {say_new(new, self.usual)}")

    def _known(self, fields: Fields, bar: Bar) -> None:
        """Take a piece that the books know."""
        before = len(self.problems)
        there = fields.cell(Col.THERE, answer_of)
        changes = fields.changes(bar)
        fields.check_state(bar)
        fields.check_sure(bar)
        if changes != UNCHANGED or there is False:
            fields.check_version(bar, self._label(bar))
        if there is False and changes != UNCHANGED:
            fields.say(Col.THERE, "it isn't there, and still it has changed? Write yes, or leave the rest of the row")
        if len(self.problems) == before:
            self._take(bar, changes, there=there)

    def _take(self, bar: Bar, changes: BarChanges, *, there: bool | None) -> None:
        if there is False:
            self.lines.append(Counted(number=bar.number, found=False))
            self.words.append(f"{bar.name}: not found ({self._label(bar)})")
        elif changes != UNCHANGED or bar.state is BarState.LOST:
            again = ["found again"] if bar.state is BarState.LOST else []
            said = [*again, *_differences(bar, changes, unit_of_bar(bar, self.usual))]
            self.lines.append(Counted(number=bar.number, changes=changes))
            self.words.append(f"{bar.name}: {'; '.join(said)}")
        elif self.counting and not there:
            self.unseen += 1
        else:
            self.same += 1
            self.lines += [Counted(number=bar.number)] * (there is True)

    def _length(self, bar: Bar) -> str:
        return told_length(bar.length, unit_of_bar(bar, self.usual))

    def _label(self, bar: Bar) -> str:
        reserved = f"reserved for {bar.work}" if bar.state is BarState.RESERVED else ""
        said = (bar.section.label, self._length(bar), bar.place, bar.remark, reserved)
        return ", ".join(text for text in said if text)


def _differences(bar: Bar, changes: BarChanges, unit: Unit) -> Iterator[str]:
    """Say what becomes different, old and new side by side."""
    if changes.section is not None:
        yield f"{bar.section.label} -> {changes.section.label}"
    if changes.length is not None:
        measured = " (measured)" if bar.usable is not None else ""
        yield f"{told_length(bar.length, unit)} -> {told_length(changes.length, unit)}{measured}"
    if changes.trims is not None:
        yield f"ends {_ends(bar.trims, unit)} -> {_ends(changes.trims, unit)}"
    texts: dict[str, Any] = {name: getattr(changes, name) for name in ("place", "remark", "heat")}
    yield from (
        f"{name} {getattr(bar, name) or 'none'} -> {new or 'none'}" for name, new in texts.items() if new is not None
    )


def _ends(trims: tuple[Fraction, Fraction] | None, unit: Unit) -> str:
    if trims is None:
        return "as the saw's"
    return " and ".join(told_length(trim, unit) if trim else "sawn" for trim in trims)
