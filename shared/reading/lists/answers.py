"""Answers to what a list leaves open: one line rewritten, or all lines that ask the same."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from shared.reading.grid.sheet import open_list
from shared.reading.values.result import LineRead, Question, shape_of

__all__ = ["NOT_A_PART", "answer_alike", "asking_alike", "chosen", "lines_of", "rewritten"]

NOT_A_PART: Final = "not a part"
"""The answer that each question takes."""


def lines_of(source: str | bytes) -> list[str]:
    r"""Return a list's lines as text, the rows of a workbook with tabs between their cells.

    Examples
    --------
    >>> lines_of("one\ntwo")
    ['one', 'two']
    """
    return [row.written for row in open_list(source)[0].rows]


def chosen(line: LineRead, question: Question, answer: str, like: Question | None = None) -> str | None:
    """Return a line rewritten as a question about it was answered, None where it has no such answer.

    Parameters
    ----------
    line : LineRead
        The line.
    question : Question
        What is open about it.
    answer : str
        The reading chosen.
    like : Question or None
        The question of another line that this was the answer to: where both offer the same readings but for their
        numbers, the one at the same place is meant.
    """
    if answer == NOT_A_PART:
        return line.put_aside
    same = [choice.line for choice in question.choices if choice.reading == answer]
    if not same and like is not None and _shapes(question) == _shapes(like):
        same = [
            mine.line for mine, other in zip(question.choices, like.choices, strict=True) if other.reading == answer
        ]
    return same[0] if len(same) == 1 else None


def _shapes(question: Question) -> list[str]:
    return [shape_of(choice.reading) for choice in question.choices]


def asking_alike(lines: Sequence[LineRead], alike: str) -> list[tuple[LineRead, Question]]:
    """Return the lines that ask the same (`Question.alike`), each with its question."""
    return [(line, each) for line in lines for each in line.questions[:1] if each.alike == alike]


def answer_alike(lines: Sequence[LineRead], alike: str, answer: str) -> dict[int, str]:
    """Answer all lines that ask the same; returns the rewritten lines by number.

    Parameters
    ----------
    lines : sequence of LineRead
        The list as read.
    alike : str
        What they ask: `Question.alike`.
    answer : str
        One of the readings offered, or `NOT_A_PART`.
    """
    asking = asking_alike(lines, alike)
    like = next((each for _, each in asking if any(choice.reading == answer for choice in each.choices)), None)
    answers = {line.line: chosen(line, each, answer, like) for line, each in asking}
    return {number: text for number, text in answers.items() if text is not None}


def rewritten(texts: Sequence[str], lines: Mapping[int, str]) -> str:
    """Return a list's text with some of its lines, by number, rewritten."""
    return "\n".join(lines.get(number, text) for number, text in enumerate(texts, 1))
