"""The rack as a workbook that `shared.work.rack.intake` reads again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from shared.work.rack.bars import Bar
from shared.work.rack.columns import COLUMNS, STOCK_TAKE, ColumnOfRack
from shared.work.rack.exchange import in_order, rack_rows, untamed
from shared.writers.xlsx.cells import Book, Column, Leaf, Text
from shared.writers.xlsx.write import write_workbook

__all__ = ["rack_xlsx", "stock_take_xlsx"]


def rack_xlsx(bars: Sequence[Bar], works: Mapping[str, str], now: datetime) -> bytes:
    """Write bars as a workbook.

    Parameters
    ----------
    bars : sequence of Bar
        Which.
    works : mapping of str to str
        Titles of works by id.
    now : datetime
        Printed at the foot.
    """
    return _workbook("Rack", COLUMNS, rack_rows(bars, works, COLUMNS), now)


def stock_take_xlsx(bars: Sequence[Bar], works: Mapping[str, str], now: datetime) -> bytes:
    """Write the list to take stock with as a workbook; parameters as in `rack_xlsx`."""
    return _workbook("Stock-take", STOCK_TAKE, rack_rows(in_order(bars), works, STOCK_TAKE), now)


def _workbook(name: str, columns: Sequence[ColumnOfRack], rows: Sequence[tuple[str, ...]], now: datetime) -> bytes:
    leaf = Leaf(
        name=name,
        columns=tuple(Column(head=each.col.value, wide=each.wide) for each in columns),
        rows=tuple(tuple(Text(_marked(text)) for text in row) for row in rows),
    )
    foot = f"{name}, {now:%Y-%m-%d}"
    return write_workbook(Book(title=name, foot=foot, date=f"{now:%Y-%m-%d}", paper="a4", leaves=(leaf,)))


def _marked(text: str) -> str:
    """Return a text as a cell, where it needs no taming: only what looks tamed gets one apostrophe more."""
    return f"'{text}" if untamed(text) != text else text
