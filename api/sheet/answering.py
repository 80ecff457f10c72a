"""Answers to what the lists of a sheet leave open, given for one line or for all lines that ask the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.sheet.form import SheetForm
from api.sheet.understood import SheetRead
from shared.reading import LineRead, answer_alike, chosen, lines_of, rewritten

__all__ = ["Answer", "with_answers"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """One answer.

    Attributes
    ----------
    field : str
        Which list.
    line : int
        The line whose first question it answers.
    was : str or None
        That line as it was when it was asked about; None for as it is.
    reading : str
        The reading chosen, or ``not a part``.
    alike : bool
        Whether it holds for all lines that ask the same.
    """

    field: str
    line: int
    was: str | None
    reading: str
    alike: bool


def with_answers(read: SheetRead, answers: Sequence[Answer]) -> SheetForm:
    """Return a sheet with its lists rewritten as was answered; an answer to what isn't asked any more changes nothing.

    Parameters
    ----------
    read : SheetRead
        The sheet as understood, with its questions.
    answers : sequence of Answer
        What was answered.
    """
    form = read.form
    for answer in answers:
        lines = read.lines[answer.field]
        asked = next((line for line in lines if _is_meant(line, answer)), None)
        if asked is None or not asked.questions:
            continue
        question = asked.questions[0]
        put = chosen(asked, question, answer.reading)
        found = {} if put is None else {asked.line: put}
        if found and answer.alike:
            found |= answer_alike(lines, question.alike, answer.reading)
        if found:
            form = form.with_text(answer.field, rewritten(lines_of(form.text(answer.field)), found))
    return form


def _is_meant(line: LineRead, answer: Answer) -> bool:
    return line.line == answer.line if answer.was is None else line.text.strip() == answer.was.strip()
