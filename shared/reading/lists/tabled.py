"""The tables of a list: which row is whose header, and rows read by their columns or as section by length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile, zip_longest
from typing import Final

from shared.reading.grid.by_role import Above
from shared.reading.grid.cells import Row
from shared.reading.grid.columns import guess_columns
from shared.reading.grid.headers import Column, find_header, with_units
from shared.reading.grid.matrix import find_matrix
from shared.reading.grid.open_columns import ask_columns
from shared.reading.grid.settling import settle_columns
from shared.reading.grid.sheets import named_sheet
from shared.reading.grid.table import read_row
from shared.reading.grid.titles import Role
from shared.reading.line.amounts import read_price
from shared.reading.line.line import read_line
from shared.reading.lists.carried import Carried
from shared.reading.lists.entry import Entry
from shared.reading.lists.free_lines import each_of
from shared.reading.lists.sorting import sorted_entry
from shared.reading.values.account import Taken, TakenFor
from shared.reading.values.draft import Ask
from shared.reading.values.result import Kind

__all__ = ["Tables"]

_COLUMNS: Final = {
    Role.MARK: TakenFor.MARK,
    Role.ITEM: TakenFor.MARK,
    Role.NUMBER: TakenFor.OPEN,
    Role.QUANTITY: TakenFor.QUANTITY,
    Role.EACH: TakenFor.QUANTITY,
    Role.SECTION: TakenFor.SECTION,
    Role.MATERIAL: TakenFor.MATERIAL,
    Role.LENGTH: TakenFor.LENGTH,
    Role.SIZE: TakenFor.SECTION,
    Role.UNIT: TakenFor.LENGTH,
    Role.ENDS: TakenFor.ENDS,
    Role.ASSEMBLY: TakenFor.ASSEMBLY,
    Role.PRICE: TakenFor.PRICE,
    Role.BREAK: TakenFor.PRICE,
    Role.LISTED: TakenFor.PRICE,
    Role.DISCOUNT: TakenFor.PRICE,
    Role.YARD: TakenFor.YARD,
    Role.SUBSTITUTE: TakenFor.SUBSTITUTE,
    Role.IGNORED: TakenFor.ASIDE,
}


class Tables:
    """The columns that govern the row being read; each header, and each sheet of a workbook, begins a block anew."""

    def __init__(self, state: Carried) -> None:
        self.state = state
        self.rows = state.sheet.rows
        self.matrix = find_matrix(self.rows, offers=state.around.offers)
        self.above = Above({})
        self.header = -1
        self.headers: set[int] = set()
        self.asked: dict[int, Ask] = {}
        self.waits: Entry | None = None
        self.columns: list[Column | None] | None = None
        self._begin(0)

    def govern(self, index: int, row: Row) -> bool:
        """Whether the columns say what a row's cells hold."""
        return self.columns is not None and index > self.header and sum(bool(cell.text) for cell in row.cells) > 1

    def opened(self, index: int, row: Row) -> Entry | None:
        """Take a row that names the sheet of those below it, None for any other."""
        name = named_sheet(row.text)
        if name is None:
            return None
        if not name:
            return Entry(row, Kind.REMARK)
        self.state.begin_sheet(name)
        self._begin(index + 1)
        return Entry(row, Kind.HEADING, notes=[f"sheet {name} begins: its row 1 is line {index + 2}"])

    def headed(self, index: int, row: Row) -> Entry | None:
        """Take a header, None for any other row."""
        if index not in self.headers and not self._is_header(index, row):
            return None
        entry = Entry(row, Kind.HEADER)
        if index in self.asked:
            entry.ask(self.asked[index])
            self.waits = entry
        return entry

    def read(self, row: Row) -> Entry:
        """Read a row by its columns."""
        assert self.columns is not None
        given = self.state.row
        draft, places = read_row(row, self.columns, self.state.around, self.above)
        whole = {cell.start: cell for cell in given.cells}
        places = {at: whole.get(cell.start, cell) for at, cell in places.items()}
        section = [
            given.cells[at]
            for at, column in enumerate(self.columns)
            if column is not None and column.role is Role.SECTION and at < len(row.cells)
        ]
        account = tuple(
            Taken(cell.start, cell.end, _COLUMNS.get(column.role, TakenFor.NOTE) if column else TakenFor.NOTE)
            for cell, column in zip_longest(given.cells, self.columns)
            if cell is not None and cell.text
        )
        entry = Entry(given, draft=draft, places=places, section_cell=next(iter(section), None), account=account)
        entry.columns = tuple(self.columns)
        sorted_entry(self.state, entry)
        if self.waits is not None and entry.kind in {Kind.PART, Kind.OFFER, Kind.QUESTION}:
            entry.kind = Kind.QUESTION
            entry.questions.clear()
            entry.notes.append(f"what its columns hold is asked in line {self.waits.row.line}")
        return entry

    def crossed(self, index: int, row: Row) -> Entry | None:
        """Read a row of a table of section by length, None where it is none."""
        if self.matrix is None or index < self.matrix.at:
            return None
        if index == self.matrix.at:
            entry = Entry(row, Kind.HEADER)
            if not self.matrix.united:
                entry.ask(Ask(message="lengths in which unit? write it behind each, such as 6 m or 20 ft", position=0))
            return entry
        offers = self.state.around.offers
        if self.matrix.unplaced(row, offers=offers):
            entry = Entry(row)
            message = f"which of {', '.join(self.matrix.lengths)} are these for? write - where there is none"
            entry.ask(Ask(message=message, position=0))
            return entry
        sold = self.matrix.sold(row, offers=offers)
        if not sold:
            return None
        if not self.matrix.united:
            return Entry(row, Kind.QUESTION, notes=[f"the unit is asked in line {self.matrix.at + 1}"])
        drafts = [read_line(text, replace(self.state.around, offers=False)) for text, _ in sold]
        for draft, (_, cell) in zip(drafts, sold, strict=True):
            if offers:
                draft.money = read_price(cell, draft, header=self.matrix.title)
            else:
                draft.quantity = int(cell)
        lines = [f"{text} {cell}" if offers else f"{cell} pcs {text}" for text, cell in sold]
        found = each_of(self.state, lines, drafts)
        if found is not None:
            found.notes += self.matrix.unsold(row) if offers else []
            return found
        entry = Entry(row)
        entry.ask(Ask(message="a row of a table of lengths isn't understood; write each on a line", position=0))
        return entry

    def _block(self, index: int) -> Sequence[Row]:
        """Return the rows from one on, up to the next sheet."""
        return tuple(takewhile(lambda row: named_sheet(row.text) is None, self.rows[index:]))

    def _begin(self, index: int) -> None:
        """Find the columns of the block that begins here, by header or by content."""
        if not self.state.sheet.delimiter:
            return
        self.above, self.columns, self.waits = Above({}), None, None
        block = self._block(index)
        found = find_header(block)
        if found is None:
            self.header = index - 1
            self.columns = guess_columns(block, offers=self.state.around.offers)
        else:
            self._head(index + found[0], found[1])

    def _head(self, index: int, columns: list[Column | None]) -> None:
        """Take a header row, with the row of units below it where there is one."""
        self.header = index
        self.headers.add(index)
        below = [row for row in self._block(index + 1) if row.text.strip()]
        units = with_units(columns, below[0]) if below else None
        if units is not None:
            columns, self.header = units, self.rows.index(below[0])
            self.headers.add(self.header)
            below = below[1:]
        titles = [cell.text for cell in self.rows[index].cells]
        self.columns, self.waits = settle_columns(columns, below, titles), None
        ask = ask_columns(self.rows[index], self.columns, below, offers=self.state.around.offers)
        if ask is not None:
            self.asked[index] = ask

    def _is_header(self, index: int, row: Row) -> bool:
        """Whether a row repeats the header, or begins another table with its own."""
        if self.header < 0 or index <= self.header:
            return False
        found = find_header((row,))
        if found is None:
            return False
        self._head(index, found[1])
        return True
