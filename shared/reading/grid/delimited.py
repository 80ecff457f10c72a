"""Text as rows: lines, and the cells of a table parted by tabs, semicolons, bars or commas."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise
from typing import Final

from shared.reading.grid.cells import MOST_COLUMNS, MOST_LINE, Cell, Row, Sheet
from shared.reading.grid.titles import role_of
from shared.reading.text.sure import unsaid

__all__ = ["lines_in", "rows_of_text", "split_cells"]

_LOOKED_AT: Final = 400
_LEAST_TITLES: Final = 3
_UNIT: Final = re.compile(r"\s*[(\[][^)\]]*[)\]]")
_DELIMITERS: Final = ("\t", ";", "|", ",")
_APART: Final = re.compile(r"[^\s,] {2,}[^\s,]")


def lines_in(text: str) -> list[str]:
    """Return a text's lines, whatever ends them."""
    return re.split(r"\r\n|[\n\r\x0b\x0c\x85\u2028\u2029]", text.removeprefix("\ufeff"))


def rows_of_text(lines: list[str]) -> Sheet:
    """Return the rows of a text's lines."""
    delimiter = _delimiter([unsaid(line) for line in lines])
    lines = _join_quoted(lines, delimiter)
    rows = tuple(
        Row(number, line, split_cells(unsaid(line), delimiter) if delimiter and len(line) <= MOST_LINE else ())
        for number, line in enumerate(lines, 1)
    )
    return Sheet(rows, delimiter)


def _join_quoted(lines: list[str], delimiter: str) -> list[str]:
    """Join a CSV field's lines where a quote stays open; the following lines become empty, so that numbers stay."""
    if delimiter not in {",", ";"}:
        return lines
    joined = list(lines)
    for at, line in enumerate(lines):
        if not line.count('"') % 2 or not re.search(rf'(?:^|{delimiter})"[^"]*$', line) or at + 1 >= len(lines):
            continue
        following = lines[at + 1]
        if following.count('"') % 2 and re.match(rf'[^"{delimiter}]*"(?:{delimiter}|$)', following):
            joined[at], joined[at + 1] = f"{line} {following}", ""
    return joined


def _delimiter(lines: list[str]) -> str:
    """Return the delimiter of a table, empty for free text.

    Most rows have the same number of cells, or some stand below titles, as in a letter.
    """
    filled = [line for line in lines[:_LOOKED_AT] if line.strip() and len(line) <= MOST_LINE]
    if len(filled) < 2:  # noqa: PLR2004
        return ""
    for delimiter in _DELIMITERS:
        counts = Counter(len(split_cells(line, delimiter)) for line in filled)
        columns, rows = max(counts.items(), key=lambda item: (item[0] > 1, item[1], item[0]))
        least = 3 if delimiter == "," else 2
        if columns < least or (rows * 10 < 6 * len(filled) and not _below_titles(filled, delimiter)):
            continue
        if delimiter == "," and not _comma_table(filled, columns):
            continue
        return delimiter
    return ""


def _below_titles(lines: list[str], delimiter: str) -> bool:
    """Whether a line of titles has a line of as many cells below it."""
    for line, below in pairwise(lines):
        cells = split_cells(line, delimiter)
        if len(cells) >= _LEAST_TITLES and len(split_cells(below, delimiter)) == len(cells):
            titles = [role_of(cell.text, _UNIT.sub("", cell.text)) for cell in cells]
            if len(set(titles) - {None}) >= _LEAST_TITLES and not any(map(str.isdigit, line)):
                return True
    return False


def _comma_table(lines: list[str], columns: int) -> bool:
    """Whether commas are delimiters: few have a space behind, and spaces set no columns."""
    rows = [line for line in lines if len(split_cells(line, ",")) == columns]
    commas = sum(line.count(",") for line in rows)
    spaced = sum(line.count(", ") for line in rows)
    apart = sum(_APART.search(line) is not None for line in rows)
    return spaced * 3 <= commas and apart * 2 < len(rows)


def split_cells(line: str, delimiter: str) -> tuple[Cell, ...]:
    """Split a line into cells; quotes around a cell are taken off and doubled ones inside undone.

    Examples
    --------
    >>> [cell.text for cell in split_cells('a;"2""x3";;c', ";")]
    ['a', '2"x3', '', 'c']
    """
    cells: list[Cell] = []
    start = 0
    ditto = delimiter == "\t" and any(part.strip() == '"' for part in line.split("\t"))
    while True:
        end = _cell_end(line, start, delimiter) if not ditto else _plain_end(line, start, delimiter)
        raw = line[start:end]
        stripped = raw.strip()
        quoted = delimiter in {",", ";", "\t"} and len(stripped) > 1 and stripped[0] == stripped[-1] == '"'
        if quoted and _is_quoted(stripped):
            cells.append(Cell(stripped[1:-1].replace('""', '"').strip(), start, end))
        else:
            lead = len(raw) - len(raw.lstrip())
            cells.append(Cell(stripped, start + lead, start + lead + len(stripped)))
        if end >= len(line) or len(cells) >= MOST_COLUMNS:
            return tuple(cells)
        start = end + 1


def _plain_end(line: str, start: int, delimiter: str) -> int:
    """Return where a cell ends in a line whose quotes are ditto marks."""
    end = line.find(delimiter, start)
    return len(line) if end < 0 else end


def _is_quoted(stripped: str) -> bool:
    """Whether a cell is quoted as a whole: the quotes inside are doubled."""
    return not stripped[1:-1].replace('""', "").count('"')


def _cell_end(line: str, start: int, delimiter: str) -> int:
    """Return where the cell that begins at `start` ends."""
    at = start
    while at < len(line) and line[at] == " ":
        at += 1
    if delimiter != "|" and line[at : at + 1] == '"':
        closed = re.compile(rf'"(?:[^"]|"")*"\s*(?=\{delimiter}|$)').match(line, at)
        if closed:
            return closed.end()
    end = line.find(delimiter, start)
    return len(line) if end < 0 else end
