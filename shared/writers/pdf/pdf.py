"""Write cut sheets, trace lists, stock-take lists and labels as PDF, or their pages as PNG pictures."""

from __future__ import annotations

import dataclasses
import io
from datetime import date
from typing import Any, Final

import segno

from shared.view.labels.printed import Labels
from shared.view.sheet.model import CutSheet
from shared.view.work.stock_take import StockTake
from shared.view.work.trace_list import TraceList
from shared.writers.pdf.compiler import compile_pages, compile_pdf
from shared.writers.pdf.fonts import in_letters
from shared.writers.svg import draw

__all__ = [
    "cut_sheet_pages",
    "cut_sheet_pdf",
    "labels_pages",
    "labels_pdf",
    "stock_take_pages",
    "stock_take_pdf",
    "trace_list_pages",
    "trace_list_pdf",
]

_DRAWING_WIDTH: Final = 180.0  # mm; fits between the margins of both sizes of paper
_PAGE: Final = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def cut_sheet_pdf(sheet: CutSheet) -> bytes:
    """Write a cut sheet as PDF: the same bytes for the same view."""
    return compile_pdf("cut_sheet.typ", _cut_sheet(sheet), date.fromisoformat(sheet.block.date))


def cut_sheet_pages(sheet: CutSheet, dots: float = 100.0) -> list[bytes]:
    """Return the pages of a cut sheet as PNG pictures, at so many dots an inch."""
    return compile_pages("cut_sheet.typ", _cut_sheet(sheet), dots)


def _cut_sheet(sheet: CutSheet) -> dict[str, Any]:
    sheet = in_letters(sheet, "notes")
    data = dataclasses.asdict(sheet)
    for section, told in zip(sheet.sections, data["sections"], strict=True):
        for layout, entry in zip(section.layouts, told["layouts"], strict=True):
            drawing = draw(layout.bar, _DRAWING_WIDTH)
            strips = drawing.pages()
            entry |= {"strips": strips, "told": drawing.text}
            del entry["bar"]
    return data


def trace_list_pdf(view: TraceList) -> bytes:
    """Write a trace list as PDF."""
    return compile_pdf("trace.typ", dataclasses.asdict(in_letters(view, "limits")), date.fromisoformat(view.block.date))


def trace_list_pages(view: TraceList, dots: float = 100.0) -> list[bytes]:
    """Return the pages of a trace list as PNG pictures."""
    return compile_pages("trace.typ", dataclasses.asdict(in_letters(view, "limits")), dots)


def stock_take_pdf(view: StockTake) -> bytes:
    """Write a list to take stock with as PDF."""
    return compile_pdf("stock_take.typ", dataclasses.asdict(in_letters(view, "notes")), date.fromisoformat(view.date))


def stock_take_pages(view: StockTake, dots: float = 100.0) -> list[bytes]:
    """Return the pages of a list to take stock with as PNG pictures."""
    return compile_pages("stock_take.typ", dataclasses.asdict(in_letters(view, "notes")), dots)


def labels_pdf(labels: Labels) -> bytes:
    """Write labels as PDF; an empty tuple of labels gives one empty sheet."""
    return compile_pdf("labels.typ", _labels(labels), date.fromisoformat(labels.date))


def labels_pages(labels: Labels, dots: float = 100.0) -> list[bytes]:
    """Return the sheets of labels as PNG pictures."""
    return compile_pages("labels.typ", _labels(labels), dots)


def _labels(labels: Labels) -> dict[str, Any]:
    data = dataclasses.asdict(in_letters(labels))
    for entry, label in zip(data["labels"], labels.labels, strict=True):
        entry["code"] = _qr(label.code)
    data["sheet"]["page"] = _PAGE[labels.sheet.paper.value]
    return data


def _qr(text: str) -> str:
    """Return a text's QR code (ISO/IEC 18004) as SVG, its quiet zone included."""
    out = io.BytesIO()
    segno.make(text, error="l", micro=False, encoding="utf-8" if not text.isascii() else None).save(
        out, kind="svg", xmldecl=False, svgns=True, border=2, nl=False
    )
    return out.getvalue().decode()
