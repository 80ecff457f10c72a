"""Read a whole list: line by line, then settle what one line leaves to the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from cutting.question.job import Ends, Section
from cutting.question.lengths import Unit
from shared.reading.aside.yards import Yards
from shared.reading.grid.aligned import aligned
from shared.reading.grid.cells import MOST_LINE, Cell, Row, Sheet
from shared.reading.grid.titles import Role
from shared.reading.line.angled import make_ends
from shared.reading.lists.entry import Entry, List
from shared.reading.lists.families import settle_materials, settle_sections
from shared.reading.lists.pasted import ask_columns
from shared.reading.lists.quoted import ask_quoted
from shared.reading.lists.rows import Reader, read_all
from shared.reading.lists.units import settle_lengths
from shared.reading.text.ends import find_ends
from shared.reading.text.evidence import decimal_sign, is_numbered, system_of
from shared.reading.text.tokens import plain, tokenize
from shared.reading.values.draft import Around
from shared.reading.values.result import Choice, Kind
from shared.sections.words import tags_of

__all__ = ["ends_of", "read_rows"]

_LEAST_WORD: Final = 3
_MOST_OFFERED: Final = 6


def read_rows(
    sheet: Sheet, *, offers: bool, unit: Unit | None, known: Sequence[Section] = (), yards: Yards | None = None
) -> List:
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
    yards : Yards or None
        The yards that are known already; None for a list without any.
    """
    sheet = aligned(sheet)
    rows = [row for row in sheet.rows if len(row.text) <= MOST_LINE]
    texts = _texts(sheet, rows)
    around = Around(
        decimal=decimal_sign(texts),
        system=system_of(texts),
        offers=offers,
        numbered=not sheet.delimiter and is_numbered([text for text in texts if text.strip()]),
        section=known[0] if offers and len(known) == 1 else None,
    )
    reader = Reader(sheet, around, unit, yards)
    entries = read_all(reader, sheet)
    listing = List(
        entries=entries,
        around=around,
        unit=unit or reader.state.stated_unit,
        delimiter=sheet.delimiter,
    )
    ask_columns(entries)
    ask_quoted(entries)
    _offer_sections(entries, known)
    _multiply_above(entries)
    settle_sections(listing, known)
    settle_materials(listing, known)
    settle_lengths(listing)
    return listing


def _texts(sheet: Sheet, rows: Sequence[Row]) -> list[str]:
    """Return the texts that show the list's habits: cells of a table, without those that are numbers anyway."""
    if not sheet.delimiter:
        return [row.text for row in rows]
    return [cell.text for row in rows for cell in row.cells if cell.number is None and cell.text]


def _offer_sections(entries: Sequence[Entry], known: Sequence[Section]) -> None:
    """Offer the list's own sections where a line names none."""
    named = {entry.draft.section.name: None for entry in entries if entry.draft and entry.draft.section}
    names = list(named) or [section.name for section in known]
    if len(names) > _MOST_OFFERED:
        return
    for entry in entries:
        for at, question in enumerate(entry.questions):
            if question.message.startswith("no section;") and not question.choices and not _names_family(entry):
                choices = tuple(Choice(reading=name, line=_with_section(entry, name)) for name in names)
                entry.questions[at] = replace(question, choices=choices)


def _names_family(entry: Entry) -> bool:
    """Whether a line says what it is cut from, if not how large: then none of the list's other sections is meant."""
    words = (token.word for token in tokenize(plain(entry.row.text)) if token.word)
    return any(len(word) >= _LEAST_WORD and tags_of(word) for word in words)


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


def ends_of(entry: Entry, listing: List) -> Ends | None:
    """Return the ends of a part; what is open about them becomes a question of its line."""
    draft = entry.draft
    assert draft is not None
    if draft.ends is None or draft.section is None:
        return None
    cell = _ends_cell(entry)
    text = cell.text if cell else entry.row.text
    written = find_ends(plain(text))[2]
    ends, asks, notes = make_ends(draft.ends, draft.section, written=written, end=len(text.rstrip()))
    entry.notes += [note for note in notes if note not in entry.notes]
    for ask in asks:
        entry.ask(ask, cell, listing.delimiter)
    return ends


def _ends_cell(entry: Entry) -> Cell | None:
    """Return the cell that speaks of a row's ends."""
    if not entry.columns:
        return None
    for role in (Role.ENDS, Role.NOTE, Role.SECTION, Role.LENGTH):
        for at, column in enumerate(entry.columns):
            cell = entry.row.cells[at] if at < len(entry.row.cells) else None
            if cell and column is not None and column.role is role and find_ends(plain(cell.text))[0] is not None:
                return cell
    for cell in entry.row.cells:
        if find_ends(plain(cell.text))[0] is not None:
            return cell
    return None
