"""The sheets of a workbook that are a list: one, or several of a kind, each below a row that names it.

What isn't read is said in a row of its own, or asked where it seems to be a list too. The rows that name sheets are
text like all others, so that a list whose questions were answered says the same when it is read again.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from shared.reading.grid.cells import MOST_LINE, MOST_LINES, Cell, Row, Sheet
from shared.reading.grid.headers import find_header
from shared.reading.grid.titles import Role
from shared.reading.grid.workbook import Values, rows_of
from shared.reading.values.result import Question

__all__ = ["first_list", "named_sheet", "whole_book"]

_DIMENSIONS: Final = re.compile(r"\d\s*[x\u00d7*]\s*\d", re.IGNORECASE)
_NAMED: Final = re.compile(r"\[sheet (?P<name>[^\]]{1,40})\]\s*")
_UNREAD: Final = re.compile(r"\[sheet [^\]]{1,40} holds no list and wasn't read\].*|\[a plan's workbook: [^\]]*\]\s*")
_MOST_SAID: Final = 200
_OF_A_PLAN: Final = frozenset({"Summary", "Buy list", "Cut sheet", "Parts", "Drops"})
"""Sheets of the workbook that `shared.writers.xlsx` makes of a plan."""
_CENTRES: Final = ("centre line mm", "centre line in")
_ASKED: Final = frozenset({"mark", "section", "assembly", "length mm", "length in", "asked", "note", *_CENTRES})
"""Columns of its sheet of parts that say what was asked for."""
_KINDS: Final = ({Role.PRICE, Role.BREAK}, {Role.QUANTITY, Role.EACH, Role.NUMBER}, {Role.LENGTH})
"""Roles that tell lists of one kind from those of another."""


def named_sheet(text: str) -> str | None:
    """Return the sheet whose rows begin below a row, empty where it only says what wasn't read; None for any other.

    Examples
    --------
    >>> named_sheet("[sheet Rack]"), named_sheet("2 off")
    ('Rack', None)
    """
    found = _NAMED.fullmatch(text)
    if found is not None:
        return found["name"]
    return "" if _UNREAD.fullmatch(text) else None


def first_list(filled: Mapping[str, Values]) -> tuple[Sheet, tuple[Question, ...]]:
    """Return the rows of a workbook's first sheet; that others seem to hold a list too is a question."""
    read, *others = filled
    return Sheet(rows_of(filled[read]), "\t"), _asked([read], [name for name in others if _holds_list(filled[name])])


def whole_book(filled: Mapping[str, Values]) -> tuple[Sheet, tuple[Question, ...]]:
    """Return the rows of all sheets that are a list of the first one's kind; that others hold another is a question.

    Parameters
    ----------
    filled : mapping of str to Values
        The sheets by name, in order.
    """
    if filled.keys() >= _OF_A_PLAN and {"mark", "section", "asked"} <= set(map(str, filled["Parts"][0])):
        return _parts_of_plan(filled), ()
    lists = [name for name, values in filled.items() if _holds_list(values)] or list(filled)[:1]
    read = [lists[0], *(name for name in lists[1:] if _goes_on(filled, lists[0], name))]
    if sum(len(filled[name]) + 1 for name in read) + len(filled) > MOST_LINES:
        read = read[:1]
    rows: list[Row] = []
    for name in read:
        if len(read) > 1:
            rows.append(_said(len(rows) + 1, f"[sheet {_plain(name)}]"))
        rows += rows_of(filled[name], len(rows) + 1)
    for name, values in filled.items():
        if name not in lists:
            holds = " / ".join(str(value) for row in values for value in row if value not in {"", None})
            rows.append(
                _said(len(rows) + 1, f"[sheet {_plain(name)} holds no list and wasn't read] {holds}"[:_MOST_SAID])
            )
    return Sheet(tuple(rows), "\t"), _asked(read, [name for name in lists if name not in read])


def _parts_of_plan(filled: Mapping[str, Values]) -> Sheet:
    """Return the parts of a plan's own workbook, without what the plan says of them; its other sheets are said.

    The sheet of parts doesn't say which ends are angled; the cut sheet's remarks do, so these parts are asked about.
    """
    head, *rows = [[*map(_shown, row)] for row in filled["Parts"]]
    mark, section = head.index("mark"), head.index("section")
    kept = [at for at, title in enumerate(head) if title in _ASKED]
    angled = {row[0] for row in _columns(filled["Cut sheet"], ("mark", "note")) if "\u00b0" in row[1].partition(";")[0]}
    centre = [at for at, title in enumerate(head) if title in _CENTRES]
    told: Values = [[head[at] for at in kept]]
    for row, given in zip(rows, filled["Parts"][1:], strict=True):
        if section < len(row) and row[section]:
            cells = [given[at] if at < len(given) else "" for at in kept]
            for at in centre:
                cells[kept.index(at)] = f"{row[at]} (angled)" if row[mark] in angled else ""
            told.append(cells)
    others = ", ".join(name for name in filled if name != "Parts")
    said = f"[a plan's workbook: only its sheet Parts is read, not {others}]"
    return Sheet((*rows_of(told), _said(len(told) + 1, said)), "\t", planned=True)


def _columns(values: Values, titles: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Yield a sheet's rows, of these columns only."""
    head, *rows = [[*map(_shown, row)] for row in values]
    if set(titles) <= set(head):
        yield from (tuple(row[head.index(title)] for title in titles) for row in rows)


def _shown(value: object) -> str:
    return "" if value is None else str(value)


def _goes_on(filled: Mapping[str, Values], first: str, name: str) -> bool:
    """Whether a sheet is a list of the same kind as the first, with rows of its own."""
    if _kind(filled[name]) != _kind(filled[first]):
        return False
    rows = {_told(row) for row in filled[name]}
    return bool(rows - {_told(row) for row in filled[first]})


def _told(row: Sequence[object]) -> tuple[str, ...]:
    return tuple(str(value) for value in row if value not in {"", None})


def _kind(values: Values) -> tuple[bool, ...]:
    """Return what kind of columns a sheet has, nothing for one without a header."""
    found = find_header(rows_of(values))
    if found is None:
        return ()
    roles = {column.role for column in found[1] if column is not None}
    return tuple(bool(roles & kind) for kind in _KINDS)


def _said(line: int, text: str) -> Row:
    text = re.sub(r"\s+", " ", text)[:MOST_LINE]
    return Row(line, text, (Cell(text, 0, len(text)),))


def _plain(name: str) -> str:
    """Return a sheet's name as it may stand in brackets."""
    return re.sub(r"[\[\]\s]+", " ", name).strip()[:40] or "?"


def _holds_list(values: Values) -> bool:
    """Whether a sheet seems to hold a list: a row with dimensions and, in another cell, a number."""
    for row in values:
        texts = _told(row)
        sized = [text for text in texts if _DIMENSIONS.search(text)]
        if sized and any(text not in sized and any(map(str.isdigit, text)) for text in texts):
            return True
    return False


def _asked(read: Sequence[str], names: Sequence[str]) -> tuple[Question, ...]:
    """Ask about sheets that hold a list and weren't read."""
    if not names:
        return ()
    message = (
        f"only the sheet {' and '.join(read)} was read, and {', '.join(names)} seems to hold a list too; put all of it "
        "on one sheet, or delete what isn't meant"
    )
    return (Question(line=0, text="", message=message),)
