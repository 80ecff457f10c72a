"""Read the rows of a list one after the other, remembering what the next ones need."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.aside.taking import Aside, Sought, take_from_cells, take_from_line
from shared.reading.aside.yards import Yards
from shared.reading.grid.columns import guess_columns, settle_columns
from shared.reading.grid.headers import Column, Role, find_header, with_units
from shared.reading.grid.sheet import MOST_LINE, Row, Sheet
from shared.reading.grid.structure import Heading, read_heading, read_material, read_total, read_unit
from shared.reading.grid.table import Above, read_row
from shared.reading.line.frame import TakeOff
from shared.reading.line.line import read_line
from shared.reading.lists.entry import Entry
from shared.reading.lists.takeoff import read_takeoff
from shared.reading.text.sure import SURE
from shared.reading.text.tokens import plain, tokenize
from shared.reading.values.draft import Around, Ask, Draft, Rewrite
from shared.reading.values.result import Kind
from shared.sections import understand

__all__ = ["Reader", "read_all"]

_PROBED: Final = 100
_MOST_TOKENS: Final = 70
_EACH_AT: Final = re.compile(
    r"(?<![\w./'\"-])\d{1,4}\s*(?:pcs?|ea|off|x)?\s*@\s*(?:\d[\d./' -]*(?:\"|''|'|mm|cm|m\b|in\b|ft\b)?)", re.IGNORECASE
)


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
        entries.append(entry)
        read_lines += entry.kind is not Kind.BLANK
        open_lines += entry.kind is Kind.QUESTION
    return entries


def several_parts(text: str) -> Ask | None:
    """Ask for one part a line where a line lists several (``HSS 2x2x1/8: 4 @ 48, 2 @ 36``)."""
    if text.count("@") < 2:  # noqa: PLR2004
        return None
    found = list(_EACH_AT.finditer(plain(text)))
    if len(found) < 2:  # noqa: PLR2004
        return None
    head, tail = text[: found[0].start()].rstrip(" ,;:-"), text[found[-1].end() :].strip(" ,;")
    lines = [" ".join(part for part in (head, each.group().strip(" ,;-"), tail) if part) for each in found]
    return Ask(
        message="several parts in one line; write each on a line of its own",
        position=found[1].start(),
        rewrites=(Rewrite(reading=f"{len(lines)} lines", start=0, end=len(text), text="\n".join(lines)),),
    )


def _unsaid(text: str) -> str:
    """Blank the word out that a line is meant as it stands; what stands elsewhere keeps its place."""
    return SURE.sub(lambda found: " " * len(found.group()), text)


class Reader:
    """Reads rows one after the other and remembers what the next ones need."""

    def __init__(self, sheet: Sheet, around: Around, unit: Unit | None, yards: Yards | None = None) -> None:
        self.sheet = sheet
        self.yards = yards
        self.row = Row(0, "", ())
        self.last: Entry | None = None
        self.around = around
        self.unit = unit
        self.above = Above({})
        self.assembly = ""
        self.sets = 1
        self.material = ""
        self.waits: Entry | None = None
        self.header = -1
        self.headers: set[int] = set()
        self.columns: list[Column | None] | None = None
        self.stated_unit: Unit | None = None
        self._find_columns()

    def _find_columns(self) -> None:
        """Find the columns of a table, by header or by content."""
        if not self.sheet.delimiter:
            return
        found = find_header(self.sheet.rows)
        if found is not None:
            self.header = found[0]
            below = [row for row in self.sheet.rows[self.header + 1 :] if row.text.strip()]
            self.headers = {self.header}
            columns = found[1]
            units = with_units(columns, below[0]) if below else None
            if units is not None:
                columns, self.header = units, self.sheet.rows.index(below[0])
                self.headers.add(self.header)
                below = below[1:]
            self.columns = settle_columns(columns, below)
        else:
            self.columns = guess_columns(self.sheet.rows, offers=self.around.offers)

    def entry(self, index: int, row: Row) -> Entry:
        """Read one row, without the word that it is meant as it stands."""
        self.row = row
        if SURE.search(row.text) is None:
            return self._entry(index, row)
        cells = tuple(replace(cell, text=SURE.sub("", cell.text)) for cell in row.cells)
        bare = Row(row.line, _unsaid(row.text), cells)
        entry = self._entry(index, bare)
        entry.row, entry.sure = row, True
        return entry

    def _entry(self, index: int, row: Row) -> Entry:
        """Read one row."""
        if not row.text.strip("\t\r ;,|-:=_+"):
            return Entry(row, Kind.BLANK)
        if len(row.text) > MOST_LINE:
            entry = Entry(row)
            entry.ask(
                Ask(message=f"more than {MOST_LINE} characters: no line of a parts list; break it up", position=0)
            )
            return entry
        if not row.cells and len(tokenize(plain(row.text))) > _MOST_TOKENS:
            entry = Entry(row)
            entry.ask(Ask(message="too much for one line; write one part on a line", position=0))
            return entry
        if index in self.headers or self._is_header(row):
            return Entry(row, Kind.HEADER)
        total = read_total(" ".join(cell.text for cell in row.cells) if row.cells else row.text)
        if total is not None:
            return Entry(row, Kind.TOTAL, total=total)
        filled = [at for at, cell in enumerate(row.cells) if cell.text]
        sought = Sought(offers=self.around.offers, yards=self.yards, system=self.around.system)
        if self.columns is not None and index > self.header and len(filled) > 1:
            return self._beside(take_from_cells(row, self.columns, sought), row, self._table_row)
        single = len(filled) == 1
        yard = self._yard_heading(row, row.text.strip("\t;|") if single else row.text)
        if yard is not None:
            return yard
        return self._beside(take_from_line(row, sought), row, lambda bare: self._free_line(bare, single=single))

    def _beside(self, aside: Aside, row: Row, read: Callable[[Row], Entry]) -> Entry:
        """Read a line without what it says beside its part or stick, then put that to it."""
        if aside.alone:
            return self._addition(aside, row)
        entry = read(aside.row)
        if self.waits is not None and entry.kind in {Kind.PART, Kind.TAKE_OFF, Kind.ALSO}:
            entry.kind = Kind.QUESTION
            entry.notes.append(f"how many is asked in line {self.waits.row.line}")
        entry.breaks, entry.substitutes = aside.breaks, aside.substitutes
        entry.yard = aside.yard or (self.yards.current if self.yards is not None else "")
        for ask, cell in aside.asks:
            entry.ask(ask, cell, self.sheet.delimiter)
        if entry.kind in {Kind.PART, Kind.TAKE_OFF, Kind.OFFER, Kind.QUESTION}:
            self.last = entry
        return entry

    def _addition(self, aside: Aside, row: Row) -> Entry:
        """Take a line that goes on with the part or stick above it."""
        entry = Entry(row, Kind.ADDITION, breaks=aside.breaks, substitutes=aside.substitutes, above=self.last)
        for ask, cell in aside.asks:
            entry.ask(ask, cell, self.sheet.delimiter)
        if self.last is None:
            entry.ask(Ask(message="what does this belong to? write it below the line that it goes on with", position=0))
        return entry

    def _yard_heading(self, row: Row, text: str) -> Entry | None:
        """Take a line that names the yard of those below it, None for any other."""
        if self.yards is None:
            return None
        found = self.yards.heading(text, read_heading(text))
        if found is None:
            return None
        entry = Entry(row, Kind.HEADING)
        if isinstance(found, Ask):
            entry.ask(found)
        else:
            entry.yard_below = self.yards.current = found
        return entry

    def _is_header(self, row: Row) -> bool:
        """Whether a row repeats the header, or begins another table with its own."""
        if self.header < 0 or row.line <= self.header + 1:
            return False
        found = find_header((row,))
        if found is None:
            return False
        below = [other for other in self.sheet.rows[row.line :] if other.text.strip()]
        self.columns = settle_columns(found[1], below)
        return True

    def _table_row(self, row: Row) -> Entry:
        """Read a row by its columns."""
        assert self.columns is not None
        draft, places = read_row(row, self.columns, self.around, self.above)
        whole = {cell.start: cell for cell in self.row.cells}
        places = {at: whole.get(cell.start, cell) for at, cell in places.items()}
        cells = [
            self.row.cells[at]
            for at, column in enumerate(self.columns)
            if column is not None and column.role is Role.SECTION and at < len(row.cells)
        ]
        return self._sorted(Entry(self.row, draft=draft, places=places, section_cell=next(iter(cells), None)))

    def _free_line(self, row: Row, *, single: bool) -> Entry:
        """Read a line of free text: a take-off, a heading, or a part."""
        text = row.text.strip("\t;|") if single else row.text
        if not self.around.offers:
            off = read_takeoff(row.text, self.around, self.unit)
            if off is not None:
                return self._take_off(off)
        stated = read_unit(text)
        if stated is not None:
            self.stated_unit = stated
            return Entry(self.row, Kind.REMARK, notes=[f"bare lengths are {stated}"])
        material = read_material(text)
        if material:
            self.material = material
            return Entry(
                self.row, Kind.HEADING, notes=[f"material of the lines below, where they name none: {material}"]
            )
        heading = read_heading(text)
        if heading is not None and heading.sets is not None:
            return self._heading(heading)
        several = several_parts(row.text)
        if several is not None:
            entry = Entry(self.row)
            entry.ask(several)
            return entry
        draft = read_line(row.text, self.around)
        empty = draft.section is None and draft.length is None and not draft.asks and not draft.also
        if (
            (empty or draft.section is self.around.section)
            and draft.length is None
            and not draft.asks
            and heading is not None
        ):
            return self._heading(heading)
        return self._sorted(Entry(self.row, draft=draft))

    def _take_off(self, off: TakeOff) -> Entry:
        entry = Entry(self.row, Kind.TAKE_OFF, off=off, assembly=self.assembly or off.name, sets=self.sets)
        entry.notes += off.notes
        for ask in off.asks:
            entry.ask(ask)
        if off.section is not None:
            self.around = replace(self.around, previous=off.section)
        return entry

    def _heading(self, heading: Heading) -> Entry:
        """Take a heading: the assembly and sets for the lines below, unless it means those above."""
        entry = Entry(self.row, Kind.HEADING, heading=heading)
        if heading.asked and heading.sets is not None and heading.sets > 1:
            self._ask_sets(entry, heading)
            return entry
        if not heading.above:
            if heading.name or heading.sets is not None:
                self.assembly = heading.name or self.assembly
            self.sets = heading.sets or 1
            self.waits = None
        return entry

    def _ask_sets(self, entry: Entry, heading: Heading) -> None:
        """Ask whether the quantities are for one set or count all of them; what is below waits for it."""
        text, end = self.row.text, len(self.row.text.rstrip(" :-*="))
        entry.ask(
            Ask(
                message=f"{heading.sets} times what is listed, or do the quantities count all of them already?",
                position=0,
                rewrites=(
                    Rewrite(
                        reading=f"the quantities are for one: make {heading.sets}",
                        start=end,
                        end=len(text),
                        text=", quantities for each:",
                    ),
                    Rewrite(reading="they are totals", start=end, end=len(text), text=", quantities are totals:"),
                ),
            )
        )
        self.assembly, self.sets, self.waits = heading.name or self.assembly, 1, entry

    def _sorted(self, entry: Entry) -> Entry:
        """Sort a line that was read into part, other need, section heading, question or remark."""
        draft = entry.draft
        assert draft is not None
        entry.assembly = draft.assembly or self.assembly
        entry.sets = self.sets
        if self.material and draft.section is not None and not draft.section.material:
            draft.section = understand(draft.section.name, self.material)
        entry.notes += draft.notes
        if draft.also:
            entry.kind = Kind.ALSO
            return entry
        if self._is_section_heading(draft):
            self.around = replace(self.around, section=draft.section, previous=draft.section)
            entry.kind = Kind.HEADING
            return entry
        for index, ask in enumerate(draft.asks):
            entry.ask(ask, entry.places.get(index), self.sheet.delimiter)
        if not draft.asks:
            self._check_complete(entry, draft)
        if draft.section is not None or draft.length is not None:
            self.around = replace(
                self.around,
                previous=draft.section or self.around.previous,
                previous_length=draft.length or self.around.previous_length,
                item=(draft.item or self.around.item) + 1,
            )
        return entry

    def _is_section_heading(self, draft: Draft) -> bool:
        """Whether a line names a section and nothing else."""
        return (
            draft.section is not None
            and bool(draft.stated)
            and draft.length is None
            and draft.quantity is None
            and draft.money is None
            and not draft.asks
            and not re.search(r"\d", draft.note)
        )

    def _check_complete(self, entry: Entry, draft: Draft) -> None:
        """Say what is missing of a part, or that the line is none."""
        if draft.complete:
            entry.kind = Kind.OFFER if self.around.offers else Kind.PART
        elif draft.section is not None and (draft.quantity is not None or draft.stated):
            entry.ask(
                Ask(message="no length; write one such as @ 80 1/2 or 2042.5 mm", position=len(entry.row.text.rstrip()))
            )
        elif draft.length is not None and (draft.quantity is not None or draft.length.unit is not None):
            entry.ask(Ask(message="no section; write what it is cut from, such as SHS 40x40x3", position=0))
        elif self._looks_like_part(entry.row.text):
            entry.ask(
                Ask(
                    message="not understood; write quantity, section and length such as 4 - SHS 40x40x3 @ 1250",
                    position=0,
                )
            )

    def _looks_like_part(self, text: str) -> bool:
        """Whether a line without section and length has dimensions all the same."""
        return re.search(r"\d\s*[xX×*]\s*\d", text) is not None
