"""Choices are read before they are offered: each shows what it makes, and one that settles nothing isn't offered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final, TypeAlias

from shared.reading.lists.entry import Entry
from shared.reading.values.result import COUNTING, Choice, LineRead, Question

__all__ = ["Again", "show_choices"]

Again: TypeAlias = Callable[[str], Sequence[LineRead]]
"""Reads a text as the list was read."""

_MOST_LINES: Final = 1000
"""Lines read anew for the choices of one list; beyond it they are offered unread: lists of thousands stay quick."""


def show_choices(entries: Sequence[Entry], again: Again) -> None:
    """Read the list once more with each choice in its place.

    Parameters
    ----------
    entries : sequence of Entry
        The list as read; their questions get the choices that are left.
    again : callable
        Reads a text.
    """
    texts = _texts(entries)
    left = _MOST_LINES
    for entry in entries if texts else ():
        for at, question in enumerate(entry.questions):
            left -= len(texts) * len(question.choices)
            if left < 0:
                return
            entry.questions[at] = _shown(question, texts, again)


def _texts(entries: Sequence[Entry]) -> list[str]:
    """Return the lines of a list as text, as they are read again with an answer; none where they aren't all here."""
    rows = {entry.row.line: entry.row if entry.shared is None else entry.shared.row for entry in entries}
    plain = all("\n" not in row.text for row in rows.values())
    return [row.written for row in rows.values()] if plain and list(rows) == list(range(1, len(rows) + 1)) else []


def _shown(question: Question, texts: Sequence[str], again: Again) -> Question:
    """Return a question with what each choice makes, without those that ask the same once more."""
    kept: list[Choice] = []
    for choice in question.choices:
        first, last = question.line, question.line + choice.line.count("\n")
        whole = "\n".join((*texts[: first - 1], choice.line, *texts[first:]))
        lines = [line for line in again(whole) if first <= line.line <= last]
        if any(other.message == question.message for line in lines for other in line.questions):
            continue
        made = [said for line in lines for said in line.understood if line.kind in COUNTING]
        kept.append(replace(choice, makes="; ".join(_unmarked(said) for said in made)))
    return replace(question, choices=tuple(kept))


def _unmarked(said: str) -> str:
    """Return a part as understood without its mark, which depends on the whole list."""
    mark, colon, rest = said.partition(": ")
    return rest if colon and " x " not in mark else said
