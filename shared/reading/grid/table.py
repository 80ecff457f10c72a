"""Read the rows of a table: by its header, or by what its columns hold."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

from cutting.question.job import Section
from cutting.question.lengths import Unit
from shared.reading.grid.by_role import EMPTY, Above, by_role
from shared.reading.grid.cells import Cell, Row
from shared.reading.grid.columns import count_in
from shared.reading.grid.headers import Column
from shared.reading.grid.prices import read_discount, read_price_cell
from shared.reading.grid.stock import in_stock
from shared.reading.grid.titles import Role
from shared.reading.line.finish import take_finish
from shared.reading.line.line import read_line
from shared.reading.line.measured import LENGTH_UNITS, measured
from shared.reading.line.quantity import explicit_quantity
from shared.reading.text.ends import find_ends
from shared.reading.text.tokens import Token, plain, unit_of
from shared.reading.values.draft import Around, Ask, Draft, Measured, Rewrite
from shared.reading.values.line_state import open_work
from shared.sections import System, understand
from shared.sections.words import Tag, tags_of

__all__ = ["read_row"]


def read_row(row: Row, columns: Sequence[Column | None], around: Around, above: Above) -> tuple[Draft, dict[int, Cell]]:
    """Read one row by its columns.

    Returns
    -------
    Draft
        What the row says.
    dict of int to Cell
        For each of the draft's questions, by index, the cell it is about.
    """
    draft = Draft()
    places: dict[int, Cell] = {}
    texts, cells = by_role(row, columns, above)
    readers: dict[Role, Callable[[Cell, str], None]] = {
        Role.QUANTITY: lambda cell, text: (
            _read_stock(draft, cell, text) if around.offers else _read_quantity(draft, cell, text, needed=True)
        ),
        Role.NUMBER: lambda _, text: _ask_number(draft, text),
        Role.EACH: lambda cell, text: _read_each(draft, cell, text),
        Role.LENGTH: lambda cell, text: _read_length(draft, cell, text, _length_unit(columns), around),
        Role.PRICE: lambda cell, text: read_price_cell(draft, cell, text, _title(columns, Role.PRICE)),
    }
    for role, reader in readers.items():
        if role in cells and (texts[role] not in EMPTY or role is Role.QUANTITY):
            with _asking(draft, places, cells[role]):
                reader(cells[role], texts[role])
    if texts.get(Role.DISCOUNT, "") not in EMPTY:
        read_discount(draft, row, cells.get(Role.PRICE), cells[Role.DISCOUNT], texts[Role.DISCOUNT])
    if draft.length is not None and draft.length.unit is None and texts.get(Role.UNIT):
        named = unit_of(texts[Role.UNIT])
        draft.length = replace(draft.length, unit=Unit(named)) if named in LENGTH_UNITS else draft.length
    _check_centre(draft, places, cells)
    draft.mark = texts.get(Role.MARK, "")
    draft.assembly = texts.get(Role.ASSEMBLY, "")
    ends = texts.get(Role.ENDS, "")
    if ends:
        with _asking(draft, places, cells[Role.ENDS]):
            _read_ends(draft, ends)
    _read_section(draft, places, texts, cells, around)
    notes = [text for text in (draft.note, texts.get(Role.NOTE, "")) if text]
    if texts.get(Role.NOTE) and draft.ends is None:
        _ends_in_note(draft, texts[Role.NOTE], notes)
    note = ", ".join(notes)
    draft.note = take_finish(draft, note) if draft.section is not None and not draft.also else note
    return draft, places


def _check_centre(draft: Draft, places: dict[int, Cell], cells: dict[Role, Cell]) -> None:
    """Ask for the ends of a part whose length along the centre line is another: they are angled."""
    length, centre = cells.get(Role.LENGTH), cells.get(Role.CENTRE)
    if length is None or centre is None or not centre.text or Role.ENDS in cells or length.text == centre.text:
        return
    with _asking(draft, places, length):
        message = (
            f"{centre.text} along the centre line: which ends? write them behind the length, such as 45/45 long point"
        )
        draft.asks.append(Ask(message=message, position=len(length.text)))


@contextmanager
def _asking(draft: Draft, places: dict[int, Cell], cell: Cell) -> Iterator[None]:
    """Remember a cell as the place of the questions that come up meanwhile."""
    before = len(draft.asks)
    yield
    places.update(dict.fromkeys(range(before, len(draft.asks)), cell))


def _length_unit(columns: Sequence[Column | None]) -> Unit | None:
    return next((column.unit for column in columns if column is not None and column.role is Role.LENGTH), None)


def _title(columns: Sequence[Column | None], role: Role) -> str:
    return next((column.title for column in columns if column is not None and column.role is role), "")


def _read_quantity(draft: Draft, cell: Cell, text: str, *, needed: bool) -> None:
    """Read a quantity cell."""
    if cell.number is not None and cell.number.denominator == 1:
        draft.quantity = int(cell.number)
    elif text:
        work = open_work(plain(text), (), prices=False)
        draft.quantity = count_in(text)
        if draft.quantity is None:
            draft.asks.append(Ask(message=f"{text} is no quantity; write a whole number such as 4", position=0))
        elif len(work.tokens) > 1:
            explicit_quantity(work, draft)
    elif needed:
        draft.asks.append(Ask(message="no quantity in this row; write a whole number such as 4", position=0))


def _read_stock(draft: Draft, cell: Cell, text: str) -> None:
    """Read how many sticks are in stock: a number, or words for none or as many as one likes."""
    said = in_stock(text)
    if text and (said == text or cell.number is not None):
        _read_quantity(draft, cell, text, needed=False)
    elif isinstance(said, int):
        draft.quantity = said
        draft.notes.append(f"{text}: {said} taken" if said else text)
    elif text:
        draft.notes.append(f"{text}: any number")


def _ask_number(draft: Draft, text: str) -> None:
    """Ask where a column of 1, 2, 3 may count the rows or the pieces."""
    message = f"is {text} the number of the row or a quantity? write Qty or Item over the column"
    draft.asks.append(Ask(message=message, position=0))


def _read_each(draft: Draft, cell: Cell, text: str) -> None:
    """Read a quantity per assembly: only where there is no column with the whole quantity."""
    if draft.quantity is None:
        _read_quantity(draft, cell, text, needed=True)


def _read_length(draft: Draft, cell: Cell, text: str, unit: Unit | None, around: Around) -> None:
    """Read a length cell: one number, in the column's unit where it states none itself."""
    if cell.note:
        draft.asks.append(Ask(message=cell.note, position=0))
    elif cell.number is not None:
        draft.length = Measured(value=cell.number, unit=unit, start=0, end=len(text))
    else:
        _read_length_text(draft, text, unit, around)


