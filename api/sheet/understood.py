"""A sheet as understood: what the page and the API show of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from api.sheet.blanks import blanks_of
from api.sheet.form import SheetForm
from api.sheet.one_list import MOST_OPEN, aside_of, caret_under
from cutting.question.lengths import Unit
from shared.reading import Choice, LineRead, Question, asking_alike

__all__ = ["FieldFault", "Missing", "SheetRead"]

_BUYING: Final = frozenset(name for name, each in blanks_of(SheetForm).items() if each.buying)


def group_of(field: str) -> str:
    """Return the group of fields that a field stands in.

    Examples
    --------
    >>> group_of("yard-2-delivery"), group_of("load"), group_of("kerf")
    ('yard-2', 'buying', 'saw')
    """
    if field.startswith("yard-"):
        return "-".join(field.split("-")[:2])
    return "buying" if field in _BUYING else "saw"


@dataclass(frozen=True, kw_only=True, slots=True)
class FieldFault:
    """Something wrong with one field of the sheet that is no list.

    Attributes
    ----------
    field : str
        Which.
    message : str
        What is wrong and what to write instead.
    """

    field: str
    message: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Missing:
    """A section that parts need and no line of sticks offers.

    Attributes
    ----------
    section : str
        Its name.
    lines : tuple of Choice
        Lines with usual mill lengths, to be completed with a price.
    """

    section: str
    lines: tuple[Choice, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetRead:
    """A sheet as understood.

    Attributes
    ----------
    form : SheetForm
        As written, a dropped file's lines in their list.
    lines : mapping of str to tuple of LineRead
        Each list's lines.
    questions : mapping of str to tuple of Question
        What concerns a list as a whole.
    faults : tuple of FieldFault
        What is wrong with other fields.
    missing : tuple of Missing
        Sections without a stick.
    also : tuple of str
        What is needed beside bar stock.
    sum : str
        So many pieces, sections, length, weight.
    document : bytes
        The job file; empty while something is open.
    title : str
        The job's.
    limit : float
        Seconds of search.
    unit : Unit
        What a bare number means.
    named : tuple of str
        Yards that the lists name and whose terms aren't written.
    """

    form: SheetForm
    lines: Mapping[str, tuple[LineRead, ...]]
    questions: Mapping[str, tuple[Question, ...]]
    faults: tuple[FieldFault, ...]
    missing: tuple[Missing, ...]
    also: tuple[str, ...]
    sum: str
    document: bytes
    title: str
    limit: float
    unit: Unit
    named: tuple[str, ...] = ()

    def echo(self, name: str) -> tuple[LineRead, ...]:
        """Return a list's lines."""
        return self.lines[name]

    def open(self, name: str) -> tuple[LineRead, ...]:
        """Return a list's lines that ask something, the first of many."""
        return tuple(line for line in self.lines[name] if line.questions)[:MOST_OPEN]

    def more_open(self, name: str) -> int:
        """Count the lines that ask something beyond those."""
        return max(0, sum(1 for line in self.lines[name] if line.questions) - MOST_OPEN)

    def aside(self, name: str) -> tuple[LineRead, ...]:
        """Return the first lines with a number that were set aside, each to be brought back."""
        return aside_of(self.lines[name])

    def alike(self, name: str, question: Question) -> int:
        """Count the lines that ask the same as this one, which one answer can hold for."""
        return len(asking_alike(self.lines[name], question.alike))

    def whole(self, name: str) -> tuple[Question, ...]:
        """Return what concerns a list as a whole."""
        return self.questions[name]

    def faults_of(self, group: str) -> tuple[FieldFault, ...]:
        """Return what is wrong with a group of fields: ``saw``, ``buying``, or one yard such as ``yard-1``."""
        return tuple(fault for fault in self.faults if group_of(fault.field) == group)

    def caret(self, question: Question) -> str:
        """Return a line with a caret under the place in question."""
        return caret_under(question)

    @property
    def say(self) -> str:
        """Say why there is no answer yet."""
        if self.form.empty:
            return ""
        if any(line.questions for lines in self.lines.values() for line in lines) or any(self.questions.values()):
            return "The answer waits for the lines in question."
        if self.faults:
            about = (
                "yards and carrying" if all(group_of(each.field) != "saw" for each in self.faults) else "saw and money"
            )
            return f"The answer waits for what is open about {about}."
        if not self.form.parts.strip():
            return "The answer waits for the parts."
        return "The answer waits for sticks to cut the parts from."
