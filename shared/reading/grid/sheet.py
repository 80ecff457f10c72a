"""Bytes or text as rows: any common encoding, delimited text with its quotes, workbooks within safe limits."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from shared.reading.grid.cells import MOST_BYTES, MOST_LINES, Sheet
from shared.reading.grid.delimited import lines_in, rows_of_text
from shared.reading.grid.sheets import first_list, whole_book
from shared.reading.grid.workbook import Values, values_of
from shared.reading.values.result import Question

__all__ = ["decode", "open_list", "open_sheet"]

_EXPECTED: Final = frozenset("äöüÄÖÜßéèêàâçñáíóúÁÉÍÓÚëïôûÑÇ½¼¾°ר·ø×Ø–—’‘“”″′€£")


def open_list(source: str | bytes) -> tuple[Sheet, tuple[Question, ...]]:
    """Return the rows of a text or a file, of a workbook all sheets that are one list, and what is wrong as a whole.

    Parameters
    ----------
    source : str or bytes
        Pasted text, or the bytes of a text, CSV, xlsx or ods file.
    """
    return _opened(source, whole_book)


def open_sheet(source: str | bytes) -> tuple[Sheet, tuple[Question, ...]]:
    """Return the same of one sheet of a workbook, the first that holds anything: a table that a program wrote."""
    return _opened(source, first_list)


def _opened(
    source: str | bytes, of_book: Callable[[Mapping[str, Values]], tuple[Sheet, tuple[Question, ...]]]
) -> tuple[Sheet, tuple[Question, ...]]:
    if len(source) > MOST_BYTES:
        return _refused(
            f"more than {MOST_BYTES // 1_000_000} MB; a parts list is far smaller, split it or paste the rows"
        )
    if isinstance(source, bytes):
        if source[:4] == b"PK\x03\x04" or source[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
            found = values_of(source)
            return _refused(found) if isinstance(found, str) else of_book(found)
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
    lines = lines_in(text)
    if len(lines) > MOST_LINES:
        return _refused(f"more than {MOST_LINES} lines; split the list")
    return rows_of_text(lines), ()
