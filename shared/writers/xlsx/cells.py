"""What a workbook holds, before anything is written: sheets of cells with their values, formulas and formats ready."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["Book", "Cell", "Column", "Formula", "Leaf", "Text", "Value", "value_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Formula:
    """A live formula of our own making; no text of the job is ever in one.

    Attributes
    ----------
    text : str
        With its equals sign.
    value : number or str
        What it comes to while nothing is changed, for whoever reads the file without working it out.
    """

    text: str
    value: Decimal | int | float | str


@dataclass(frozen=True, slots=True)
class Text:
    """A text that stays a text, whatever it begins with."""

    text: str


Cell = Text | Formula | Decimal | int | float | None


Value = Decimal | int | float


def value_of(cell: Cell) -> Value:
    """Return what a cell counts in a sum: a text or nothing counts as 0."""
    known = cell.value if isinstance(cell, Formula) else cell
    return known if isinstance(known, (Decimal, int, float)) else 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """One column.

    Attributes
    ----------
    head : str
        Its heading, with the unit where it has one.
    wide : int
        Width in characters.
    form : str
        Number format, empty for texts.
    """

    head: str
    wide: int
    form: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Leaf:
    """One worksheet: a row of headings and rows below it.

    Attributes
    ----------
    name : str
        On its tab.
    columns : tuple of Column
        In order.
    rows : tuple of tuple of Cell
        As many cells in each as there are columns.
    total : tuple of Cell
        Last row, set in bold; empty for none.
    strong : tuple of int
        Rows, from 0, that are set in bold.
    formats : tuple of str
        Number format of each row, where rows differ instead of columns; empty for none.
    """

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    total: tuple[Cell, ...] = ()
    strong: tuple[int, ...] = ()
    formats: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Book:
    """A workbook.

    Attributes
    ----------
    title : str
        The job's.
    foot : str
        Plan, revision and date, printed at the foot of every page.
    date : str
        ISO 8601; the workbook's own date too.
    paper : str
        ``a4`` or ``letter``.
    leaves : tuple of Leaf
        Its worksheets.
    """

    title: str
    foot: str
    date: str
    paper: str
    leaves: tuple[Leaf, ...]
