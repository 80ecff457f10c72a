"""How far the cells of an xlsx reach: a stray one far away would have millions of empty ones laid out."""

from __future__ import annotations

import re
import zipfile
from typing import Final

__all__ = ["strays"]

_MOST_CELLS: Final = 1_000_000
_PLACE: Final = re.compile(rb"""\sr\s*=\s*["']([A-Za-z]{1,3})([0-9]{1,7})["']""")
_SHEET: Final = re.compile(r"/?xl/worksheets/[^/]+\.xml", re.IGNORECASE)


def strays(archive: zipfile.ZipFile) -> str:
    """Say which sheet's cells lie too far apart to be laid out, empty where none do; its sizes are checked before."""
    for entry in archive.infolist():
        if _SHEET.fullmatch(entry.filename):
            problem = _stray(archive.read(entry))
            if problem:
                return problem
    return ""


def _stray(sheet: bytes) -> str:
    """Say what is wrong with one sheet's extent."""
    places = {(int(row), _column(letters)): letters + row for letters, row in _PLACE.findall(sheet)}
    if not places:
        return ""
    rows, columns = [row for row, _ in places], [column for _, column in places]
    height, width = max(rows) - min(rows) + 1, max(columns) - min(columns) + 1
    if height * width <= _MOST_CELLS:
        return ""
    far = places[max(places)].decode().upper()
    return (
        f"this workbook's cells reach over {height} rows and {width} columns, the last in {far}; "
        "delete what lies far from the list, or paste the list's own rows"
    )


def _column(letters: bytes) -> int:
    """Return a column's number, A is 1."""
    number = 0
    for letter in letters.upper():
        number = 26 * number + letter - 64
    return number
