"""Read a whole list: line by line, then settle what one line leaves to the others."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from cutting.errors import SectionError
from cutting.job import Section
from cutting.lengths import Unit, show_length
from shared.reading.draft import Around, Ask, Draft, Measured, Rewrite
from shared.reading.ends import find_ends, make_ends
from shared.reading.evidence import decimal_sign, is_numbered, system_of
from shared.reading.headers import Column, Role, find_header
from shared.reading.lengths import settle_open
from shared.reading.line import read_line
from shared.reading.model import Choice, Kind, Question
from shared.reading.sheet import MOST_LINE, Cell, Row, Sheet
from shared.reading.structure import Heading, Total, read_heading, read_total, read_unit
from shared.reading.table import Above, guess_columns, read_row, settle_columns
from shared.reading.takeoff import TakeOff, read_takeoff
from shared.reading.tokens import plain, tokenize
from shared.sections import System, understand

__all__ = ["Entry", "List", "read_rows"]

_LEAST_BARE: Final = {
    Unit.MM: Fraction(10),
    Unit.IN: Fraction(0),
    Unit.M: Fraction(0),
    Unit.CM: Fraction(1),
    Unit.FT: Fraction(0),
}
_MOST_BARE: Final = {
    Unit.MM: Fraction(30_000),
    Unit.IN: Fraction(1000),
    Unit.M: Fraction(30),
    Unit.CM: Fraction(3000),
    Unit.FT: Fraction(90),
}
_ROUNDED: Final = 1000
_MOST_OFFERED: Final = 6
_PROBED: Final = 100
_MOST_TOKENS: Final = 70


@dataclass(slots=True)
class Entry:
    """One line on its way from text to reading."""

    row: Row
    kind: Kind = Kind.REMARK
    draft: Draft | None = None
    places: dict[int, Cell] = field(default_factory=dict)
    off: TakeOff | None = None
    total: Total | None = None
    heading: Heading | None = None
    assembly: str = ""
    sets: int = 1
    section_cell: Cell | None = None
    questions: list[Question] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def ask(self, ask: Ask, cell: Cell | None = None, delimiter: str = "") -> None:
        """Add a question about this line."""
        self.kind = Kind.QUESTION
        self.questions.append(_question(self.row, ask, cell, delimiter))


@dataclass(slots=True)
class List:
    """A list being read: its lines, and what they show together."""

    entries: list[Entry]
    around: Around
    unit: Unit | None
    columns: list[Column | None] | None
    delimiter: str


def _question(row: Row, ask: Ask, cell: Cell | None, delimiter: str) -> Question:
    """Return a question with the whole line rewritten for each reading."""
    choices = []
    position = min(ask.position, len(row.text))
    if cell is not None and cell.start < 0:
        return Question(line=row.line, text=row.text, message=ask.message, position=0)
    for rewrite in ask.rewrites:
        if cell is None:
            line = row.text[: rewrite.start] + rewrite.text + row.text[rewrite.end :]
        else:
            inner = cell.text[: rewrite.start] + rewrite.text + cell.text[rewrite.end :]
            line = (
                row.text[: cell.start]
                + _quoted(inner, row.text[cell.start : cell.end], delimiter)
                + row.text[cell.end :]
            )
        choices.append(Choice(reading=rewrite.reading, line=line))
    if cell is not None:
        position = min(cell.start + ask.position, len(row.text))
    return Question(line=row.line, text=row.text, message=ask.message, position=position, choices=tuple(choices))


def _quoted(text: str, before: str, delimiter: str) -> str:
    """Write a cell so that it is read back: quoted where it was, or where it holds the delimiter."""
    if delimiter not in {",", ";"} or not (before.strip().startswith('"') or delimiter in text):
        return text
    buffer = io.StringIO()
    csv.writer(buffer, delimiter=delimiter, quoting=csv.QUOTE_ALL, lineterminator="").writerow([text])
    return buffer.getvalue()


def read_rows(sheet: Sheet, *, offers: bool, unit: Unit | None, known: Sequence[Section] = ()) -> List:
    """Read all rows of a sheet.

    Parameters
    ----------
    sheet : Sheet
        The rows.
    offers : bool
        Whether it is a list of sticks with prices.
    unit : Unit or None
        What a bare length means; None to let the list tell.
    known : sequence of Section
        Sections of the parts, for lists of sticks that don't name their family.
    """
    rows = [row for row in sheet.rows if len(row.text) <= MOST_LINE]
    texts = _texts(sheet, rows)
    around = Around(
        decimal=decimal_sign(texts),
        system=system_of(texts),
        offers=offers,
        numbered=not sheet.delimiter and is_numbered([text for text in texts if text.strip()]),
        section=known[0] if offers and len(known) == 1 else None,
    )
    reader = _Reader(sheet, around, unit)
    entries = _read_all(reader, sheet)
    listing = List(
        entries=entries,
        around=around,
        unit=unit or reader.stated_unit,
        columns=reader.columns,
        delimiter=sheet.delimiter,
    )
    _offer_sections(entries, known)
    _multiply_above(entries)
    _settle_sections(listing, known)
    _settle_lengths(listing)
    return listing


def _read_all(reader: _Reader, sheet: Sheet) -> list[Entry]:
    """Read all rows, unless the first hundred show that this is no parts list."""
    entries: list[Entry] = []
    open_lines = read_lines = 0
    for index, row in enumerate(sheet.rows):
        if read_lines >= _PROBED and open_lines * 5 >= read_lines * 4 and len(sheet.rows) > 2 * _PROBED:
            left = len(sheet.rows) - index
            entry = Entry(row)
            message = f"most of the lines above aren't understood, so the {left} lines from here on weren't read; is this a parts list?"
            entry.ask(Ask(message=message, position=0))
            return [*entries, entry]
        entry = reader.entry(index, row)
        entries.append(entry)
        read_lines += entry.kind is not Kind.BLANK
        open_lines += entry.kind is Kind.QUESTION
    return entries


def _texts(sheet: Sheet, rows: Sequence[Row]) -> list[str]:
    """Return the texts that show the list's habits: cells of a table, without those that are numbers anyway."""
    if not sheet.delimiter:
        return [row.text for row in rows]
    return [cell.text for row in rows for cell in row.cells if cell.number is None and cell.text]


