"""Write a workbook as xlsx (ISO/IEC 29500): the same bytes for the same book."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import UTC, datetime
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from shared.writers.xlsx import cells

__all__ = ["write_workbook"]

_PAPER: Final = {"letter": 1, "a4": 9}  # ST_PaperSize of ISO/IEC 29500
_LONGEST: Final = 32_767
_PLAIN: Final = Font(name="Calibri", size=11)
_BOLD: Final = Font(name="Calibri", size=11, bold=True)
_LINE: Final = 15.0  # points a line of text takes
_HEAD: Final = Border(bottom=Side(style="medium"))
_ROW: Final = Border(bottom=Side(style="hair"))
_TOTAL: Final = Border(top=Side(style="thin"))
_MODIFIED: Final = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*(</dcterms:modified>)")


def write_workbook(book: cells.Book) -> bytes:
    """Write a workbook.

    Parameters
    ----------
    book : Book
        What is in it; nothing is computed here.
    """
    made = Workbook()
    made.remove(made.active)  # type: ignore[arg-type]
    made.properties.title = _clean(book.title)
    made.properties.creator = ""
    made.properties.created = datetime.fromisoformat(book.date)
    for leaf in book.leaves:
        _leaf(made.create_sheet(leaf.name), leaf, book)
    out = io.BytesIO()
    made.save(out)
    return _settled(out.getvalue(), book.date)


def _leaf(sheet: Worksheet, leaf: cells.Leaf, book: cells.Book) -> None:
    for number, column in enumerate(leaf.columns, start=1):
        head = sheet.cell(1, number)
        _put(head, cells.Text(column.head))
        head.font, head.border = _BOLD, _HEAD
        head.alignment = _side(text=not column.form, vertical="bottom", wrap=True)
        sheet.column_dimensions[get_column_letter(number)].width = column.wide
    sheet.row_dimensions[1].height = _height(tuple(cells.Text(column.head) for column in leaf.columns), leaf.columns)
    for index, row in enumerate(leaf.rows):
        form = leaf.formats[index] if leaf.formats else ""
        _row(sheet, index + 2, row, leaf.columns, form=form, font=_BOLD if index in leaf.strong else _PLAIN)
    if leaf.total:
        _row(sheet, len(leaf.rows) + 2, leaf.total, leaf.columns, font=_BOLD, border=_TOTAL)
    _print_set_up(sheet, leaf, book)


def _row(
    sheet: Worksheet,
    at: int,
    row: tuple[cells.Cell, ...],
    columns: tuple[cells.Column, ...],
    *,
    form: str = "",
    font: Font = _PLAIN,
    border: Border = _ROW,
) -> None:
    sheet.row_dimensions[at].height = _height(row, columns)
    for number, (value, column) in enumerate(zip(row, columns, strict=True), start=1):
        cell = sheet.cell(at, number)
        _put(cell, value)
        cell.border, cell.font = border, font
        text = isinstance(value, cells.Text)
        cell.alignment = _side(text=text or bool(form), vertical="top")
        if not text and value is not None:
            cell.number_format = form or column.form or "General"


def _side(*, text: bool, vertical: str, wrap: bool = False) -> Alignment:
    return Alignment(
        vertical=vertical, wrap_text=wrap or text, horizontal="left" if text else "right", indent=1 if text else 0
    )


def _height(row: tuple[cells.Cell, ...], columns: tuple[cells.Column, ...]) -> float:
    """Return the height of a row whose longest text is broken onto several lines; programs don't all work it out."""
    lines = max(
        -(-(len(value.text) + 2) // column.wide) if isinstance(value, cells.Text) else 1
        for value, column in zip(row, columns, strict=True)
    )
    return _LINE * min(lines, 25)


def _put(cell: Any, value: cells.Cell) -> None:
    if isinstance(value, cells.Formula):
        cell.value = value.text
    elif isinstance(value, cells.Text):
        cell.value = _clean(value.text)
        if value.text:
            cell.data_type = "s"
            cell.quotePrefix = value.text[0] in "=+-@"
    elif value is not None:
        cell.value = value


def _clean(text: str) -> str:
    """Return a text that a workbook may hold: what XML forbids is replaced visibly, what is too long is cut visibly."""
    clean = ILLEGAL_CHARACTERS_RE.sub("\ufffd", text).encode("utf-8", "replace").decode()
    return clean if len(clean) <= _LONGEST else clean[: _LONGEST - 1] + "…"


def _print_set_up(sheet: Worksheet, leaf: cells.Leaf, book: cells.Book) -> None:
    last = len(leaf.rows) + (2 if leaf.total else 1)
    sheet.freeze_panes = "A2"
    sheet.print_area = f"A1:{get_column_letter(len(leaf.columns))}{last}"
    sheet.print_title_rows = "1:1"
    sheet.page_setup.paperSize = _PAPER[book.paper]
    sheet.page_setup.orientation = "landscape" if sum(column.wide for column in leaf.columns) > 100 else "portrait"  # noqa: PLR2004 - characters across
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.oddHeader = HeaderFooterItem(left=_HeaderFooterPart(text=_code(f"{book.title}: {leaf.name}")))
    sheet.oddFooter = HeaderFooterItem(
        left=_HeaderFooterPart(text=_code(book.foot)), right=_HeaderFooterPart(text="&P / &N")
    )


def _code(text: str) -> str:
    """Return a text for a header or footer, where & starts a code and a leading digit would become a size."""
    clean = _clean(text).replace("&", "&&")[:200]
    return f" {clean}" if clean[:1].isdigit() else clean


def _settled(data: bytes, day: str) -> bytes:
    """Return the file with the book's date instead of the clock's, so that the same book gives the same bytes."""
    moment = datetime.fromisoformat(day).replace(tzinfo=UTC)
    # A zip archive counts years from 1980 to 2107.
    stamp = min(max((moment.year, moment.month, moment.day, 0, 0, 0), (1980, 1, 1, 0, 0, 0)), (2107, 12, 31, 0, 0, 0))
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as made, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as settled:
        for name in made.namelist():
            content = made.read(name)
            if name == "docProps/core.xml":
                content = _MODIFIED.sub(rb"\g<1>" + f"{day}T00:00:00Z".encode() + rb"\g<2>", content)
            entry = zipfile.ZipInfo(name, stamp)
            entry.compress_type = zipfile.ZIP_DEFLATED
            settled.writestr(entry, content)
    return out.getvalue()
