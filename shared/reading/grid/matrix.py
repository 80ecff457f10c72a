"""Tables of section by length: a row for each section, a column for each length, prices or quantities in between."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from shared.reading.grid.cells import Row
from shared.reading.grid.stock import GONE
from shared.reading.text.tokens import plain

__all__ = ["Matrix", "find_matrix", "lengths_across"]

_LENGTH: Final = re.compile(r"\d{1,5}(?:[.,]\d{1,3})?\s*(?P<unit>mm|cm|m|mtr|ft|in|'|\")?", re.IGNORECASE)
_PRICE: Final = re.compile(r"(?:[$€£]|[A-Z]{3})?\s*\d{1,5}(?:[.,]\d{1,2})?\s*(?:[$€£]|[A-Z]{3})?")
_COUNT: Final = re.compile(r"\d{1,4}")
_EMPTY: Final = re.compile(r"[-\u2013\u2014./]*|n/?a|x|0(?:[.,]0+)?", re.IGNORECASE)
_ON_REQUEST: Final = re.compile(
    r"call|poa|p\.o\.a\.|tba|tbc|ask|(?:price )?on request|a\.? ?a\.?|(?:preis )?auf anfrage|sur demande|nous consulter"
    r"|consultar|a consultar|su richiesta|op aanvraag",
    re.IGNORECASE,
)
_APART: Final = re.compile(r"\s{2,}|\t")
_SIZED: Final = re.compile(r"\d\s*[x*]\s*\d|\b(?:IPE|HE[ABM]?|UPN|UPE|UNP|INP|PFC|UB|UC|[WSC])\s?\d", re.IGNORECASE)
_LEAST: Final = 2
_NO_COUNT: Final = 100
_SURELY_MM: Final = 1000
"""A bare length from here on: nothing is as long in inches."""


@dataclass(frozen=True, slots=True)
class Matrix:
    """A table of section by length: which row names the lengths, its first cell, and the lengths with their units."""

    at: int
    title: str
    lengths: tuple[str, ...]
    united: bool

    def sold(self, row: Row, *, offers: bool) -> list[tuple[str, str]]:
        """Return a row as section and length of each filled cell, with what the cell says; none for any other row."""
        section, *cells = _cells(row)
        if len(cells) > len(self.lengths) or not is_row(row, offers=offers):
            return []
        return [
            (f"{section} {length}", cell)
            for length, cell in zip(self.lengths, cells, strict=False)
            if _filled(cell) and not _unsold(cell)
        ]

    def unsold(self, row: Row) -> list[str]:
        """Return what a row's cells say instead of a price, with their lengths."""
        return [
            f"{length}: {cell}, not offered"
            for length, cell in zip(self.lengths, _cells(row)[1:], strict=False)
            if _unsold(cell)
        ]

    def unplaced(self, row: Row, *, offers: bool) -> bool:
        """Whether a row has fewer cells than there are lengths, and nothing that says to which they belong."""
        return not row.cells and len(_cells(row)) <= len(self.lengths) and is_row(row, offers=offers)


def is_row(row: Row, *, offers: bool) -> bool:
    """Whether a row names a section, then has prices or quantities only."""
    section, *cells = _cells(row)
    wanted = _PRICE if offers else _COUNT
    filled = [cell for cell in cells if _filled(cell) and not (offers and _unsold(cell))]
    return bool(_SIZED.search(section) and filled) and all(wanted.fullmatch(cell) for cell in filled)


def _filled(cell: str) -> bool:
    return _EMPTY.fullmatch(cell) is None


def _unsold(cell: str) -> bool:
    """Whether a cell says that there is none, or that the price is to be asked for."""
    return GONE.search(cell) is not None or _ON_REQUEST.fullmatch(cell) is not None


def find_matrix(rows: Sequence[Row], *, offers: bool) -> Matrix | None:
    """Find the row of lengths that makes a table of section by length, None where there is none.

    Parameters
    ----------
    rows : sequence of Row
        The list.
    offers : bool
        Whether the cells are prices; otherwise they are quantities.

    Examples
    --------
    >>> rows = [Row(1, "size    20'    24'", ()), Row(2, "2x2x1/8 tube   $61.40   $74", ())]
    >>> find_matrix(rows, offers=True).sold(rows[1], offers=True)
    [("2x2x1/8 tube 20'", '$61.40'), ("2x2x1/8 tube 24'", '$74')]
    """
    filled = [(at, row) for at, row in enumerate(rows) if row.text.strip()]
    for (at, row), (_, below) in pairwise(filled):
        name, *cells = _cells(row)
        units = lengths_across([name, *cells])
        if not units or (not offers and not all(_long(cell) for cell in cells if cell)):
            continue
        if len(_cells(below)) > 1 and is_row(below, offers=offers):
            cells = cells[: len(units)]
            lengths = tuple(_united(cell, unit) for cell, unit in zip(cells, units, strict=True))
            return Matrix(
                at,
                name,
                lengths,
                not offers or all(any(map(str.isalpha, each)) or each[-1] in "'\"" for each in lengths),
            )
    return None


def lengths_across(texts: Sequence[str]) -> list[str | None]:
    """Return the units, where stated, of lengths that stand behind a title; nothing for any other row."""
    title, *cells = (plain(text).strip() for text in texts)
    while cells and not cells[-1]:
        cells.pop()
    found = [_LENGTH.fullmatch(cell) for cell in cells]
    if len(cells) < _LEAST or any(map(str.isdigit, title)) or not all(found) or len(set(cells)) < len(cells):
        return []
    return [each["unit"] for each in found if each]


def _long(cell: str) -> bool:
    """Whether a length has a unit or is more than any quantity is likely to be."""
    return not cell.isdecimal() or int(cell) >= _NO_COUNT


def _united(cell: str, unit: str | None) -> str:
    """Return a length with mm where it has no unit and can be in no other."""
    return f"{cell} mm" if unit is None and cell.isdecimal() and int(cell) >= _SURELY_MM else cell


def _cells(row: Row) -> list[str]:
    """Return a row's cells; of free text, what stands apart."""
    texts = [cell.text for cell in row.cells] if row.cells else _APART.split(row.text.strip())
    first, *others = texts or [""]
    return [first.strip(), *(plain(text).strip() for text in others)]