_EACH_AT: Final = re.compile(
    r"(?<![\w./'\"-])\d{1,4}\s*(?:pcs?|ea|off|x)?\s*@\s*(?:\d[\d./' -]*(?:\"|''|'|mm|cm|m\b|in\b|ft\b)?)", re.IGNORECASE
)


def _several(text: str) -> Ask | None:
    """Ask for one part a line where a line lists several (``HSS 2x2x1/8: 4 @ 48, 2 @ 36``)."""
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


class _Reader:
    """Reads rows one after the other and remembers what the next ones need."""

    def __init__(self, sheet: Sheet, around: Around, unit: Unit | None) -> None:
        self.sheet = sheet
        self.around = around
        self.unit = unit
        self.above = Above({})
        self.assembly = ""
        self.sets = 1
        self.header = -1
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
            self.columns = settle_columns(found[1], below)
        else:
            self.columns = guess_columns(self.sheet.rows)

    def entry(self, index: int, row: Row) -> Entry:
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
        if index == self.header or self._is_header(row):
            return Entry(row, Kind.HEADER)
        total = read_total(" ".join(cell.text for cell in row.cells) if row.cells else row.text)
        if total is not None:
            return Entry(row, Kind.TOTAL, total=total)
        filled = [at for at, cell in enumerate(row.cells) if cell.text]
        if self.columns is not None and index > self.header and len(filled) > 1:
            return self._table_row(row)
        return self._free_line(row, single=len(filled) == 1)

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
        cells = [
            row.cells[at]
            for at, column in enumerate(self.columns)
            if column is not None and column.role is Role.SECTION and at < len(row.cells)
        ]
        return self._sorted(Entry(row, draft=draft, places=places, section_cell=next(iter(cells), None)))

    def _free_line(self, row: Row, *, single: bool) -> Entry:
        """Read a line of free text: a take-off, a heading, or a part."""
        text = row.text.strip("\t;|") if single else row.text
        if not self.around.offers:
            off = read_takeoff(row.text, self.around, self.unit)
            if off is not None:
                return self._take_off(row, off)
        stated = read_unit(text)
        if stated is not None:
            self.stated_unit = stated
            return Entry(row, Kind.REMARK, notes=[f"bare lengths are {stated}"])
        heading = read_heading(text)
        if heading is not None and heading.sets is not None:
            return self._heading(row, heading)
        several = _several(row.text)
        if several is not None:
            entry = Entry(row)
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
            return self._heading(row, heading)
        return self._sorted(Entry(row, draft=draft))

    def _take_off(self, row: Row, off: TakeOff) -> Entry:
        entry = Entry(row, Kind.TAKE_OFF, off=off, assembly=self.assembly or off.name, sets=self.sets)
        entry.notes += off.notes
        for ask in off.asks:
            entry.ask(ask)
        if off.section is not None:
            self.around = replace(self.around, previous=off.section)
        return entry

    def _heading(self, row: Row, heading: Heading) -> Entry:
        """Take a heading: the assembly and sets for the lines below, unless it means those above."""
        entry = Entry(row, Kind.HEADING, heading=heading)
        if not heading.above:
            if heading.name or heading.sets is not None:
                self.assembly = heading.name or self.assembly
            self.sets = heading.sets or 1
        return entry

    def _sorted(self, entry: Entry) -> Entry:
        """Sort a line that was read into part, other need, section heading, question or remark."""
        draft = entry.draft
        assert draft is not None
        entry.assembly = draft.assembly or self.assembly
        entry.sets = self.sets
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


