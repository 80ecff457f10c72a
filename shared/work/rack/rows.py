"""Read a table of the rack from CSV or a workbook: rows of cells by column, nothing understood yet."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.reading.grid.cells import MOST_BYTES
from shared.reading.grid.sheet import decode, open_sheet
from shared.work.rack.columns import Col, column_named
from shared.work.rack.exchange import untamed

__all__ = ["MOST_ROWS", "RackRow", "RackSheet", "read_rack_sheet"]

MOST_ROWS: Final = 5_000
"""Most rows of one list."""
_LOOK_AT: Final = 20
_LEAST: Final = 2
_DELIMITERS: Final = (",", ";", "\t")
_UNIT: Final = re.compile(r"[\s,(\[]+(mm|cm|m|in|ft)[)\]]?\s*$", re.IGNORECASE)
_MARK: Final = "\ufeff".encode().decode("cp1252")  # of UTF-8, as a program shows it that took it for letters
_PACKED: Final = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")

_Cells = Sequence[str]


@dataclass(frozen=True, kw_only=True, slots=True)
class RackRow:
    """One row.

    Attributes
    ----------
    line : int
        Row of the sheet, from 1.
    cells : mapping of Col to str
        By column; columns that the list doesn't have are missing.
    """

    line: int
    cells: Mapping[Col, str]

    def text(self, col: Col) -> str:
        """Return a cell's text, empty where there is none."""
        return self.cells.get(col, "")


@dataclass(frozen=True, kw_only=True, slots=True)
class RackSheet:
    """A list of the rack.

    Attributes
    ----------
    rows : tuple of RackRow
        Without empty ones.
    units : mapping of Col to Unit
        Units that headings state, as in ``length (mm)``.
    """

    rows: tuple[RackRow, ...]
    units: Mapping[Col, Unit]


def read_rack_sheet(data: bytes) -> tuple[RackSheet | None, tuple[Problem, ...]]:
    """Read the rows of a list.

    Parameters
    ----------
    data : bytes
        CSV (comma, semicolon or tab) in any common encoding, xlsx or ods.

    Returns
    -------
    tuple of (RackSheet or None, tuple of Problem)
        None where it can't be read at all.
    """
    if len(data) > MOST_BYTES:
        return None, (_whole(f"more than {MOST_BYTES // 1_000_000} MB; no rack's list is as large"),)
    rows, problems = _of_workbook(data) if data.startswith(_PACKED) else _of_text(decode(data))
    rows = [(line, [text.removeprefix(_MARK) for text in cells]) for line, cells in rows]
    head = next((at for at, (_, cells) in enumerate(rows[:_LOOK_AT]) if _is_head(cells)), None)
    if head is None:
        names = f"{Col.LABEL}, {Col.SECTION}, {Col.LENGTH}, {Col.PLACE}"
        message = f"no row of headings such as {names} among the first {_LOOK_AT} rows; write one, as export does"
        return None, (*problems, _whole(message))
    columns, units, found = _columns(*rows[head])
    body = [(line, cells) for line, cells in rows[head + 1 :] if any(text.strip() for text in cells)]
    if len(body) > MOST_ROWS:
        return None, (_whole(f"more than {MOST_ROWS} rows; split the list"),)
    problems += found
    problems += tuple(_beyond(body, columns, rows[head][1]))
    made = tuple(RackRow(line=line, cells=_by_column(cells, columns)) for line, cells in body)
    return RackSheet(rows=made, units=units), problems


def _whole(message: str) -> Problem:
    return Problem(where="list", text="", message=message)


def _of_workbook(data: bytes) -> tuple[list[tuple[int, _Cells]], tuple[Problem, ...]]:
    sheet, questions = open_sheet(data)
    times = {
        at for row in sheet.rows for at, cell in enumerate(row.cells, start=1) if column_named(cell.text) is Col.SINCE
    }
    problems = [question.problem for question in questions]
    problems += [
        Problem(where=f"row {row.line}, column {at}", text=cell.text, message=cell.note)
        for row in sheet.rows
        for at, cell in enumerate(row.cells, start=1)
        if cell.note and at not in times
    ]
    return [(row.line, [untamed(cell.text) for cell in row.cells]) for row in sheet.rows], tuple(problems)


def _of_text(text: str) -> tuple[list[tuple[int, _Cells]], tuple[Problem, ...]]:
    """Split a text into rows by the delimiter whose cells make a heading; lines inside quotes stay together."""
    tries = [_split(text, delimiter) for delimiter in _DELIMITERS]
    return max(tries, key=lambda each: max((_named(cells) for _, cells in each[0][:_LOOK_AT]), default=0))


def _split(text: str, delimiter: str) -> tuple[list[tuple[int, _Cells]], tuple[Problem, ...]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[tuple[int, _Cells]] = []
    line = 1
    try:
        for cells in reader:
            rows.append((line, [untamed(" ".join(cell.split())) for cell in cells]))
            line = reader.line_num + 1
    except csv.Error as error:
        lines = text.splitlines()
        shown = lines[line - 1][:80] if line <= len(lines) else ""
        message = (
            f"not CSV from here on ({error}); a quote inside a cell is written twice, and a cell ends with its quote"
        )
        return rows, (Problem(where=f"row {line}", text=shown, message=message),)
    return rows, ()


def _named(cells: _Cells) -> int:
    return len({column_named(_UNIT.sub("", text)) for text in cells} - {None})


def _is_head(cells: _Cells) -> bool:
    found = {column_named(_UNIT.sub("", text)) for text in cells if text}
    return len(found - {None}) >= _LEAST and bool(found & {Col.LABEL, Col.SECTION})


def _columns(line: int, heads: _Cells) -> tuple[list[Col | None], dict[Col, Unit], tuple[Problem, ...]]:
    columns: list[Col | None] = []
    units: dict[Col, Unit] = {}
    problems = []
    for heading in heads:
        stated = _UNIT.search(heading)
        col = column_named(_UNIT.sub("", heading) if stated else heading)
        if col is None and heading:
            known = ", ".join(each.value for each in Col)
            message = f"unknown column; take it out, or give it one of these headings: {known}"
            problems.append(Problem(where=f"row {line}", text=heading, message=message))
        if col is not None and col in columns:
            message = f"a second column for {col}; keep one of them"
            problems.append(Problem(where=f"row {line}", text=heading, message=message))
        if col is not None and stated:
            units[col] = Unit(stated.group(1).lower())
        columns.append(col)
    return columns, units, tuple(problems)


def _beyond(rows: Sequence[tuple[int, _Cells]], columns: Sequence[Col | None], heads: _Cells) -> Iterator[Problem]:
    """Say where a row has something in a column without a heading: it would be lost."""
    for line, cells in rows:
        for at, text in enumerate(cells):
            if text and (at >= len(columns) or (columns[at] is None and not heads[at])):
                message = "there is no heading above this cell; give the column one, or take the text out"
                yield Problem(where=f"row {line}, column {at + 1}", text=text, message=message)


def _by_column(cells: _Cells, columns: Sequence[Col | None]) -> dict[Col, str]:
    return {col: text for col, text in zip(columns, cells, strict=False) if col is not None}
