"""Tables whose columns are set with spaces, as printed lists and letters have them, below headers that we know."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from shared.reading.grid.cells import MOST_LINE, Cell, Row, Sheet
from shared.reading.grid.headers import find_header
from shared.reading.grid.matrix import lengths_across

__all__ = ["SPACES", "aligned"]

SPACES: Final = "  "
"""The delimiter of such a table."""
_PIECE: Final = re.compile(r"\S+(?: \S+)*")
_GAP: Final = 2
_LEAST: Final = 2
_MOSTLY: Final = 0.7


def aligned(sheet: Sheet) -> Sheet:
    """Return a sheet of free text with cells where tables are set with spaces; any other as it is.

    Each header, of titles or of lengths, governs the lines below it up to the next. Columns are where no line of the
    table has a letter for two places or more; lines that bridge columns, such as sums, leave it to those that have all.
    Where nothing stands below each other, two spaces or more part the cells of lines with as many as the header.
    """
    if sheet.delimiter:
        return sheet
    heads = [at for at, row in enumerate(sheet.rows) if _is_head(row)]
    cells: dict[int, tuple[Cell, ...]] = {}
    for at, end in pairwise([*heads, len(sheet.rows)]):
        below = [each for each in sheet.rows[at + 1 : end] if len(each.text) <= MOST_LINE]
        cells |= _cells(sheet.rows[at], below, len(_pieces(sheet.rows[at].text)))
    if not cells:
        return sheet
    return Sheet(tuple(replace(each, cells=cells.get(each.line, ())) for each in sheet.rows), SPACES)


def _is_head(row: Row) -> bool:
    """Whether a line's pieces are titles that we know, or a name and lengths."""
    if SPACES not in row.text.strip() or len(row.text) > MOST_LINE:
        return False
    titles = _pieces(row.text)
    if len(titles) < _LEAST:
        return False
    return find_header((replace(row, cells=titles),)) is not None or bool(lengths_across([t.text for t in titles]))


def _pieces(text: str) -> tuple[Cell, ...]:
    """Return what two spaces or more part."""
    return tuple(Cell(found.group(), found.start(), found.end()) for found in _PIECE.finditer(text))


def _cells(header: Row, below: Sequence[Row], count: int) -> dict[int, tuple[Cell, ...]]:
    """Return the cells of header and rows by line; nothing where they make no table."""
    told = [(row, pieces) for row in below if len(pieces := _pieces(row.text)) >= _LEAST]
    whole = [row for row, pieces in told if len(pieces) == count]
    units = [row for row in below[:1] if row.text.strip()]
    for lines in ([row for row, _ in told], whole):
        spans = _columns([header.text, *(row.text for row in lines)])
        if lines and len(spans) == count:
            rows = {row.line: row for row in (header, *units, *lines)}
            rows |= {row.line: row for row, pieces in told if _fits(pieces, spans)}
            return {line: tuple(_cut(row.text, span) for span in spans) for line, row in rows.items()}
    if len(whole) < max(_MOSTLY * len(told), _LEAST):
        return {}
    return {header.line: _pieces(header.text)} | {row.line: _pieces(row.text) for row in whole}


def _fits(pieces: Sequence[Cell], spans: Sequence[tuple[int, int]]) -> bool:
    """Whether each piece of a line stands within one column of its own."""
    at = [[span for span in spans if piece.start < span[1] and span[0] < piece.end] for piece in pieces]
    inside = all(
        len(found) == 1 and found[0][0] <= piece.start and piece.end <= found[0][1]
        for piece, found in zip(pieces, at, strict=True)
    )
    return inside and len({found[0] for found in at}) == len(pieces)


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