def _offer_sections(entries: Sequence[Entry], known: Sequence[Section]) -> None:
    """Offer the list's own sections where a line names none."""
    named = {entry.draft.section.name: None for entry in entries if entry.draft and entry.draft.section}
    names = list(named) or [section.name for section in known]
    if len(names) > _MOST_OFFERED:
        return
    for entry in entries:
        for at, question in enumerate(entry.questions):
            if question.message.startswith("no section;") and not question.choices:
                choices = tuple(Choice(reading=name, line=_with_section(entry, name)) for name in names)
                entry.questions[at] = replace(question, choices=choices)


def _with_section(entry: Entry, name: str) -> str:
    """Return a line with a section put in: in its cell where it is a table's row, otherwise in front."""
    text = entry.row.text
    if entry.section_cell is not None:
        return text[: entry.section_cell.start] + name + text[entry.section_cell.end :]
    return f"{name}  {text.strip()}"


def _multiply_above(entries: Sequence[Entry]) -> None:
    """Apply sets that are stated below the parts they mean: where the line says so, or no part follows it."""
    for at, entry in enumerate(entries):
        heading = entry.heading
        if heading is None or heading.sets is None:
            continue
        kinds = {Kind.PART, Kind.TAKE_OFF, Kind.QUESTION}
        below = any(other.kind in kinds for other in entries[at + 1 :])
        if below and not heading.above:
            entry.notes.append(f"quantities below times {heading.sets}")
            continue
        block = []
        for other in reversed(entries[:at]):
            if other.heading is not None and other.heading.sets is not None:
                break
            block.append(other)
        above = [other for other in block if other.kind in kinds or other.kind is Kind.ALSO]
        for other in above:
            other.sets = heading.sets
            other.assembly = other.assembly or heading.name
        if above:
            entry.notes.append(f"quantities above times {heading.sets}")


def _settle_sections(listing: List, known: Sequence[Section]) -> None:
    """Give sections without a family the one that the list has with the same dimensions; join near misses."""
    stated = {
        entry.draft.section.name: entry.draft.section
        for entry in listing.entries
        if entry.draft and entry.draft.section and entry.draft.section.family
    }
    stated |= {
        entry.off.section.name: entry.off.section for entry in listing.entries if entry.off and entry.off.section
    }
    stated |= {section.name: section for section in known}
    families: dict[str, list[Section]] = {}
    for section in stated.values():
        if " " in section.name:
            families.setdefault(section.name.partition(" ")[2], []).append(section)
    rounded = _roundings(stated)
    for entry in listing.entries:
        draft = entry.draft
        if draft is None or draft.section is None or entry.kind not in {Kind.PART, Kind.OFFER}:
            continue
        section = draft.section
        if not section.family and re.fullmatch(r"[\d./x-]+(?:ga)?", section.name):
            _settle_family(entry, draft, families.get(section.name, []), listing.delimiter)
        elif section.name in rounded:
            better = rounded[section.name]
            draft.section = understand(better, section.material)
            entry.notes.append(f"{section.name} is the list's {better}, rounded")
        elif section.family and draft.stated:
            _say_writing(entry, draft, section)


def _settle_family(entry: Entry, draft: Draft, same: list[Section], delimiter: str) -> None:
    """Settle dimensions without a family word by the list; asked where the list has two such sections."""
    assert draft.section is not None
    name, material = draft.section.name, draft.section.material
    if len(same) == 1:
        draft.section = understand(same[0].name, material or same[0].material)
        entry.notes.append(f"{name} taken as the list's {draft.section.name}")
    elif same:
        names = " or ".join(section.name for section in same)
        entry.ask(Ask(message=f"{name} is {names}? write which", position=0), None, delimiter)
    else:
        entry.notes.append(f"{name}: no family said (tube, angle?), so its weight isn't known")


