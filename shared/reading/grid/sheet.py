"""Bytes or text as rows: any common encoding, delimited text with its quotes, workbooks within safe limits."""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from python_calamine import CalamineError, CalamineWorkbook

from shared.reading.grid.extent import strays
from shared.reading.text.sure import unsaid
from shared.reading.values.result import Question

__all__ = ["MOST_BYTES", "MOST_LINE", "MOST_LINES", "Cell", "Row", "Sheet", "decode", "open_sheet", "split_cells"]

MOST_BYTES: Final = 4_000_000
"""Most bytes of text or of a packed workbook that are looked at."""
MOST_LINES: Final = 6_000
"""Most lines of one list."""
MOST_LINE: Final = 600
"""Most characters of one line: longer ones are no line of a parts list."""
_MOST_UNPACKED: Final = 60_000_000
_MOST_RATIO: Final = 200
_MOST_COLUMNS: Final = 60
_DIMENSIONS: Final = re.compile(r"\d\s*[x\u00d7*]\s*\d", re.IGNORECASE)
_DELIMITERS: Final = ("\t", ";", "|", ",")
_EXPECTED: Final = frozenset("äöüÄÖÜßéèêàâçñáíóúÁÉÍÓÚëïôûÑÇ½¼¾°ר·ø×Ø–—’‘“”″′€£")


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


@dataclass(frozen=True, slots=True)
class Sheet:
    """All rows, and the delimiter that made the cells (empty for free text)."""

    rows: tuple[Row, ...]
    delimiter: str


