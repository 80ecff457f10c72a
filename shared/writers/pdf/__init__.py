"""Paper for the shop: the cut sheet, labels, the trace list and the stock-take list, as PDF."""

from shared.writers.pdf.pdf import (
    cut_sheet_pages,
    cut_sheet_pdf,
    labels_pages,
    labels_pdf,
    stock_take_pages,
    stock_take_pdf,
    trace_list_pages,
    trace_list_pdf,
)

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
