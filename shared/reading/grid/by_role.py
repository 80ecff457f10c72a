"""The cells of a table's row by what their columns hold: joined where several make one, ditto filled in."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.grid.cells import Cell, Row
from shared.reading.grid.headers import Column
from shared.reading.grid.titles import Role
from shared.reading.text.vocabulary import DITTO, fold

__all__ = ["EMPTY", "Above", "by_role"]

EMPTY: Final = frozenset({"", "-", "--", "n/a", "na", "/"})
_NO_COLUMN: Final = frozenset({Role.YARD, Role.BREAK, Role.SUBSTITUTE, Role.SAID, Role.OTHER, Role.LISTED})
"""Columns that are read before their row is; what is left of them in another kind of list is a note."""
_TWO_SIZES: Final = re.compile(r"^\D*\d+(?:[.,/]\d+)?\s*[xX×*]\s*\d+(?:[.,/]\d+)?\s*$")
_PLAIN: Final = re.compile(r"\d+(?:[ -]\d+/\d+|/\d+|\.\d+)?")
_ANGLE: Final = re.compile(r"\d{1,2}(?:[.,]\d{1,2})?\s*°?")


@dataclass(slots=True)
class Above:
    """The cells of the row above, for ditto, by role."""

    texts: dict[Role, str]


def by_role(row: Row, columns: Sequence[Column | None], above: Above) -> tuple[dict[Role, str], dict[Role, Cell]]:
    """Return text and cell of each role; several columns of a role are joined, ditto is the row above."""
    texts: dict[Role, str] = {}
    cells: dict[Role, Cell] = {}
    sizes: list[tuple[str, str]] = []
    for at, cell in enumerate(row.cells):
        column = columns[at] if at < len(columns) else None
        role = column.role if column is not None and column.role not in _NO_COLUMN else Role.NOTE
        if role is Role.IGNORED or (column is None and not cell.text):
            continue
        text = _titled(cell.text, column)
        if role is Role.SIZE:
            sizes.append((text, column.title if column is not None else ""))
            continue
        if role in cells and text:
            texts[role] = f"{texts[role]}{', ' if role is Role.NOTE else ' '}{text}".strip(" ,")
            cells[role] = cell if not cells[role].text else Cell(texts[role], -1, -1)
        elif role not in cells:
            texts[role], cells[role] = text, cell
    _join_sizes(sizes, texts)
    _join_feet(row, columns, texts)
    _join_ends(row, columns, texts)
    for role in (Role.SECTION, Role.LENGTH, Role.QUANTITY, Role.MATERIAL, Role.ASSEMBLY):
        if role in texts and _is_ditto(texts[role]):
            texts[role] = above.texts.get(role, "")
        elif texts.get(role):
            above.texts[role] = texts[role]
    return texts, cells


def _titled(text: str, column: Column | None) -> str:
    """Return a remark's text, with its title where it is a number that says nothing without it."""
    if column is None or column.role not in {Role.SAID, Role.OTHER} or not any(map(str.isdigit, text)):
        return text
    bare = column.role is Role.OTHER and any(map(str.isalpha, text))
    return text if bare else f"{column.title} {text}"


def _join_sizes(sizes: Sequence[tuple[str, str]], texts: dict[Role, str]) -> None:
    """Join a section with its sizes in columns of their own; sizes that it states already are a remark."""
    filled = [(text, title) for text, title in sizes if text not in EMPTY]
    section = texts.get(Role.SECTION, "")
    if not filled:
        return
    if not any(map(str.isdigit, section)):
        texts[Role.SECTION] = f"{section} {'x'.join(text for text, _ in filled)}".strip()
    elif len(filled) == 1 and _TWO_SIZES.search(section):
        texts[Role.SECTION] = f"{section}x{filled[0][0]}"
    else:
        said = [f"{title} {text}" for text, title in filled if text not in re.findall(r"[\d.,/]+", section)]
        texts[Role.NOTE] = ", ".join(filter(None, [texts.get(Role.NOTE, ""), *said]))


def _join_feet(row: Row, columns: Sequence[Column | None], texts: dict[Role, str]) -> None:
    """Join feet and inches that stand in two columns."""
    lengths = [
        (column, row.cells[at].text.strip())
        for at, column in enumerate(columns)
        if column is not None and column.role is Role.LENGTH and at < len(row.cells)
    ]
    if [column.unit for column, _ in lengths] != [Unit.FT, Unit.IN]:
        return
    feet, inches = (text.strip("'\" ") for _, text in lengths)
    if any(text and not _PLAIN.fullmatch(text) for text in (feet, inches)):
        return
    texts[Role.LENGTH] = f"{feet}' {inches or 0}\"" if feet else f'{inches}"' if inches else ""


def _join_ends(row: Row, columns: Sequence[Column | None], texts: dict[Role, str]) -> None:
    """Join the angles of two ends that stand in two columns; 90 is square."""
    ends = [
        row.cells[at].text.strip()
        for at, column in enumerate(columns)
        if column is not None and column.role is Role.ENDS and at < len(row.cells)
    ]
    if len(ends) == 2 and all(_ANGLE.fullmatch(text) for text in ends):  # noqa: PLR2004
        one, two = (text.rstrip("° ").replace(",", ".") for text in ends)
        texts[Role.ENDS] = "" if {one, two} <= {"90", "0"} else f"{one}°/{two}°"


def _is_ditto(text: str) -> bool:
    return fold(text) in DITTO or text in {'"', "''", "″", "”", "〃", '" "', '""'}
