"""One line on its way from text to reading, and the list of them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Final

from cutting.question.job import Substitute
from cutting.question.lengths import Unit
from shared.reading.grid.cells import Cell, Row
from shared.reading.grid.headers import Column
from shared.reading.grid.structure import Heading, Total
from shared.reading.line.breaks import BreakRead
from shared.reading.line.frame import TakeOff
from shared.reading.values.account import Taken, TakenFor, covering
from shared.reading.values.draft import Around, Ask, Draft
from shared.reading.values.result import Choice, Kind, LineRead, Question

__all__ = ["Entry", "List", "Shared", "joined"]


@dataclass(frozen=True, slots=True)
class Shared:
    """A line that lists several parts or sticks, and one line for each of them."""

    row: Row
    lines: tuple[str, ...]


@dataclass(slots=True)
class Entry:
    """One line on its way from text to reading.

    `yard` is the yard it belongs to, `yard_below` the one it names for the lines below it, `above` the line that an
    addition belongs to; `sure` that somebody said of it that it is meant as it stands; `shared` the
    line that it is one of several on, `others` the rest of those; `columns` those of the table that it is a row of,
    `account` what its cells were taken for.
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
    columns: tuple[Column | None, ...] = ()
    breaks: list[BreakRead] = field(default_factory=list)
    substitutes: list[Substitute] = field(default_factory=list)
    sure: bool = False
    yard: str = ""
    yard_below: str = ""
    above: Entry | None = None
    account: tuple[Taken, ...] = ()
    shared: Shared | None = None
    others: list[Entry] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def ask(self, ask: Ask, cell: Cell | None = None, delimiter: str = "") -> None:
        """Add a question about this line; about one of several on it, with each on a line of its own as the way out."""
        self.kind = Kind.QUESTION
        if self.shared is not None:
            self.questions.append(_apart(self.shared, f"{self.row.text}: {ask.message}"))
            return
        self.questions.append(_question(self.row, ask, cell, delimiter))

    def read(self, understood: tuple[str, ...]) -> LineRead:
        """Return the line for the echo, with what was understood of it."""
        return LineRead(
            line=self.row.line,
            text=self.row.text if self.shared is None else self.shared.row.text,
            kind=self.kind,
            understood=understood,
            notes=tuple(dict.fromkeys(self.notes)),
            questions=tuple(self.questions),
            account=self._account(),
        )

    def _account(self) -> tuple[Taken, ...]:
        """Return what each piece was taken for; what stands beside its part or stick was taken out before."""
        if self.shared is not None:
            return covering(self.shared.row.text, (), TakenFor.SEVERAL)
        text = self.row.text
        if self.kind in _WHOLE:
            return covering(text, (), _WHOLE[self.kind])
        beside = (
            (TakenFor.SUBSTITUTE if self.substitutes else TakenFor.PRICE if self.breaks else TakenFor.YARD)
            if self.substitutes or self.breaks or self.yard
            else TakenFor.NOTE
        )
        account = self.account or (self.draft.account if self.draft is not None else ())
        rest = beside if account else TakenFor.OPEN if self.kind is Kind.QUESTION else beside
        return covering(text, [piece for piece in account if piece.end <= len(text)], rest)


@dataclass(slots=True)
class List:
    """A list being read: its lines, and what they show together."""

    entries: list[Entry]
    around: Around
    unit: Unit | None
    delimiter: str


_WHOLE: Final = {
    Kind.HEADING: TakenFor.HEADING,
    Kind.HEADER: TakenFor.HEADING,
    Kind.TOTAL: TakenFor.TOTAL,
    Kind.REMARK: TakenFor.ASIDE,
    Kind.ALSO: TakenFor.ALSO,
    Kind.TAKE_OFF: TakenFor.SEVERAL,
}


def _apart(shared: Shared, message: str) -> Question:
    """Return a question about one of several on a line."""
    lines = Choice(reading=f"{len(shared.lines)} lines, to change that one", line="\n".join(shared.lines))
    return Question(line=shared.row.line, text=shared.row.text, message=message, position=0, choices=(lines,))


def joined(lines: Iterable[LineRead]) -> tuple[LineRead, ...]:
    """Return the lines of the echo, several readings of one line as one."""
    found: dict[int, LineRead] = {}
    for line in lines:
        before = found.get(line.line)
        if before is None:
            found[line.line] = line
            continue
        found[line.line] = replace(
            before,
            kind=Kind.QUESTION if Kind.QUESTION in {before.kind, line.kind} else before.kind,
            understood=(*before.understood, *line.understood),
            notes=tuple(dict.fromkeys((*before.notes, *line.notes))),
            questions=(*before.questions, *line.questions),
        )
    return tuple(found.values())


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