def open_sheet(source: str | bytes) -> tuple[Sheet, tuple[Question, ...]]:
    """Return the rows of a text or a file, and what is wrong with it as a whole.

    Parameters
    ----------
    source : str or bytes
        Pasted text, or the bytes of a text, CSV, xlsx or ods file.
    """
    if len(source) > MOST_BYTES:
        return _refused(
            f"more than {MOST_BYTES // 1_000_000} MB; a parts list is far smaller, split it or paste the rows"
        )
    if isinstance(source, bytes):
        if source[:4] == b"PK\x03\x04" or source[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
            return _open_workbook(source)
        source = decode(source)
    return _open_text(source)


def _refused(message: str) -> tuple[Sheet, tuple[Question, ...]]:
    return Sheet((), ""), (Question(line=0, text="", message=message),)


def decode(data: bytes) -> str:
    """Decode bytes: by their mark, as UTF-8, as UTF-16 by its zeros, else as the likeliest 8-bit encoding."""
    for mark, encoding in (
        (b"\xef\xbb\xbf", "utf-8-sig"),
        (b"\xff\xfe\x00\x00", "utf-32"),
        (b"\xff\xfe", "utf-16"),
        (b"\xfe\xff", "utf-16"),
    ):
        if data.startswith(mark):
            return data.decode(encoding, errors="replace")
    head = data[:2000]
    if head and head.count(0) > len(head) // 4:
        return data.decode("utf-16-le" if head[1:2] == b"\x00" else "utf-16-be", errors="replace")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        tries = [data.decode(encoding, errors="replace") for encoding in ("cp1252", "cp850", "mac_roman")]
        return max(tries, key=_likeness)


def _likeness(text: str) -> int:
    """Return how much a decoded text looks like one: letters and signs we expect against odd ones."""
    odd = [character for character in text[:20_000] if not character.isascii()]
    return sum(2 if character in _EXPECTED else -1 for character in odd)


def _open_text(text: str) -> tuple[Sheet, tuple[Question, ...]]:
    """Return the rows of a text."""
    lines = re.split(r"\r\n|[\n\r\x0b\x0c\x85\u2028\u2029]", text.removeprefix("\ufeff"))
    if len(lines) > MOST_LINES:
        return _refused(f"more than {MOST_LINES} lines; split the list")
    delimiter = _delimiter([unsaid(line) for line in lines])
    lines = _join_quoted(lines, delimiter)
    rows = tuple(
        Row(number, line, split_cells(unsaid(line), delimiter) if delimiter and len(line) <= MOST_LINE else ())
        for number, line in enumerate(lines, 1)
    )
    return Sheet(rows, delimiter), ()


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
    """Return the delimiter of a table, empty for free text: most rows have the same number of cells."""
    filled = [line for line in lines[:400] if line.strip() and len(line) <= MOST_LINE]
    if len(filled) < 2:  # noqa: PLR2004
        return ""
    for delimiter in _DELIMITERS:
        counts = Counter(len(split_cells(line, delimiter)) for line in filled)
        columns, rows = max(counts.items(), key=lambda item: (item[0] > 1, item[1], item[0]))
        least = 3 if delimiter == "," else 2
        if columns < least or rows * 10 < 6 * len(filled):
            continue
        if delimiter == "," and not _comma_table(filled, columns):
            continue
        return delimiter
    return ""


def _comma_table(lines: list[str], columns: int) -> bool:
    """Whether commas are delimiters rather than punctuation: few of them have a space behind."""
    rows = [line for line in lines if len(split_cells(line, ",")) == columns]
    commas = sum(line.count(",") for line in rows)
    spaced = sum(line.count(", ") for line in rows)
    return spaced * 3 <= commas


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
        if end >= len(line) or len(cells) >= _MOST_COLUMNS:
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


def _open_workbook(data: bytes) -> tuple[Sheet, tuple[Question, ...]]:
    """Return the rows of a workbook's first sheet that has any; that others seem to hold a list too is a question."""
    problem = _unsafe(data)
    if problem:
        return _refused(problem)
    filled: dict[str, Sequence[Sequence[object]]] = {}
    try:
        with CalamineWorkbook.from_filelike(io.BytesIO(data)) as book:
            for name in book.sheet_names:
                sheet = book.get_sheet_by_name(name)
                if sheet.total_height > 2 * MOST_LINES:
                    return _refused(f"the sheet {name} has more than {MOST_LINES} rows; split the list")
                values = [list(row[:_MOST_COLUMNS]) for row in sheet.to_python(skip_empty_area=False)]
                if any(value not in {"", None} for row in values for value in row):
                    filled[name] = values
    except (CalamineError, OSError, ValueError, zipfile.BadZipFile) as error:
        return _refused(f"this workbook can't be read ({error}); save it as xlsx, ods or CSV and try again")
    if not filled:
        return _refused("this workbook is empty")
    read, *others = filled
    found, problems = _from_values(filled[read])
    return found, (*problems, *_unread(read, [name for name in others if _holds_list(filled[name])]))


def _holds_list(values: Sequence[Sequence[object]]) -> bool:
    """Whether a sheet seems to hold a list: a row with dimensions and, in another cell, a number."""
    for row in values:
        texts = [str(value) for value in row if value not in {"", None}]
        sized = [text for text in texts if _DIMENSIONS.search(text)]
        if sized and any(text not in sized and any(map(str.isdigit, text)) for text in texts):
            return True
    return False


def _unread(read: str, names: Sequence[str]) -> tuple[Question, ...]:
    """Ask about sheets that hold a list and weren't read."""
    if not names:
        return ()
    message = (
        f"only the sheet {read} was read, and {', '.join(names)} seems to hold a list too; put all of it on one sheet, "
        "or delete what isn't meant"
    )
    return (Question(line=0, text="", message=message),)


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


def _from_values(values: Sequence[Sequence[object]]) -> tuple[Sheet, tuple[Question, ...]]:
    """Return the rows of a sheet's values."""
    filled = [list(row[:_MOST_COLUMNS]) for row in values]
    while filled and not any(value not in {"", None} for value in filled[-1]):
        filled.pop()
    if len(filled) > MOST_LINES:
        return _refused(f"more than {MOST_LINES} rows; split the list")
    return Sheet(tuple(_value_row(number, row) for number, row in enumerate(filled, 1)), "\t"), ()


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
            exact = Decimal(repr(value))
        except ArithmeticError:
            return str(value), None, ""
        if not exact.is_finite():
            return "", None, ""
        shown = format(exact.normalize(), "f") if abs(exact) < 10**15 else str(value)
        return shown, Fraction(exact), ""
    if isinstance(value, dt.date | dt.time | dt.timedelta):
        return str(value), None, "the spreadsheet has turned this into a date or time; write it as text"
    return re.sub(r"\s+", " ", str(value)).strip()[:MOST_LINE], None, ""
