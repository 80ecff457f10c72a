"""The cells of one row of the rack's list, beside what the books say of that piece."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, TypeVar

from cutting.question.job import Section
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.work.rack.bars import Bar, BarChanges
from shared.work.rack.cells import CellError, length_of, section_of, text_of, trim_of
from shared.work.rack.columns import Col
from shared.work.rack.rows import RackRow

__all__ = ["UNCHANGED", "Fields"]

UNCHANGED: Final = BarChanges()
"""What to correct about a piece that is as the books have it."""

_TEXTS: Final = ((Col.PLACE, "place"), (Col.REMARK, "remark"), (Col.HEAT, "heat"))
_UNIT: Final = re.compile(r"\d\s*(mm|cm|m|in|ft|\"|')\s*$", re.IGNORECASE)
_MARKS: Final = {'"': Unit.IN, "'": Unit.FT}
_Value = TypeVar("_Value")


@dataclass(frozen=True, kw_only=True, slots=True)
class Fields:
    """One row being read.

    Attributes
    ----------
    row : RackRow
        The row.
    units : mapping of Col to Unit
        What the headings say a bare length means.
    unit : Unit or None
        What it means elsewhere.
    bar : Bar or None
        The piece in the books, None for a new one.
    shown : str
        That piece's length with its unit, empty for a new one.
    problems : list of Problem
        Takes what is wrong.
    """

    row: RackRow
    units: Mapping[Col, Unit]
    unit: Unit | None
    bar: Bar | None
    shown: str
    problems: list[Problem]

    def say(self, col: Col, message: str, position: int | None = None) -> None:
        """Say what is wrong with a cell."""
        where = f"row {self.row.line}, {col}"
        self.problems.append(Problem(where=where, text=self.row.text(col), message=message, position=position))

    def cell(self, col: Col, read: Callable[[str], _Value]) -> _Value | None:
        """Read a cell; None where it can't be read, which is said."""
        try:
            return read(self.row.text(col))
        except CellError as error:
            self.say(col, error.message, error.position)
            return None

    def section(self) -> Section | None:
        """Read the section; one that the books have already needs no understanding."""
        name, material, bar = self.row.text(Col.SECTION), self.row.text(Col.MATERIAL), self.bar
        if bar is not None and Col.MATERIAL not in self.row.cells:
            material = bar.section.material
        if bar is not None and (name, material) == bar.section.key:
            return bar.section
        return self.cell(Col.SECTION, lambda text: section_of(text, material))

    def length(self) -> Fraction | None:
        """Read the length (mm): as measured, where that is filled in."""
        return self.cell(self._length_column(), self._read_length)

    def _length_column(self) -> Col:
        return Col.MEASURED if self.row.text(Col.MEASURED) else Col.LENGTH

    def _read_length(self, text: str) -> Fraction:
        if not text:
            raise CellError(f"how long is it? Write its length, such as {self.shown or '80 1/2 in or 2045 mm'}")
        return length_of(text, self._unit(self._length_column()))

    def _unit(self, col: Col) -> Unit | None:
        """Return what a bare length means: by its heading, the length beside it, or what the person said."""
        written = _UNIT.search(self.row.text(Col.LENGTH))
        beside = None
        if written and col is not Col.LENGTH:
            mark = written.group(1).lower()
            beside = _MARKS.get(mark) or Unit(mark)
        return self.units.get(col) or self.units.get(Col.LENGTH) or beside or self.unit

    def trims(self) -> tuple[Fraction, Fraction] | None:
        """Read what to take off both ends (mm); None where neither is stated."""
        first, second = self.row.text(Col.FIRST), self.row.text(Col.SECOND)
        if not first and not second:
            return None
        if not (first and second):
            message = "one end is stated and this one isn't; write sawn, or what to take off"
            self.say(Col.SECOND if first else Col.FIRST, message)
            return None
        ends = [self.cell(col, lambda text, at=col: trim_of(text, self._unit(at))) for col in (Col.FIRST, Col.SECOND)]  # type: ignore[misc]
        return None if ends[0] is None or ends[1] is None else (ends[0], ends[1])

    def texts(self) -> dict[str, str]:
        """Read place, remark and heat number, those that the list has columns for."""
        read = {name: self.cell(col, text_of) for col, name in _TEXTS if col in self.row.cells}
        return {name: text for name, text in read.items() if text is not None}

    def changes(self, bar: Bar) -> BarChanges:
        """Return what the row says differently; cells of columns that the list doesn't have say nothing."""
        changes = UNCHANGED
        if Col.SECTION in self.row.cells:
            section = self.section()
            if section is not None and section.key != bar.section.key:
                changes = replace(changes, section=section)
        if self._length_column() in self.row.cells:
            length = self.length()
            measured = self._length_column() is Col.MEASURED and bar.usable is not None
            if length is not None and (length != bar.length or measured):
                changes = replace(changes, length=length)
        if {Col.FIRST, Col.SECOND} <= self.row.cells.keys():
            changes = replace(changes, trims=self._other_trims(bar))
        texts = {name: text for name, text in self.texts().items() if text != " ".join(getattr(bar, name).split())}
        return replace(changes, **texts)  # type: ignore[arg-type]

    def _other_trims(self, bar: Bar) -> tuple[Fraction, Fraction] | None:
        trims = self.trims()
        stated = self.row.text(Col.FIRST) or self.row.text(Col.SECOND)
        if bar.trims is not None and not stated:
            self.say(Col.FIRST, "its ends are known; write sawn, or what to take off, at both of them")
        return None if trims == bar.trims else trims

    def check_state(self, bar: Bar) -> None:
        """Refuse a state that the piece isn't in: a list doesn't change that. One of an older list was true then."""
        said = self.row.text(Col.STATE)
        older = self.row.text(Col.VERSION) not in {"", str(bar.version)}
        if said and said.casefold() != bar.state.value and not older:
            now = f"{bar.state} for {bar.work}" if bar.work else str(bar.state)
            self.say(
                Col.STATE, f"{bar.name} is {now}; a list doesn't change that: empty the cell, or write {bar.state}"
            )

    def check_sure(self, bar: Bar) -> None:
        """Refuse another word on what can be counted on than the books have."""
        if self.row.text(Col.SURE):
            sure = self.cell(Col.SURE, lambda text: length_of(text, self._unit(Col.SURE)))
            if sure is not None and sure != bar.usable:
                self.say(Col.SURE, "a list doesn't change what can be counted on; measure it and write its length")

    def check_version(self, bar: Bar, now: str) -> None:
        """Refuse a change by a list that is older than the books' last one."""
        said = self.row.text(Col.VERSION)
        if said and said != str(bar.version):
            since = f"{bar.name} was changed after this list was written (now: {now})"
            self.say(Col.VERSION, f"{since}; empty this cell to have the list's word taken")
