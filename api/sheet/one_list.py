"""One list as understood, the way the margin beside it asks for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from shared.reading import LineRead, Question

__all__ = ["MOST_OPEN", "OneList", "aside_of", "caret_under"]

MOST_OPEN: Final = 40
"""Lines that ask something and are shown at once."""


_MOST_ASIDE: Final = 20


def aside_of(lines: Sequence[LineRead]) -> tuple[LineRead, ...]:
    """Return the first lines with a number that were set aside."""
    return tuple(line for line in lines if line.set_aside and any(map(str.isdigit, line.text)))[:_MOST_ASIDE]


def caret_under(question: Question) -> str:
    """Return a line with a caret under the place in question."""
    return " " * (question.position or 0) + "^"


@dataclass(frozen=True, kw_only=True, slots=True)
class OneList:
    """A list as understood, on a page that holds no other: whatever name the margin asks for, it is this one.

    Attributes
    ----------
    lines : tuple of LineRead
        Each line.
    questions : tuple of Question
        What concerns the list as a whole.
    """

    lines: tuple[LineRead, ...]
    questions: tuple[Question, ...]

    def echo(self, _name: str) -> tuple[LineRead, ...]:
        """Return the lines, for the margin."""
        return self.lines

    def open(self, _name: str) -> tuple[LineRead, ...]:
        """Return the lines that ask something, the first of many."""
        return self._asking[:MOST_OPEN]

    def more_open(self, _name: str) -> int:
        """Count the lines that ask something beyond those."""
        return max(0, len(self._asking) - MOST_OPEN)

    def aside(self, _name: str) -> tuple[LineRead, ...]:
        """Return the first lines with a number that were set aside, each to be brought back."""
        return aside_of(self.lines)

    def alike(self, _name: str, _question: Question) -> int:
        """Return 0: here each line is answered by itself."""
        return 0

    def whole(self, _name: str) -> tuple[Question, ...]:
        """Return what concerns the list as a whole."""
        return self.questions

    def caret(self, question: Question) -> str:
        """Return a line with a caret under the place in question."""
        return caret_under(question)

    @property
    def _asking(self) -> tuple[LineRead, ...]:
        return tuple(line for line in self.lines if line.questions)
