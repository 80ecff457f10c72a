"""Read the rows of a list one after the other, remembering what the next ones need."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.aside.taking import Aside, Sought, take_from_cells, take_from_line
from shared.reading.aside.yards import Yards
from shared.reading.grid.cells import MOST_LINE, Row, Sheet
from shared.reading.grid.structure import read_heading, read_total
from shared.reading.lists.carried import Carried
from shared.reading.lists.entry import Entry
from shared.reading.lists.free_lines import read_free
from shared.reading.lists.tabled import Tables
from shared.reading.text.sure import ASIDE, COUNTS, SAID_WORDS, SURE, unsaid
from shared.reading.text.tokens import plain, tokenize
from shared.reading.values.draft import Around, Ask
from shared.reading.values.result import Kind

__all__ = ["Reader", "read_all"]

_PROBED: Final = 100
_MOST_TOKENS: Final = 70
_WAITING: Final = frozenset({Kind.PART, Kind.TAKE_OFF, Kind.ALSO})


def read_all(reader: Reader, sheet: Sheet) -> list[Entry]:
    """Read all rows, unless the first hundred show that this is no parts list."""
    entries: list[Entry] = []
    open_lines = read_lines = 0
    for index, row in enumerate(sheet.rows):
        if read_lines >= _PROBED and open_lines * 5 >= read_lines * 4 and len(sheet.rows) > 2 * _PROBED:
            left = len(sheet.rows) - index
            entry = Entry(row)
            message = (
                f"most of the lines above aren't understood, so the {left} lines from here on weren't read; "
                "is this a parts list?"
            )
            entry.ask(Ask(message=message, position=0))
            return [*entries, entry]
        entry = reader.entry(index, row)
        entries += [entry, *entry.others]
        read_lines += entry.kind is not Kind.BLANK
        open_lines += entry.kind is Kind.QUESTION
    return entries


class Reader:
    """Reads rows one after the other and remembers what the next ones need."""

    def __init__(self, sheet: Sheet, around: Around, unit: Unit | None, yards: Yards | None = None) -> None:
        self.state = Carried(sheet=sheet, around=around, unit=unit, yards=yards, known=around.section)
        self.tables = Tables(self.state)

    def entry(self, index: int, row: Row) -> Entry:
        """Read one row, without what is said of it as a whole: meant as it stands, not a part, a part after all."""
        self.state.row, self.state.counts = row, False
        if SAID_WORDS.search(row.text) is None:
            return self._entry(index, row)
        if ASIDE.search(row.text) is not None:
            return Entry(row, Kind.REMARK, notes=["not a part, as it says"])
        self.state.counts = COUNTS.search(row.text) is not None
        entry = self._entry(index, self._bare(row))
        entry.row, entry.sure = row, SURE.search(row.text) is not None
        return entry

    @staticmethod
    def _bare(row: Row) -> Row:
        """Return a row without those words."""
        cells = tuple(replace(cell, text=unsaid(cell.text).strip()) for cell in row.cells)
        return Row(row.line, unsaid(row.text), cells)

    def _entry(self, index: int, row: Row) -> Entry:
        """Read one row."""
        if not row.text.strip("\t\r ;,|-:=_+"):
            return Entry(row, Kind.BLANK)
        found = _too_much(row) or self.tables.opened(index, row)
        if found is None and not self.state.counts:
            found = self.tables.headed(index, row) or _total(row)
        if found is None:
            found = self.tables.crossed(index, row)
        return found or self._told(index, row)

    def _told(self, index: int, row: Row) -> Entry:
        """Read a row that isn't one of a list's frame: by its columns, or as a line."""
        state = self.state
        sought = Sought(offers=state.around.offers, yards=state.yards, system=state.around.system)
        if self.tables.columns is not None and self.tables.govern(index, row):
            return self._beside(take_from_cells(row, self.tables.columns, sought), row, self.tables.read)
        single = sum(bool(cell.text) for cell in row.cells) == 1
        yard = self._yard_heading(row, row.text.strip("\t;|") if single else row.text)
        if yard is not None:
            return yard
        return self._beside(take_from_line(row, sought), row, lambda bare: read_free(state, bare, single=single))

    def _beside(self, aside: Aside, row: Row, read: Callable[[Row], Entry]) -> Entry:
        """Read a line without what it says beside its part or stick, then put that to it."""
        if aside.alone:
            return self._addition(aside, row)
        entry = read(aside.row)
        if self.state.waits is not None and entry.kind in _WAITING:
            entry.notes.append(f"how many is asked in line {self.state.waits.row.line}")
        entry.breaks, entry.substitutes = aside.breaks, aside.substitutes
        for each in (entry, *entry.others):
            each.yard = aside.yard or (self.state.yards.current if self.state.yards is not None else "")
            if self.state.waits is not None:
                each.kind = Kind.QUESTION if each.kind in _WAITING else each.kind
        for ask, cell in aside.asks:
            entry.ask(ask, cell, self.state.sheet.delimiter)
        if entry.kind in {Kind.PART, Kind.TAKE_OFF, Kind.OFFER, Kind.QUESTION}:
            self.state.last = entry
        return entry

    def _addition(self, aside: Aside, row: Row) -> Entry:
        """Take a line that goes on with the part or stick above it."""
        entry = Entry(row, Kind.ADDITION, breaks=aside.breaks, substitutes=aside.substitutes, above=self.state.last)
        for ask, cell in aside.asks:
            entry.ask(ask, cell, self.state.sheet.delimiter)
        if self.state.last is None:
            entry.ask(Ask(message="what does this belong to? write it below the line that it goes on with", position=0))
        return entry

    def _yard_heading(self, row: Row, text: str) -> Entry | None:
        """Take a line that names the yard of those below it, None for any other."""
        if self.state.yards is None or self.state.counts:
            return None
        found = self.state.yards.heading(text, read_heading(text))
        if found is None:
            return None
        entry = Entry(row, Kind.HEADING)
        if isinstance(found, Ask):
            entry.ask(found)
        else:
            entry.yard_below = self.state.yards.current = found
        return entry


def _too_much(row: Row) -> Entry | None:
    """Refuse a line that is far longer than one of a parts list."""
    entry = Entry(row)
    if len(row.text) > MOST_LINE:
        entry.ask(Ask(message=f"more than {MOST_LINE} characters: no line of a parts list; break it up", position=0))
    elif not row.cells and len(tokenize(plain(row.text))) > _MOST_TOKENS:
        entry.ask(Ask(message="too much for one line; write one part on a line", position=0))
    return entry if entry.questions else None


def _total(row: Row) -> Entry | None:
    total = read_total(" ".join(cell.text for cell in row.cells) if row.cells else row.text)
    return None if total is None else Entry(row, Kind.TOTAL, total=total)
