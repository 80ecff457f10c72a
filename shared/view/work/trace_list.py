"""The trace list as a page for an inspector: from mark to stick to bar to heat number, and back from heat to marks."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from shared.view.issue import Issue
from shared.view.sheet.frame import spans
from shared.view.sheet.model import TitleBlock
from shared.view.work.sheet import job_on_paper, work_block, work_name, work_tape
from shared.wording.cautions import Caution, on_the_summary
from shared.wording.plurals import many
from shared.wording.tape import Tape
from shared.work.rack.bars import bar_name
from shared.work.saw.trace import NO_HEAT, TraceRow, TraceState, trace_doubts, trace_rows
from shared.work.saw.work import WorkBook
from shared.work.words import bar_spans

__all__ = ["HeatLine", "TraceLine", "TraceList", "trace_list"]

NO_CERTIFICATE: Final = Caution(
    text="This list repeats what was written down when steel came in and when it was sawn. It is no inspection "
    "document: compare the heat numbers with the certificates and with what stands on the steel.",
    source="EN 10204 says what an inspection document is (from memory)",
)


@dataclass(frozen=True, kw_only=True, slots=True)
class TraceLine:
    """Pieces of one mark from one stick.

    Attributes
    ----------
    mark, pieces : str
        The mark, and which of its pieces: ``1–3``.
    length, section : str
        As asked for; what it is cut from.
    stick : str
        The stick and the places on it: ``3.2, piece 1–3``.
    bar : str
        The bar, and those it was cut from: ``D31, from D17``.
    heat : str
        Heat number, or that none was recorded.
    known : bool
        Whether there is one.
    state : str
        What has become of the pieces; empty for good ones.
    """

    mark: str
    pieces: str
    length: str
    section: str
    stick: str
    bar: str
    heat: str
    known: bool
    state: str


@dataclass(frozen=True, kw_only=True, slots=True)
class HeatLine:
    """One heat number of one section: the bars that have it, and the good parts cut from them."""

    heat: str
    known: bool
    section: str
    bars: str
    parts: str


@dataclass(frozen=True, kw_only=True, slots=True)
class TraceList:
    """The finished view of a trace list.

    Attributes
    ----------
    block : TitleBlock
        At the foot of every page.
    paper : str
        ``a4`` or ``letter``.
    lead : str
        How much of it is there.
    doubts : tuple of str
        What the list can't answer for.
    limits : tuple of str
        What it doesn't vouch for.
    unit : str
        Heading of lengths.
    lines : tuple of TraceLine
        In the order of the parts list.
    heats : tuple of HeatLine
        By heat number.
    """

    block: TitleBlock
    paper: str
    lead: str
    doubts: tuple[str, ...]
    limits: tuple[str, ...]
    unit: str
    lines: tuple[TraceLine, ...]
    heats: tuple[HeatLine, ...]


def trace_list(book: WorkBook, issue: Issue) -> TraceList:
    """Make the view of a work's trace list.

    Parameters
    ----------
    book : WorkBook
        The work.
    issue : Issue
        Paper, and the day of printing; its revision is not looked at, since the work knows its own.

    Raises
    ------
    ValueError
        The plan that the work was begun with can't be read.
    """
    name = work_name(book)
    rows, tape = trace_rows(book), work_tape(book)
    good = [row for row in rows if row.state is TraceState.GOOD]
    limits = (NO_CERTIFICATE.text, *on_the_summary(job_on_paper(book)))
    return TraceList(
        block=dataclasses.replace(work_block(book, issue, name, "Trace list"), by="Checked by"),
        paper=issue.paper.value,
        lead=_lead(good, sum(part.quantity for part in book.work.job.parts)),
        doubts=trace_doubts(book),
        limits=limits,
        unit=tape.heading,
        lines=tuple(_lines(rows, tape)),
        heats=tuple(_heats(good)),
    )


def _lead(good: list[TraceRow], asked: int) -> str:
    known = sum(bool(row.heat) for row in good)
    return f"Sawn: {len(good)} of {many(asked, 'part')} asked for. Heat number recorded: {known} of {len(good)}."


def _lines(rows: Iterable[TraceRow], tape: Tape) -> Iterator[TraceLine]:
    for _, group in groupby(rows, key=lambda row: (row.mark, row.stick, row.bar, row.state, row.length)):
        alike = tuple(group)
        first = alike[0]
        yield TraceLine(
            mark=first.mark,
            pieces=spans(row.piece for row in alike if row.piece is not None),
            length=tape.bare(first.length),
            section=first.section.label,
            stick=f"{first.stick}, piece {spans(row.position for row in alike)}",
            bar=_bar(first),
            heat=first.heat or NO_HEAT,
            known=bool(first.heat),
            state="" if first.state is TraceState.GOOD else f"{first.state.value}{_many(alike, first)}",
        )


def _many(alike: tuple[TraceRow, ...], first: TraceRow) -> str:
    """Say how many, where pieces that don't count have no numbers."""
    return f": {many(len(alike), 'piece')}" if first.piece is None and len(alike) > 1 else ""


def _bar(row: TraceRow) -> str:
    older = ", ".join(bar_name(number) for number in row.ancestors)
    return bar_name(row.bar) + (f", from {older}" if older else "")


def _heats(good: list[TraceRow]) -> Iterator[HeatLine]:
    """Yield the way back: for each heat number its bars and parts, those without one last."""
    found: dict[tuple[str, str], list[TraceRow]] = {}
    for row in good:
        found.setdefault((row.heat, row.section.label), []).append(row)
    for (heat, section), rows in sorted(found.items(), key=lambda entry: (not entry[0][0], entry[0])):
        marks: dict[str, int] = {}
        for row in rows:
            marks[row.mark] = marks.get(row.mark, 0) + 1
        yield HeatLine(
            heat=heat or NO_HEAT,
            known=bool(heat),
            section=section,
            bars=bar_spans(row.bar for row in rows),
            parts=", ".join(f"{count} × {mark}" for mark, count in marks.items()),
        )
