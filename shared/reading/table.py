"""Read the rows of a table: by its header, or by what its columns hold."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from cutting.lengths import Unit
from shared.reading.columns import count_in
from shared.reading.draft import Around, Ask, Draft, Measured, Rewrite
from shared.reading.ends import find_ends
from shared.reading.finish import take_finish
from shared.reading.headers import Column, Role
from shared.reading.lengths import LENGTH_UNITS, measured
from shared.reading.line import read_line
from shared.reading.money import read_price
from shared.reading.quantity import explicit_quantity
from shared.reading.sheet import Cell, Row
from shared.reading.tokens import plain, unit_of
from shared.reading.vocabulary import DITTO, fold
from shared.reading.work import open_work
from shared.sections import System

__all__ = ["Above", "read_row"]

_EMPTY: Final = frozenset({"", "-", "--", "n/a", "na", "/"})
_SAME_AS_ABOVE: Final = DITTO | {""}


@dataclass(slots=True)
class Above:
    """The cells of the row above, for ditto, by role."""

    texts: dict[Role, str]


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
    texts, cells = _by_role(row, columns, above)
    for role, reader in (
        (Role.QUANTITY, _read_quantity),
        (Role.EACH, _read_each),
        (Role.LENGTH, _read_length),
        (Role.PRICE, _read_price),
    ):
        if role in cells and (texts[role] not in _EMPTY or role is Role.QUANTITY):
            _reading(
                draft,
                places,
                cells[role],
                lambda reader=reader, role=role: reader(draft, cells[role], texts[role], columns, around),
            )
    if draft.length is not None and draft.length.unit is None and texts.get(Role.UNIT):
        named = unit_of(texts[Role.UNIT])
        draft.length = replace(draft.length, unit=Unit(named)) if named in LENGTH_UNITS else draft.length
    draft.mark = texts.get(Role.MARK, "")
    draft.assembly = texts.get(Role.ASSEMBLY, "")
    ends = texts.get(Role.ENDS, "")
    if ends:
        _reading(draft, places, cells[Role.ENDS], lambda: _read_ends(draft, ends))
    _read_section(draft, places, texts, cells, around)
    notes = [text for text in (draft.note, texts.get(Role.NOTE, "")) if text]
    if Role.NOTE in cells and texts.get(Role.NOTE) and draft.ends is None:
        _reading(draft, places, cells[Role.NOTE], lambda: _ends_in_note(draft, texts[Role.NOTE], notes))
    note = ", ".join(notes)
    draft.note = take_finish(draft, note) if draft.section is not None and not draft.also else note
    return draft, places


def _reading(draft: Draft, places: dict[int, Cell], cell: Cell, reader: object) -> None:
    """Read a cell and remember it as the place of the questions that come up."""
    before = len(draft.asks)
    reader()  # type: ignore[operator]
    places.update(dict.fromkeys(range(before, len(draft.asks)), cell))


def _by_role(row: Row, columns: Sequence[Column | None], above: Above) -> tuple[dict[Role, str], dict[Role, Cell]]:
    """Return text and cell of each role; several columns of a role are joined, ditto is the row above."""
    texts: dict[Role, str] = {}
    cells: dict[Role, Cell] = {}
    for at, cell in enumerate(row.cells):
        column = columns[at] if at < len(columns) else None
        role = column.role if column is not None else Role.NOTE
        if role is Role.IGNORED or (column is None and not cell.text):
            continue
        text = cell.text
        if role in cells and text:
            texts[role] = f"{texts[role]}{', ' if role is Role.NOTE else ' '}{text}".strip(" ,")
            cells[role] = cell if not cells[role].text else Cell(texts[role], -1, -1)
        elif role not in cells:
            texts[role], cells[role] = text, cell
    for role in (Role.SECTION, Role.LENGTH, Role.MATERIAL, Role.ASSEMBLY):
        if role in texts and _is_ditto(texts[role]):
            texts[role] = above.texts.get(role, "")
        elif texts.get(role):
            above.texts[role] = texts[role]
    return texts, cells


def _is_ditto(text: str) -> bool:
    return fold(text) in DITTO or text in {'"', "''", "″", "”", "〃", '" "', '""'}


def _read_quantity(draft: Draft, cell: Cell, text: str, columns: Sequence[Column | None], around: Around) -> None:
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
    elif draft.length is None and not around.offers:
        draft.asks.append(Ask(message="no quantity in this row; write a whole number such as 4", position=0))
    del columns


def _read_each(draft: Draft, cell: Cell, text: str, columns: Sequence[Column | None], around: Around) -> None:
    """Read a quantity per assembly: only where there is no column with the whole quantity."""
    if draft.quantity is None:
        _read_quantity(draft, cell, text, columns, around)


def _read_length(draft: Draft, cell: Cell, text: str, columns: Sequence[Column | None], around: Around) -> None:
    """Read a length cell: one number, in the column's unit where it states none itself."""
    unit = next((column.unit for column in columns if column is not None and column.role is Role.LENGTH), None)
    if cell.note:
        draft.asks.append(Ask(message=cell.note, position=0))
        return
    if cell.number is not None:
        draft.length = Measured(value=cell.number, unit=unit, start=0, end=len(text))
        return
    work = open_work(plain(text), (), prices=False)
    numbers = [token for token in work.tokens if token.kind == "number"]
    if len(numbers) != 1:
        if _range_in_cell(draft, text, work.text):
            return
        draft.asks.append(Ask(message=f"{text} is no single length; write one such as 80 1/2 or 2042.5 mm", position=0))
        return
    token = numbers[0]
    if work.text[token.end : token.end + 1].isalnum():
        draft.asks.append(Ask(message=f"{text} is no length; write one such as 80 1/2 or 2042.5 mm", position=0))
        return
    if token.form == "spaced":
        token = replace(token, form="grouped", value=token.readings[2])
    if token.form == "feet?":
        token = replace(token, form="feet")
    found = measured(token, draft, around)
    if found is None:
        if not draft.asks:
            draft.asks.append(Ask(message=f"{text} is no length; write one such as 80 1/2 or 2042.5 mm", position=0))
        return
    draft.length = found if found.unit is not None or unit is None else replace(found, unit=unit)
    work.take([work.tokens.index(numbers[0])])
    rest = work.rest()
    if rest and rest not in {"-", "+/-"}:
        draft.note = rest
        ends, _, written = find_ends(plain(text))
        if ends is not None and written:
            draft.ends, draft.note = ends, ""


