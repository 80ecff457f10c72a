"""Paper for the shop: the cut sheet and the labels, as PDF."""

from shared.issue import Issue, Paper, paper_of, plan_id
from shared.paper.label_set import Label, Labels
from shared.paper.label_sizes import LABEL_SHEETS, LabelSheet, usual_labels
from shared.paper.labels import labels_of, labels_pages, labels_pdf
from shared.paper.pdf import cut_sheet_pages, cut_sheet_pdf
from shared.paper.sheet import cut_sheet
from shared.paper.view import CutSheet

__all__ = [
    "LABEL_SHEETS",
    "CutSheet",
    "Issue",
    "Label",
    "LabelSheet",
    "Labels",
    "Paper",
    "cut_sheet",
    "cut_sheet_pages",
    "cut_sheet_pdf",
    "labels_of",
    "labels_pages",
    "labels_pdf",
    "paper_of",
    "plan_id",
    "usual_labels",
]
