"""What a line says beside its part or stick: prices by quantity, substitutes, its yard. Taken out before it is read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from cutting.question.job import Substitute
from shared.reading.aside.substitutes import find_substitutes
from shared.reading.aside.yards import Yards
from shared.reading.grid.cells import Cell, Row
from shared.reading.grid.headers import Column
from shared.reading.grid.titles import Role
from shared.reading.line.amounts import read_price
from shared.reading.line.breaks import BreakRead, find_breaks
from shared.reading.text.tokens import plain
from shared.reading.values.draft import Ask, Draft
from shared.sections import System

__all__ = ["Aside", "Sought", "take_from_cells", "take_from_line"]

_SIGNS: Final = " \t,;|:.-()[]"


@dataclass(slots=True)
class Aside:
    """What a line says beside its part or stick.

    Attributes
    ----------
    row : Row
        The line with all of it blanked out; every other sign keeps its place.
    breaks : list of BreakRead
        Prices by quantity.
    substitutes : list of Substitute
        Sections that will do as well.
    yard : str
        The yard it names.
    asks : list of (Ask, Cell or None)
        What is open about these, and in which cell.
    """

    row: Row
    breaks: list[BreakRead] = field(default_factory=list)
    substitutes: list[Substitute] = field(default_factory=list)
    yard: str = ""
    asks: list[tuple[Ask, Cell | None]] = field(default_factory=list)

    @property
    def alone(self) -> bool:
        """Whether the line says nothing else, so that it belongs to the line above."""
        return bool(self.breaks or self.substitutes) and not self.row.text.strip(_SIGNS)


@dataclass(frozen=True, kw_only=True, slots=True)
class Sought:
    """What is looked for: yards and breaks in a list of sticks, substitutes in a list of parts.

    Attributes
    ----------
    offers : bool
        Whether it is a list of sticks.
    yards : Yards or None
        None where nothing has a yard.
    system : System or None
        The unit of section dimensions that the rest of the list shows.
    """

    offers: bool
    yards: Yards | None
    system: System | None


def take_from_line(row: Row, sought: Sought) -> Aside:
    """Take it out of a line of free text."""
    aside = Aside(row=row)
    text = _blanked(row.text, _take(aside, plain(row.text), sought, None))
    aside.row = replace(row, text=text)
    return aside


def take_from_cells(row: Row, columns: Sequence[Column | None], sought: Sought) -> Aside:
    """Take it out of the cells of a table's row; columns of their own hold nothing else."""
    aside = Aside(row=row)
    cells = []
    for at, cell in enumerate(row.cells):
        column = columns[at] if at < len(columns) else None
        if cell.text and column is not None and _take_column(aside, cell, column, sought):
            cells.append(replace(cell, text="", number=None))
            continue
        spans = [] if cell.number is not None else _take(aside, plain(cell.text), sought, cell)
        text = _blanked(cell.text, spans)
        cells.append(replace(cell, text=text if text.strip(_SIGNS) else "") if spans else cell)
    aside.row = replace(row, cells=tuple(cells))
    return aside


def _take_column(aside: Aside, cell: Cell, column: Column, sought: Sought) -> bool:
    """Read a cell of a column that holds one of these; whether the column is such a one."""
    if column.role is Role.YARD and sought.yards is not None:
        aside.yard = sought.yards.named(cell.text)
        return True
    if column.role is Role.BREAK and sought.offers:
        draft = Draft()
        money = read_price(cell.text, draft, header=column.title)
        aside.asks += [(ask, cell) for ask in draft.asks]
        if money is not None:
            bare = money.per == "stick" and "/" not in cell.text
            aside.breaks.append(BreakRead(least=column.least, money=money, bare=bare))
        return True
    if column.role is Role.SUBSTITUTE and not sought.offers:
        _take_substitutes(aside, cell, sought)
        return True
    return False


def _take_substitutes(aside: Aside, cell: Cell, sought: Sought) -> None:
    text = plain(cell.text)
    found, spans, asks = find_substitutes(text, sought.system, whole=True)
    aside.substitutes += found
    aside.asks += [(ask, cell) for ask in asks]
    left = _blanked(text, spans).strip(_SIGNS)
    if left and not asks and left.lower() not in {"n/a", "none", "no", "nein", "non"}:
        message = f"{left} is no section; write which ones will do as well, such as SHS 2x2x3/16; SHS 2x2x1/4"
        aside.asks.append((Ask(message=message, position=max(cell.text.find(left), 0)), cell))


def _take(aside: Aside, text: str, sought: Sought, cell: Cell | None) -> list[tuple[int, int]]:
    """Find all of it in one text; returns where it stands."""
    if not sought.offers:
        substitutes, spans, asks = find_substitutes(text, sought.system)
        aside.substitutes += substitutes
    else:
        breaks, spans, asks = find_breaks(text)
        aside.breaks += breaks
        named = sought.yards.in_line(_blanked(text, spans)) if sought.yards is not None else None
        if named is not None:
            aside.yard, span = named
            spans = [*spans, span]
    aside.asks += [(ask, cell) for ask in asks]
    return spans


def _blanked(text: str, spans: Sequence[tuple[int, int]]) -> str:
    for start, end in spans:
        text = text[:start] + " " * (end - start) + text[end:]
    return text