def _say_writing(entry: Entry, draft: Draft, section: Section) -> None:
    """Say where decimal dimensions were read as the fractions they are."""
    decimals = re.findall(r"\d*\.\d+", draft.stated)
    fractions = [text for text in decimals if "/" in section.name and text not in section.name]
    if fractions:
        entry.notes.append(f"{' '.join(draft.stated.split())} is {section.name}")


def _roundings(stated: dict[str, Section]) -> dict[str, str]:
    """Return names whose decimals are rounded fractions of another name in the list (0.188 for 3/16)."""
    found: dict[str, str] = {}
    decimals = [name for name in stated if re.search(r"0?\.\d{3}\b", name)]
    for name in decimals:
        for other in stated:
            if other != name and "/" in other and _rounds_to(other, name):
                found[name] = other
    return found


def _rounds_to(exact: str, rounded: str) -> bool:
    """Whether each dimension of a name is the other's, or its fraction rounded to three decimals."""
    pairs = [re.findall(r"\d+-\d+/\d+|\d+/\d+|\d*\.\d+|\d+", name.partition(" ")[2]) for name in (exact, rounded)]
    if exact.partition(" ")[0] != rounded.partition(" ")[0] or len(pairs[0]) != len(pairs[1]):
        return False
    for one, two in zip(*pairs, strict=True):
        a, b = _dimension(one), _dimension(two)
        if a != b and not (a.denominator & (a.denominator - 1) == 0 and Fraction(round(a * _ROUNDED), _ROUNDED) == b):
            return False
    return True


def _dimension(text: str) -> Fraction:
    whole, _, part = text.rpartition("-")
    return (int(whole) if whole else 0) + Fraction(part)


def _settle_lengths(listing: List) -> None:
    """Give bare lengths their unit and open ones their value."""
    lengths = [
        entry.draft.length
        for entry in listing.entries
        if entry.draft and entry.draft.length and entry.kind in {Kind.PART, Kind.OFFER}
    ]
    unit, why = (listing.unit, "") if listing.unit else _usual_unit(listing, lengths)
    said = not why
    for entry in listing.entries:
        draft = entry.draft
        if draft is None or draft.length is None or entry.kind not in {Kind.PART, Kind.OFFER}:
            continue
        bare = draft.length.unit is None and not draft.length.shop
        _settle_unit(entry, draft, unit, listing)
        if bare and not said and entry.kind is not Kind.QUESTION:
            entry.notes.append(why)
            said = True
        if entry.kind is not Kind.QUESTION and draft.length is not None and draft.length.grouped is not None:
            _settle_sign(entry, draft, listing)
        if entry.kind is not Kind.QUESTION and draft.length is not None:
            _check_length(entry, draft, listing)
    listing.unit = unit or (Unit.IN if listing.around.system is System.INCH else Unit.MM)


def _usual_unit(listing: List, lengths: Sequence[Measured]) -> tuple[Unit | None, str]:
    """Return the unit of bare lengths that the list shows, and why."""
    written = [length.unit for length in lengths if length.unit is not None]
    shop = any(length.shop for length in lengths if length.unit is None)
    imperial = [unit for unit in written if unit in {Unit.IN, Unit.FT}]
    metric = [unit for unit in written if unit not in {Unit.IN, Unit.FT}]
    if imperial and metric:
        return None, ""
    if imperial or shop:
        return (None, "") if metric else (Unit.IN, "bare lengths are inches, as the list's other lengths are")
    if metric:
        unit = Unit.MM if Unit.MM in metric else metric[0]
        return unit, f"bare lengths are {unit}, as the list's other lengths are"
    if listing.around.system is not None:
        unit = Unit.IN if listing.around.system is System.INCH else Unit.MM
        return unit, f"bare lengths are {'inches' if unit is Unit.IN else 'mm'}, as its sections are"
    systems = {_system(entry.draft.section) for entry in listing.entries if entry.draft and entry.draft.section}
    systems.discard(None)
    if len(systems) == 1:
        unit = Unit.IN if systems == {System.INCH} else Unit.MM
        return unit, f"bare lengths are {'inches' if unit is Unit.IN else 'mm'}, as its sections are"
    return None, ""


def _system(section: Section) -> System | None:
    """Return the unit of a section's dimensions as its canonical name shows it."""
    if not section.family or not section.sides:
        return System.INCH if "/" in section.name else None
    if section.name.startswith(("PIPE", "C")) and section.family in {"pipe", "channel"}:
        return System.INCH
    larger = section.sides[0]
    return System.INCH if "/" in section.name or (larger / Unit.IN.mm * 8).denominator == 1 else System.MM