def _range_in_cell(draft: Draft, text: str, line: str) -> bool:
    """Ask about ``6-8`` in a length cell."""
    probe = read_line(f"1 pc @ {text}", Around(section=None))
    asks = [ask for ask in probe.asks if "two readings" in ask.message]
    for ask in asks:
        shift = len("1 pc @ ")
        rewrites = tuple(replace(r, start=r.start - shift, end=r.end - shift) for r in ask.rewrites)
        draft.asks.append(replace(ask, position=ask.position - shift, rewrites=rewrites))
    del line
    return bool(asks)


def _read_price(draft: Draft, cell: Cell, text: str, columns: Sequence[Column | None], around: Around) -> None:
    """Read a price cell."""
    header = next((column.title for column in columns if column is not None and column.role is Role.PRICE), "")
    shown = text if cell.number is None else format(float(cell.number), "f").rstrip("0").rstrip(".")
    if cell.number is not None and "." in shown and len(shown.partition(".")[2]) == 3:  # noqa: PLR2004
        shown += "0"
    draft.money = read_price(shown, draft, header=header)
    del around


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
    elif not square and not bare and text not in _EMPTY:
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
    had_length, had_quantity = draft.length is not None, draft.quantity is not None
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
        draft.section = _with_material(draft, material)
    places.update(dict.fromkeys(range(before, len(draft.asks)), cells[Role.SECTION]))
    del had_length, had_quantity


def _plain_section(draft: Draft, text: str) -> None:
    """Take a cell that names a section we don't know as its plain name."""
    from shared.sections import understand  # noqa: PLC0415

    if draft.length is not None:
        draft.section = understand(text)
        draft.note = ""


def _with_material(draft: Draft, material: str):  # noqa: ANN202
    """Return the draft's section in a material."""
    from shared.sections import understand  # noqa: PLC0415

    assert draft.section is not None
    joined = " ".join(dict.fromkeys([material, *([draft.section.material] if draft.section.material else [])]))
    return understand(draft.section.name, joined)


_ZERO = Fraction(0)
