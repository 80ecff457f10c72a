"""Write the cut sheet as PDF."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from datetime import date
from typing import Any

from shared.paper.compiler import compile_pages, compile_pdf
from shared.paper.fonts import missing, printable
from shared.paper.view import CutSheet

__all__ = ["LOST_NOTE", "cut_sheet_pages", "cut_sheet_pdf", "shown"]

LOST_NOTE = (
    "The sheet's fonts have no letterforms for some characters of this job; each is printed as its Unicode number, "
    "such as [U+6A2A]."
)


def cut_sheet_pdf(sheet: CutSheet) -> bytes:
    """Write a cut sheet as PDF.

    Parameters
    ----------
    sheet : CutSheet
        The finished view.

    Returns
    -------
    bytes
        The same bytes for the same view.
    """
    return compile_pdf("cut_sheet.typ", _data(sheet), date.fromisoformat(sheet.block.date))


def cut_sheet_pages(sheet: CutSheet, dots: float = 100.0) -> list[bytes]:
    """Return the pages of a cut sheet as PNG pictures."""
    return compile_pages("cut_sheet.typ", _data(sheet), dots)


def _data(sheet: CutSheet) -> dict[str, Any]:
    data, lost = shown(dataclasses.asdict(sheet))
    if lost:
        data["notes"] = [*data["notes"], LOST_NOTE]
    return data


def shown(data: dict[str, Any]) -> tuple[dict[str, Any], tuple[str, ...]]:
    """Return plain data with every text printable, and the characters that had to be written as numbers."""
    lost = missing(_texts(data))
    return printable(data, frozenset(lost)), lost


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for entry in value.values():
            yield from _texts(entry)
    elif isinstance(value, list | tuple):
        for entry in value:
            yield from _texts(entry)