def _settle_unit(entry: Entry, draft: Draft, unit: Unit | None, listing: List) -> None:
    """Give a bare length its unit; asked where nothing tells or the number can't be in it."""
    length = draft.length
    assert length is not None
    if length.unit is not None:
        return
    chosen = Unit.IN if length.shop and unit is not Unit.FT else unit
    if chosen is None and draft.section is not None:
        chosen = {System.INCH: Unit.IN, System.MM: Unit.MM, None: None}[_system(draft.section)]
        if chosen is not None:
            entry.notes.append(f"taken as {chosen}, as its section is")
    value = length.value if length.grouped is None else length.grouped
    own = _system(draft.section) if draft.section is not None else None
    agrees = own is None or length.shop or (own is System.INCH) == (chosen in {Unit.IN, Unit.FT})
    likely = chosen is not None and agrees and _LEAST_BARE[chosen] <= value <= _MOST_BARE[chosen]
    if chosen is not None and (likely or listing.unit is not None or length.grouped is not None):
        draft.length = replace(length, unit=chosen)
        return
    _ask_unit(entry, length, chosen, value, listing)


def _ask_unit(entry: Entry, length: Measured, chosen: Unit | None, value: Fraction, listing: List) -> None:
    """Ask for the unit of a bare length."""
    possible = [unit for unit in (Unit.IN, Unit.MM, Unit.M, Unit.FT) if _LEAST_BARE[unit] < value <= _MOST_BARE[unit]]
    possible = [unit for unit in possible if unit is not Unit.FT or chosen in {Unit.IN, Unit.FT}]
    cell = _length_cell(entry, listing)
    text = cell.text if cell else entry.row.text
    end = len(text[: length.end].rstrip())
    doubt = f"{float(value):g} {chosen} of such a section? " if chosen else ""
    entry.ask(
        Ask(
            message=f"{doubt}which unit? write it behind the number, or state one for the list",
            position=length.start,
            rewrites=tuple(
                Rewrite(reading=f"{float(value):g} {unit}", start=end, end=end, text=f" {unit}") for unit in possible
            ),
        ),
        cell,
        listing.delimiter,
    )


def _length_cell(entry: Entry, listing: List) -> Cell | None:
    """Return the cell of a row's length, None for free text."""
    if listing.columns is None or not entry.row.cells or sum(bool(cell.text) for cell in entry.row.cells) < 2:  # noqa: PLR2004
        return None
    for role in (Role.LENGTH, Role.SECTION):
        for at, column in enumerate(listing.columns):
            if column is not None and column.role is role and at < len(entry.row.cells):
                return entry.row.cells[at]
    return None


def _settle_sign(entry: Entry, draft: Draft, listing: List) -> None:
    """Settle whether a sign is a decimal's or a thousands separator."""
    assert draft.length is not None
    settled, note, ask = settle_open(draft.length, listing.around.decimal, draft.length.unit)
    if note:
        entry.notes.append(note)
    if ask is not None:
        entry.ask(ask, _length_cell(entry, listing), listing.delimiter)
    draft.length = settled


def _check_length(entry: Entry, draft: Draft, listing: List) -> None:
    """Refuse a length of nothing."""
    assert draft.length is not None
    if draft.length.value <= 0:
        entry.ask(
            Ask(message="a length is above 0; write one such as 80 1/2 or 2042.5 mm", position=draft.length.start),
            _length_cell(entry, listing),
            listing.delimiter,
        )


def ends_of(entry: Entry, listing: List):  # noqa: ANN201
    """Return the ends of a part; what is open about them becomes a question of its line."""
    draft = entry.draft
    assert draft is not None
    if draft.ends is None or draft.section is None:
        return None
    cell = _ends_cell(entry, listing)
    text = cell.text if cell else entry.row.text
    written = find_ends(plain(text))[2]
    ends, asks, notes = make_ends(draft.ends, draft.section, written=written, end=len(text.rstrip()))
    entry.notes += [note for note in notes if note not in entry.notes]
    for ask in asks:
        entry.ask(ask, cell, listing.delimiter)
    return ends


def _ends_cell(entry: Entry, listing: List) -> Cell | None:
    """Return the cell that speaks of a row's ends."""
    if listing.columns is None or not entry.row.cells:
        return None
    for role in (Role.ENDS, Role.NOTE, Role.SECTION, Role.LENGTH):
        for at, column in enumerate(listing.columns):
            cell = entry.row.cells[at] if at < len(entry.row.cells) else None
            if cell and column is not None and column.role is role and find_ends(plain(cell.text))[0] is not None:
                return cell
    for cell in entry.row.cells:
        if find_ends(plain(cell.text))[0] is not None:
            return cell
    return None


_Namer = Callable[[Entry], str]
_UNUSED = (SectionError, show_length)
