"""Columns of numbers that nothing says the meaning of: asked in the header, since a remark would be a guess."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.grid.cells import Row
from shared.reading.grid.columns import count_in, is_money, texts_at
from shared.reading.grid.headers import Column
from shared.reading.grid.titles import Role
from shared.reading.values.draft import Ask, Rewrite

__all__ = ["ask_columns"]

_SHARE: Final = 0.75
_BARE: Final = re.compile(r"\d+(?:[.,]\d+)?")
_COUNTS: Final = frozenset({Role.QUANTITY, Role.EACH, Role.NUMBER})
_PRICES: Final = frozenset({Role.PRICE, Role.BREAK, Role.LISTED})
_PAPER: Final = frozenset({"section", "from", "quantity", "plan"})
"""Titles that buy lists and requests of a plan have together."""
_GAP: Final = 2


def ask_columns(header: Row, columns: list[Column | None], rows: Sequence[Row], *, offers: bool) -> Ask | None:
    """Ask what a column of numbers holds, where the list lacks what it may be; None where nothing is open.

    Parameters
    ----------
    header : Row
        The row of titles.
    columns : list of Column or None
        What is known of them; those of which one is meant are remarks until that is answered.
    rows : sequence of Row
        The rows below.
    offers : bool
        Whether it is a list of sticks.
    """
    own = _of_a_plan(header)
    if own is not None:
        return own
    prices = _at(columns, Role.PRICE) if offers else []
    if len(prices) > 1:
        return _which(header, columns, prices, "to be paid")
    lengths = _at(columns, Role.LENGTH)
    feet = [column.unit for column in columns if column is not None and column.role is Role.LENGTH] == [
        Unit.FT,
        Unit.IN,
    ]
    if len(lengths) > 1 and not feet and any(_all_filled(row, lengths) for row in rows):
        return _which(header, columns, lengths, "the length of the stick" if offers else "the length of the part")
    roles = {column.role for column in columns if column is not None}
    lacking = []
    if not roles & _COUNTS:
        lacking.append(("how many are in stock", "Stock") if offers else ("how many there are", "Qty"))
    if offers and not roles & _PRICES:
        lacking.append(("the price of a stick", "Price"))
    for at, column in enumerate(columns):
        if lacking and column is not None and _may_count(column) and _of_numbers(texts_at(rows, at)):
            cell = header.cells[at]
            choices = tuple(
                Rewrite(reading=reading, start=cell.start, end=end, text=text)
                for reading, title in (*lacking, ("a remark", "Note"))
                for text, end in _titled(header.text, cell.start, cell.end, title)
            )
            return Ask(message=f"what does the column {cell.text} hold?", position=cell.start, rewrites=choices)
    return None


def _may_count(column: Column) -> bool:
    total = re.fullmatch(r"\W*(?:total|gesamt|totale|totaal|summe|sum)\W*", column.title, re.IGNORECASE)
    return column.role is Role.OTHER or (column.role is Role.IGNORED and total is not None)


def _of_numbers(texts: Sequence[str]) -> bool:
    numbers = sum(count_in(text) is not None or is_money(text) or bool(_BARE.fullmatch(text)) for text in texts)
    return bool(texts) and numbers >= _SHARE * len(texts)


def _at(columns: Sequence[Column | None], role: Role) -> list[int]:
    return [at for at, column in enumerate(columns) if column is not None and column.role is role]


def _all_filled(row: Row, places: Sequence[int]) -> bool:
    return all(at < len(row.cells) and row.cells[at].text for at in places)


def _of_a_plan(header: Row) -> Ask | None:
    """Ask whether a plan's buy list or request is meant; without the column that tells it is a list like others."""
    titles = {cell.text.strip().lower(): cell for cell in header.cells}
    if not titles.keys() >= _PAPER:
        return None
    cell = titles["plan"]
    return Ask(
        message="this is what a plan buys, and no list of parts or of what a yard has; is it meant as one?",
        position=0,
        rewrites=(Rewrite(reading="its rows are meant", start=cell.start, end=cell.end, text="note"),),
    )


def _which(header: Row, columns: list[Column | None], places: Sequence[int], what: str) -> Ask:
    """Ask which of several columns is meant; until that is answered they are remarks."""
    cells = [header.cells[at] for at in places]
    for at in places:
        columns[at] = Column(Role.SAID, header.cells[at].text)
    titles = " and ".join(cell.text for cell in cells)
    choices = []
    for kept in cells if "  " not in header.text.strip() else ():
        text, at = "", cells[0].start
        for cell in cells:
            text += header.text[at : cell.start] + (cell.text if cell is kept else f"Note {cell.text}")
            at = cell.end
        choices.append(Rewrite(reading=kept.text, start=cells[0].start, end=at, text=text))
    return Ask(message=f"{titles}: which one is {what}?", position=cells[0].start, rewrites=tuple(choices))


def _titled(text: str, start: int, end: int, title: str) -> Iterator[tuple[str, int]]:
    """Yield a title put where another stood, and up to where; nothing where columns set with spaces would move."""
    if "  " not in text.strip():
        yield title, end
    elif len(title) <= end - start:
        yield title.ljust(end - start), end
    elif not text[end : start + len(title) + _GAP].strip():
        yield title, min(start + len(title), len(text))
