"""Write the cut sheet as PDF."""

from __future__ import annotations

import dataclasses
from datetime import date

from shared.writers.pdf.compiler import compile_pages, compile_pdf
from shared.writers.pdf.sheet.view import CutSheet

__all__ = ["cut_sheet_pages", "cut_sheet_pdf"]


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
    return compile_pdf("cut_sheet.typ", dataclasses.asdict(sheet), date.fromisoformat(sheet.block.date))


def cut_sheet_pages(sheet: CutSheet, dots: float = 100.0) -> list[bytes]:
    """Return the pages of a cut sheet as PNG pictures, at so many dots an inch."""
    return compile_pages("cut_sheet.typ", dataclasses.asdict(sheet), dots)
