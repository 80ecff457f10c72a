"""Tables whose columns are set with spaces, as printed lists and letters have them, below a header that we know."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shared.reading.grid.cells import MOST_LINE, Cell, Row, Sheet
from shared.reading.grid.headers import find_header

__all__ = ["SPACES", "aligned"]

SPACES: Final = "  "
"""The delimiter of such a table."""
_PIECE: Final = re.compile(r"\S+(?: \S+)*")
_LOOK_AT: Final = 20
_GAP: Final = 2
_LEAST: Final = 2
_MOSTLY: Final = 0.7


def aligned(sheet: Sheet) -> Sheet:
    """Return a sheet of free text with cells where it is a table set with spaces; any other as it is.

    Columns are where no line of the table has a letter for two places or more; where the lines don't stand below each
    other, two spaces or more part the cells of those lines that have as many as the header.
    """
    if sheet.delimiter:
        return sheet
    for at, row in enumerate(sheet.rows[:_LOOK_AT]):
        titles = _pieces(row.text)
        if len(titles) < _LEAST or find_header((replace(row, cells=titles),)) is None:
            continue
        below = [each for each in sheet.rows[at + 1 :] if len(each.text) <= MOST_LINE]
        cells = _cells(row, below, len(titles))
        if cells:
            rows = tuple(replace(each, cells=cells.get(each.line, ())) for each in sheet.rows)
            return Sheet(rows, SPACES)
    return sheet


def _pieces(text: str) -> tuple[Cell, ...]:
    """Return what two spaces or more part."""
    return tuple(Cell(found.group(), found.start(), found.end()) for found in _PIECE.finditer(text))


def _cells(header: Row, below: Sequence[Row], count: int) -> dict[int, tuple[Cell, ...]]:
    """Return the cells of header and rows by line; nothing where they make no table."""
    told = [(row, pieces) for row in below if len(pieces := _pieces(row.text)) >= _LEAST]
    if len(told) < _LEAST:
        return {}
    spans = _columns([header.text, *(row.text for row, _ in told)])
    if len(spans) == count:
        units = [row for row in below[:1] if row.text.strip()]
        rows = {row.line: row for row in (header, *units, *(row for row, _ in told))}
        return {line: tuple(_cut(row.text, span) for span in spans) for line, row in rows.items()}
    whole = [(row, pieces) for row, pieces in told if len(pieces) == count]
    if len(whole) < _MOSTLY * len(told):
        return {}
    return {header.line: _pieces(header.text)} | {row.line: pieces for row, pieces in whole}


def _columns(texts: Sequence[str]) -> list[tuple[int, int]]:
    """Return where columns begin and end: parted by two places or more that are blank in every line."""
    width = max(map(len, texts))
    filled = [any(at < len(text) and text[at] != " " for text in texts) for at in range(width)]
    spans: list[tuple[int, int]] = []
    for at, is_filled in enumerate(filled):
        if not is_filled:
            continue
        if spans and at - spans[-1][1] < _GAP:
            spans[-1] = (spans[-1][0], at + 1)
        else:
            spans.append((at, at + 1))
    return spans


def _cut(text: str, span: tuple[int, int]) -> Cell:
    body = text[span[0] : span[1]]
    start = span[0] + len(body) - len(body.lstrip())
    return Cell(body.strip(), min(start, len(text)), min(start + len(body.strip()), len(text)))