def _read_length_text(draft: Draft, text: str, unit: Unit | None, around: Around) -> None:
    """Read a length that is written out."""
    work = open_work(plain(text), (), prices=False)
    numbers = [at for at, token in enumerate(work.tokens) if token.kind == "number"]
    attached = bool(numbers) and work.text[work.tokens[numbers[0]].end :][:1].isalnum()
    if len(numbers) != 1 or attached:
        if not _range_in_cell(draft, text):
            draft.asks.append(_no_length(text))
        return
    found = measured(_one_number(work.tokens[numbers[0]]), draft, around)
    if found is None:
        draft.asks.append(_no_length(text))
        return
    draft.length = found if found.unit is not None or unit is None else replace(found, unit=unit)
    work.take(numbers)
    draft.note = work.rest()
    ends, _, written = find_ends(plain(text))
    if ends is not None and written:
        draft.ends, draft.note = ends, ""


def _no_length(text: str) -> Ask:
    return Ask(message=f"{text} is no single length; write one such as 80 1/2 or 2042.5 mm", position=0)


def _one_number(token: Token) -> Token:
    """Return a cell's number as the one that it is: the cell holds no quantity beside it."""
    if token.form == "spaced":
        return token._replace(form="grouped", value=token.readings[2])
    return token._replace(form="feet") if token.form == "feet?" else token


