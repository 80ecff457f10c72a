"""Rows and cells of a list, and how much of one is looked at."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

__all__ = ["MOST_BYTES", "MOST_COLUMNS", "MOST_LINE", "MOST_LINES", "Cell", "Row", "Sheet"]

MOST_BYTES: Final = 4_000_000
"""Most bytes of text or of a packed workbook that are looked at."""
MOST_LINES: Final = 6_000
"""Most lines of one list."""
MOST_LINE: Final = 600
"""Most characters of one line: longer ones are no line of a parts list."""
MOST_COLUMNS: Final = 60
_OPEN_DIGITS: Final = 3


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, its place in the row's text (quotes included), its number where the sheet has one.

    `note` says what is wrong with a cell that a spreadsheet has spoilt.
    """

    text: str
    start: int
    end: int
    number: Fraction | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One line or row, from 1."""

    line: int
    text: str
    cells: tuple[Cell, ...]

    @property
    def written(self) -> str:
        """The row so that it is read the same from text: three decimals of a sheet's number are no thousands.

        Examples
        --------
        >>> Row(1, "81.375", (Cell("81.375", 0, 6, Fraction("81.375")),)).written
        '81.3750'
        """
        text = self.text
        for cell in reversed(self.cells):
            if cell.number is not None and len(cell.text.partition(".")[2]) == _OPEN_DIGITS:
                text = f"{text[: cell.end]}0{text[cell.end :]}"
        return text


@dataclass(frozen=True, slots=True)
class Sheet:
    """All rows, and the delimiter that made the cells (empty for free text).

    `planned` says that they are the parts of a plan's own workbook.
    """

    rows: tuple[Row, ...]
    delimiter: str
    planned: bool = False
