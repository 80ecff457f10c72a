"""Paper for the shop: the cut sheet, labels, the trace list and the stock-take list, as PDF."""

from shared.files.plan.name import plan_id
from shared.view.issue import Issue, Paper, paper_of
from shared.writers.pdf.labels.bars import bar_labels, bar_labels_pdf
from shared.writers.pdf.labels.parts import labels_of, labels_pages, labels_pdf
from shared.writers.pdf.labels.printed import Label, Labels
from shared.writers.pdf.labels.sizes import LABEL_SHEETS, LabelSheet, usual_labels
from shared.writers.pdf.labels.work import work_labels
from shared.writers.pdf.lists.stock_take import StockTake, stock_take, stock_take_pages, stock_take_pdf
from shared.writers.pdf.lists.trace_list import TraceList, trace_list, trace_list_pages, trace_list_pdf
from shared.writers.pdf.pdf import cut_sheet_pages, cut_sheet_pdf
from shared.writers.pdf.sheet.cut_sheet import cut_sheet
from shared.writers.pdf.sheet.view import CutSheet, RevisionNote
from shared.writers.pdf.work.sheet import work_cut_sheet

__all__ = [
    "LABEL_SHEETS",
    "CutSheet",
    "Issue",
    "Label",
    "LabelSheet",
    "Labels",
    "Paper",
    "RevisionNote",
    "StockTake",
    "TraceList",
    "bar_labels",
    "bar_labels_pdf",
    "cut_sheet",
    "cut_sheet_pages",
    "cut_sheet_pdf",
    "labels_of",
    "labels_pages",
    "labels_pdf",
    "paper_of",
    "plan_id",
    "stock_take",
    "stock_take_pages",
    "stock_take_pdf",
    "trace_list",
    "trace_list_pages",
    "trace_list_pdf",
    "usual_labels",
    "work_cut_sheet",
    "work_labels",
]
