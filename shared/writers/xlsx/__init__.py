"""A plan as a workbook for the office: live formulas over real numbers."""

from shared.writers.xlsx.cells import Book, Cell, Column, Formula, Leaf, Text
from shared.writers.xlsx.comparing import comparison_book, comparison_leaf, with_comparison
from shared.writers.xlsx.contents import workbook_of
from shared.writers.xlsx.tracing import trace_leaf
from shared.writers.xlsx.write import write_workbook

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
