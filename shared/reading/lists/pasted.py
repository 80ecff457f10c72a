"""Tables that came out of a document column by column: asked, since which number belongs to which row is a guess."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import groupby
from typing import Final

from shared.reading.grid.titles import role_of
from shared.reading.lists.entry import Entry
from shared.reading.text.tokens import plain
from shared.reading.values.draft import Ask
from shared.reading.values.result import Kind

__all__ = ["ask_columns"]

_NUMBER: Final = re.compile(r"\d[\d.,/ -]*(?:\"|'|mm|cm|m|in|ft)?")
_MARK: Final = re.compile(r"[A-Za-z]{1,3}[-.]?\d{1,3}[a-z]?")
_LEAST_LINES: Final = 6
_LEAST_RUN: Final = 2
_SHARE: Final = 0.6


def ask_columns(entries: Sequence[Entry]) -> None:
    """Ask once where a list is runs of sections and of bare numbers, of marks and titles, column below column."""
    filled = [entry for entry in entries if entry.kind is not Kind.BLANK]
    if len(filled) < _LEAST_LINES or any(len(entry.row.cells) > 1 for entry in filled):
        return
    runs = [(kind, len(list(group))) for kind, group in groupby(filled, key=_what)]
    numbers = [count for kind, count in runs if kind == "number" and count >= _LEAST_RUN]
    sections = [count for kind, count in runs if kind == "section" and count >= _LEAST_RUN]
    told = sum(count for kind, count in runs if kind)
    if not numbers or not sections or told < _SHARE * len(filled):
        return
    for entry in filled:
        entry.questions.clear()
        entry.kind = Kind.QUESTION
    filled[0].ask(
        Ask(
            message="these look like the columns of a table pasted one below another; copy it row by row, or paste the "
            "table from a spreadsheet, so that each number stands beside its section",
            position=0,
        )
    )
    for entry in filled[1:]:
        entry.notes.append(f"what it belongs to is asked in line {filled[0].row.line}")


def _what(entry: Entry) -> str:
    """Return what a line holds and nothing else: a number, a section, a mark or a title; empty for any other line."""
    text = plain(entry.row.text).strip()
    if _NUMBER.fullmatch(text):
        return "number"
    draft = entry.draft
    if draft is not None and draft.section is not None and draft.stated:
        return "section" if draft.length is None and draft.quantity is None else ""
    if _MARK.fullmatch(text):
        return "mark"
    return "title" if " " not in text and role_of(text, text) is not None else ""
