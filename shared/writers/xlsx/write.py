"""Write a workbook as xlsx (ISO/IEC 29500): the same bytes for the same book, every formula with its value."""

from __future__ import annotations

import io
import re
from datetime import date, datetime, time
from typing import Final

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from shared.writers.xlsx import cells

__all__ = ["write_workbook"]

_PAPER: Final = {"letter": 1, "a4": 9}  # ST_PaperSize of ISO/IEC 29500
_LONGEST: Final = 32_767
_LINE: Final = 15.0  # points a line of text takes
_THIN, _MEDIUM, _HAIR = 1, 2, 7
_FORBIDDEN: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_FIRST_DAY: Final = date(1980, 1, 1)
_WIDE: Final = 100  # characters across, beyond which a page lies on its side


def write_workbook(book: cells.Book) -> bytes:
    """Write a workbook.

    Parameters
    ----------
    book : Book
        What is in it; nothing is computed here.
    """
    out = io.BytesIO()
    made = Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    made.set_properties({"title": _clean(book.title), "created": datetime.combine(_dated(book.date), time())})
    writer = _Writer(made, book)
    for leaf in book.leaves:
        writer.leaf(leaf)
    made.close()
    return out.getvalue()


class _Writer:
    """Writes leaves; makes each way of setting a cell once."""

    def __init__(self, made: Workbook, book: cells.Book) -> None:
        self.made = made
        self.book = book
        self._looks: dict[tuple[tuple[str, object], ...], Format] = {}

    def _look(self, **properties: object) -> Format:
        key = tuple(sorted(properties.items()))
        if key not in self._looks:
            self._looks[key] = self.made.add_format({"font_name": "Calibri", "font_size": 11, **properties})
        return self._looks[key]

    def leaf(self, leaf: cells.Leaf) -> None:
        """Write one worksheet."""
        sheet: Worksheet = self.made.add_worksheet(leaf.name)
        heads = tuple(cells.Text(column.head) for column in leaf.columns)
        sheet.set_row(0, _height(heads, leaf.columns))
        for number, (column, head) in enumerate(zip(leaf.columns, heads, strict=True)):
            side = _side(text=not column.form, vertical="bottom", wrap=True)
            _put(sheet, 0, number, head, self._look(bold=True, bottom=_MEDIUM, **side))
            sheet.set_column(number, number, column.wide)
        for index, row in enumerate(leaf.rows):
            form = leaf.formats[index] if leaf.formats else ""
            self._row(sheet, index + 1, row, leaf.columns, form=form, bold=index in leaf.strong, bottom=_HAIR)
        if leaf.total:
            self._row(sheet, len(leaf.rows) + 1, leaf.total, leaf.columns, bold=True, top=_THIN)
        self._print_set_up(sheet, leaf)

    def _row(
        self,
        sheet: Worksheet,
        at: int,
        row: tuple[cells.Cell, ...],
        columns: tuple[cells.Column, ...],
        *,
        form: str = "",
        bold: bool = False,
        **border: int,
    ) -> None:
        sheet.set_row(at, _height(row, columns))
        for number, (value, column) in enumerate(zip(row, columns, strict=True)):
            text = isinstance(value, cells.Text)
            look: dict[str, object] = {**border, **_side(text=text or bool(form), vertical="top")}
            if bold:
                look["bold"] = True
            if not text and value is not None:
                look["num_format"] = form or column.form or "General"
            if isinstance(value, cells.Text) and value.text[:1] in {"=", "+", "-", "@"}:
                look["quote_prefix"] = True
            _put(sheet, at, number, value, self._look(**look))

    def _print_set_up(self, sheet: Worksheet, leaf: cells.Leaf) -> None:
        sheet.freeze_panes(1, 0)
        sheet.print_area(0, 0, len(leaf.rows) + bool(leaf.total), len(leaf.columns) - 1)
        sheet.repeat_rows(0)
        sheet.set_paper(_PAPER[self.book.paper])
        if sum(column.wide for column in leaf.columns) > _WIDE:
            sheet.set_landscape()
        else:
            sheet.set_portrait()
        sheet.fit_to_pages(1, 0)
        sheet.set_header(f"&L{_code(f'{self.book.title}: {leaf.name}')}")
        sheet.set_footer(f"&L{_code(self.book.foot)}&R&P / &N")


def _dated(day: str) -> date:
    """Return the workbook's own date: its properties know no year before the format's."""
    return max(date.fromisoformat(day), _FIRST_DAY)


def _side(*, text: bool, vertical: str, wrap: bool = False) -> dict[str, object]:
    found: dict[str, object] = {
        "valign": "top" if vertical == "top" else "bottom",
        "align": "left" if text else "right",
    }
    if wrap or text:
        found["text_wrap"] = True
    if text:
        found["indent"] = 1
    return found


def _height(row: tuple[cells.Cell, ...], columns: tuple[cells.Column, ...]) -> float:
    """Return the height of a row whose longest text is broken onto several lines; programs don't all work it out."""
    lines = max(
        -(-(len(value.text) + 2) // column.wide) if isinstance(value, cells.Text) else 1
        for value, column in zip(row, columns, strict=True)
    )
    return _LINE * min(lines, 25)


def _put(sheet: Worksheet, row: int, column: int, value: cells.Cell, look: Format) -> None:
    if isinstance(value, cells.Formula):
        known = value.value
        sheet.write_formula(row, column, value.text, look, known if isinstance(known, str) else float(known))
    elif isinstance(value, cells.Text) and value.text:
        sheet.write_string(row, column, _clean(value.text), look)
    elif isinstance(value, cells.Text) or value is None:
        sheet.write_blank(row, column, None, look)
    else:
        sheet.write_number(row, column, value if isinstance(value, int) else float(value), look)


def _clean(text: str) -> str:
    """Return a text that a workbook may hold: what XML forbids is replaced visibly, what is too long is cut visibly."""
    clean = _FORBIDDEN.sub("\ufffd", text).encode("utf-8", "replace").decode()
    return clean if len(clean) <= _LONGEST else clean[: _LONGEST - 1] + "…"


def _code(text: str) -> str:
    """Return a text for a header or footer, where & starts a code and a leading digit would become a size."""
    clean = _clean(text).replace("&", "&&")[:120]
    return f" {clean}" if clean[:1].isdigit() else clean
