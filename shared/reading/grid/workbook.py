"""Workbooks within safe limits, and the values of their cells as text and exact numbers."""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Final, TypeAlias

from python_calamine import CalamineError, CalamineSheet, CalamineWorkbook

from shared.reading.grid.cells import MOST_COLUMNS, MOST_LINE, MOST_LINES, Cell, Row
from shared.reading.grid.extent import strays

__all__ = ["Values", "rows_of", "values_of"]

_MOST_UNPACKED: Final = 60_000_000
_MOST_RATIO: Final = 200
_SHOWN_DIGITS: Final = 15
"""Digits of a number that spreadsheets show; what is behind them is dust of the machine's arithmetic."""

Values: TypeAlias = list[list[object]]


def values_of(data: bytes) -> dict[str, Values] | str:
    """Return the values of a workbook's shown sheets that hold any, by name, or why they can't be read."""
    problem = _unsafe(data)
    if problem:
        return problem
    filled: dict[str, Values] = {}
    try:
        with CalamineWorkbook.from_filelike(io.BytesIO(data)) as book:
            for sheet in book.sheets_metadata:
                values = _sheet_values(book.get_sheet_by_name(sheet.name))
                if values is None:
                    return f"the sheet {sheet.name} has more than {MOST_LINES} rows; split the list"
                if any(value not in {"", None} for row in values for value in row):
                    filled[sheet.name] = values
    except (CalamineError, OSError, ValueError, zipfile.BadZipFile) as error:
        return f"this workbook can't be read ({error}); save it as xlsx, ods or CSV and try again"
    return filled or "this workbook is empty"


def _sheet_values(sheet: CalamineSheet) -> Values | None:
    """Return a sheet's values without the empty rows at its end, None where there are too many."""
    if sheet.total_height > 2 * MOST_LINES:
        return None
    values: Values = [_narrow(row) for row in sheet.to_python(skip_empty_area=False)]
    for (top, left), (bottom, right) in sheet.merged_cell_ranges or ():
        if left == right < MOST_COLUMNS and top < len(values):
            _spread(values, left, top, bottom)
    while values and not any(value not in {"", None} for value in values[-1]):
        values.pop()
    return values if len(values) <= MOST_LINES else None


def _narrow(row: Sequence[object]) -> list[object]:
    """Return a row's first cells; what stands far to the right of them is one cell more."""
    far = [str(value) for value in row[MOST_COLUMNS:] if value not in {"", None}]
    return [*row[:MOST_COLUMNS], *([" ".join(far)] if far else [])]


def _spread(values: Values, column: int, top: int, bottom: int) -> None:
    """Give the rows of a merged cell its words; a number may be meant for all of them together, so it stays."""
    said = values[top][column] if column < len(values[top]) else None
    if not isinstance(said, str) or not any(map(str.isalpha, said)):
        return
    for row in values[top + 1 : bottom + 1]:
        if column < len(row):
            row[column] = said


def _unsafe(data: bytes) -> str:
    """Say why a workbook isn't opened: it would unpack to far more than a parts list has."""
    if not data.startswith(b"PK"):
        return ""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            sizes = [(entry.file_size, max(entry.compress_size, 1)) for entry in archive.infolist()]
            total, packed = sum(size for size, _ in sizes), sum(size for _, size in sizes)
            if len(sizes) > 2000 or total > _MOST_UNPACKED or total > _MOST_RATIO * packed + 1_000_000:  # noqa: PLR2004
                return "this workbook unpacks to far more than a parts list has; it isn't opened"
            return _lies(archive) or strays(archive)
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, RuntimeError):
        return "this file is no workbook that can be opened; save it as xlsx, ods or CSV and try again"


def _lies(archive: zipfile.ZipFile) -> str:
    """Unpack what a workbook says it holds and no more, since its directory may lie about sizes."""
    for entry in archive.infolist():
        left = entry.file_size + 1
        with archive.open(entry) as stream:
            while left > 0:
                block = stream.read(min(left, 1 << 16))
                if not block:
                    break
                left -= len(block)
        if left <= 0:
            return "this workbook unpacks to more than it says; it isn't opened"
    return ""


def rows_of(values: Values, first: int = 1) -> tuple[Row, ...]:
    """Return a sheet's values as rows, numbered from `first`."""
    return tuple(_value_row(number, row) for number, row in enumerate(values, first))


def _value_row(number: int, values: Sequence[object]) -> Row:
    """Return one row of values as cells; its text is the cells with tabs between."""
    cells: list[Cell] = []
    text = ""
    for at, value in enumerate(values):
        if at:
            text += "\t"
        shown, exact, note = _value(value)
        start = len(text)
        text += shown
        cells.append(Cell(shown, start, len(text), exact, note))
    trailing = len(text.rstrip("\t"))
    return Row(number, text[:trailing], tuple(cells))


def _value(value: object) -> tuple[str, Fraction | None, str]:
    """Return a value's text, its exact number, and what a spreadsheet has made of it."""
    if isinstance(value, bool) or value is None:
        return "" if value is None else str(value), None, ""
    if isinstance(value, int | float):
        try:
            exact = Decimal(repr(value) if isinstance(value, int) else f"{value:.{_SHOWN_DIGITS}g}")
        except ArithmeticError:
            return str(value), None, ""
        if not exact.is_finite():
            return "", None, ""
        shown = format(exact.normalize(), "f") if abs(exact) < 10**15 else str(value)
        return shown, Fraction(exact), ""
    if isinstance(value, dt.date | dt.time | dt.timedelta):
        return str(value), None, "the spreadsheet has turned this into a date or time; write it as text"
    return re.sub(r"\s+", " ", str(value)).strip()[:MOST_LINE], None, ""