def _range_in_cell(draft: Draft, text: str) -> bool:
    """Ask about ``6-8`` in a length cell."""
    probe = read_line(f"1 pc @ {text}", Around(section=None))
    asks = [ask for ask in probe.asks if "two readings" in ask.message]
    for ask in asks:
        shift = len("1 pc @ ")
        rewrites = tuple(replace(r, start=r.start - shift, end=r.end - shift) for r in ask.rewrites)
        draft.asks.append(replace(ask, position=ask.position - shift, rewrites=rewrites))
    return bool(asks)


def _read_ends(draft: Draft, text: str) -> None:
    """Read a cell about the ends."""
    ends, square, _written = find_ends(plain(text))
    bare = re.fullmatch(r"(\d{1,2}(?:[.,]\d{1,2})?)\s*°?", text.strip())
    if ends is not None:
        draft.ends = ends
    elif bare and bare[1] not in {"90", "0", "00"}:
        draft.asks.append(
            Ask(
                message=f"{text} at one end or at both?",
                position=0,
                rewrites=tuple(
                    Rewrite(reading=say, start=0, end=len(text), text=put)
                    for say, put in (("both ends", f"{bare[1]}/{bare[1]}"), ("one end", f"{bare[1]}/90"))
                ),
            )
        )
    elif not square and not bare and text not in EMPTY:
        draft.note = text


def _ends_in_note(draft: Draft, text: str, notes: list[str]) -> None:
    """Take angled ends out of a note."""
    line = plain(text)
    ends, spans, written = find_ends(line)
    if ends is None:
        return
    draft.ends = ends
    if not written:
        draft.notes.append("mitred: 45° taken")
    rest = open_work(line, spans, prices=False).rest()
    notes[-1:] = [rest] if rest else []


def _read_section(
    draft: Draft, places: dict[int, Cell], texts: dict[Role, str], cells: dict[Role, Cell], around: Around
) -> None:
    """Read the cells that name the section, as a line of its own that may hold more than that."""
    text = texts.get(Role.SECTION, "")
    material = texts.get(Role.MATERIAL, "")
    if not text:
        if draft.length is not None and draft.section is None:
            draft.section = around.section
        return
    before = len(draft.asks)
    mark, note = draft.mark, draft.note
    draft.note = ""
    system = around.system
    if draft.length is not None and draft.length.unit is not None and system is None:
        system = System.INCH if draft.length.unit in {Unit.IN, Unit.FT} else System.MM
    held = draft.asks
    draft.asks = []
    inner = read_line(text, replace(around, system=system, section=around.section), draft)
    if inner.section is None and not inner.stated and not inner.also and not inner.asks:
        _plain_section(inner, text)
    inner.asks = [] if inner.also else held + inner.asks
    draft.mark = mark or draft.mark
    draft.note = ", ".join(part for part in (draft.note, note) if part)
    if material and draft.section is not None:
        draft.section = _with_material(draft.section, material)
    places.update(dict.fromkeys(range(before, len(draft.asks)), cells[Role.SECTION]))


def _plain_section(draft: Draft, text: str) -> None:
    """Take a cell that names a section we don't know as its plain name."""
    if draft.length is None:
        return
    if any(Tag.HOLLOW in tags_of(word) for word in re.findall(r"[^\W\d_]+", text)) and re.search(r"\d", text):
        draft.asks.append(Ask(message=f"{text}: which wall? write it whole, such as SHS 50x50x3", position=0))
        return
    draft.section = understand(text)
    draft.note = ""


def _with_material(section: Section, material: str) -> Section:
    """Return a section in a material, next to what its name says itself."""
    return understand(section.name, " ".join(dict.fromkeys([material, *section.material.split()])))
