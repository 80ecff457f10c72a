"""A plan as a workbook for the office: live formulas over real numbers."""

from shared.workbook.cells import Book, Cell, Column, Formula, Leaf, Text
from shared.workbook.comparing import comparison_book, comparison_leaf, with_comparison
from shared.workbook.contents import workbook_of
from shared.workbook.tracing import trace_leaf
from shared.workbook.write import write_workbook

__all__ = [
    "Book",
    "Cell",
    "Column",
    "Formula",
    "Leaf",
    "Text",
    "comparison_book",
    "comparison_leaf",
    "trace_leaf",
    "with_comparison",
    "workbook_of",
    "write_workbook",
]
