"""Columns of numbers that nothing says the meaning of: asked in the header, since a remark would be a guess."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

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
_GAP: Final = 2


def ask_columns(header: Row, columns: list[Column | None], rows: Sequence[Row], *, offers: bool) -> Ask | None:
    """Ask what a column of numbers holds, where the list lacks what it may be; None where nothing is open.

    Parameters
    ----------
    header : Row
        The row of titles.
    columns : list of Column or None
        What is known of them; prices of which one is paid are remarks until that is answered.
    rows : sequence of Row
        The rows below.
    offers : bool
        Whether it is a list of sticks.
    """
    prices = [at for at, column in enumerate(columns) if column is not None and column.role is Role.PRICE]
    if offers and len(prices) > 1:
        for at in prices:
            columns[at] = Column(Role.SAID, header.cells[at].text)
        return _which_price(header, prices)
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


def _which_price(header: Row, prices: Sequence[int]) -> Ask:
    """Ask which of several prices is paid."""
    cells = [header.cells[at] for at in prices]
    titles = " and ".join(cell.text for cell in cells)
    choices = []
    for kept in cells:
        text, at = "", cells[0].start
        for cell in cells:
            text += header.text[at : cell.start] + (cell.text if cell is kept else f"Note {cell.text}")
            at = cell.end
        choices.append(Rewrite(reading=kept.text, start=cells[0].start, end=at, text=text))
    return Ask(message=f"{titles}: which one is to be paid?", position=cells[0].start, rewrites=tuple(choices))


def _titled(text: str, start: int, end: int, title: str) -> Iterator[tuple[str, int]]:
    """Yield a title put where another stood, and up to where; nothing where columns set with spaces would move."""
    if "  " not in text.strip():
        yield title, end
    elif len(title) <= end - start:
        yield title.ljust(end - start), end
    elif not text[end : start + len(title) + _GAP].strip():
        yield title, min(start + len(title), len(text))
