"""One line on its way from text to reading, and the list of them."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field

from cutting.question.job import Substitute
from cutting.question.lengths import Unit
from shared.reading.grid.headers import Column
from shared.reading.grid.sheet import Cell, Row
from shared.reading.grid.structure import Heading, Total
from shared.reading.line.breaks import BreakRead
from shared.reading.line.frame import TakeOff
from shared.reading.values.draft import Around, Ask, Draft
from shared.reading.values.result import Choice, Kind, LineRead, Question

__all__ = ["Entry", "List"]


@dataclass(slots=True)
class Entry:
    """One line on its way from text to reading.

    `yard` is the yard it belongs to, `yard_below` the one it names for the lines below it, `above` the line that an
    addition belongs to; `sure` that somebody said of it that it is meant as it stands.
    """

    row: Row
    kind: Kind = Kind.REMARK
    draft: Draft | None = None
    places: dict[int, Cell] = field(default_factory=dict)
    off: TakeOff | None = None
    total: Total | None = None
    heading: Heading | None = None
    assembly: str = ""
    sets: int = 1
    section_cell: Cell | None = None
    breaks: list[BreakRead] = field(default_factory=list)
    substitutes: list[Substitute] = field(default_factory=list)
    sure: bool = False
    yard: str = ""
    yard_below: str = ""
    above: Entry | None = None
    questions: list[Question] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def ask(self, ask: Ask, cell: Cell | None = None, delimiter: str = "") -> None:
        """Add a question about this line."""
        self.kind = Kind.QUESTION
        self.questions.append(_question(self.row, ask, cell, delimiter))

    def read(self, understood: tuple[str, ...]) -> LineRead:
        """Return the line for the echo, with what was understood of it."""
        return LineRead(
            line=self.row.line,
            text=self.row.text,
            kind=self.kind,
            understood=understood,
            notes=tuple(dict.fromkeys(self.notes)),
            questions=tuple(self.questions),
        )


@dataclass(slots=True)
class List:
    """A list being read: its lines, and what they show together."""

    entries: list[Entry]
    around: Around
    unit: Unit | None
    columns: list[Column | None] | None
    delimiter: str


def _question(row: Row, ask: Ask, cell: Cell | None, delimiter: str) -> Question:
    """Return a question with the whole line rewritten for each reading."""
    choices = []
    position = min(ask.position, len(row.text))
    if cell is not None and cell.start < 0:
        return Question(line=row.line, text=row.text, message=ask.message, position=0)
    for rewrite in ask.rewrites:
        if cell is None:
            line = row.text[: rewrite.start] + rewrite.text + row.text[rewrite.end :]
        else:
            inner = cell.text[: rewrite.start] + rewrite.text + cell.text[rewrite.end :]
            line = (
                row.text[: cell.start]
                + _quoted(inner, row.text[cell.start : cell.end], delimiter)
                + row.text[cell.end :]
            )
        choices.append(Choice(reading=rewrite.reading, line=line))
    if cell is not None:
        position = min(cell.start + ask.position, len(row.text))
    return Question(line=row.line, text=row.text, message=ask.message, position=position, choices=tuple(choices))


def _quoted(text: str, before: str, delimiter: str) -> str:
    """Write a cell so that it is read back: quoted where it was, or where it holds the delimiter."""
    if delimiter not in {",", ";"} or not (before.strip().startswith('"') or delimiter in text):
        return text
    buffer = io.StringIO()
    csv.writer(buffer, delimiter=delimiter, quoting=csv.QUOTE_ALL, lineterminator="").writerow([text])
    return buffer.getvalue()
