"""Labels: one for each part, one for each drop worth keeping, each with its text as a QR code too."""

from __future__ import annotations

import dataclasses
import io
from collections.abc import Iterator
from datetime import date
from typing import Any

import segno

from cutting.answer.plan import Piece, Plan
from cutting.question.job import Job, Part
from shared.files.plan.name import plan_id
from shared.view.issue import Issue
from shared.wording.tape import Tape, tape_of
from shared.work.carried import as_carried
from shared.writers.pdf.compiler import compile_pages, compile_pdf
from shared.writers.pdf.fonts import LOST_NOTE, missing, printable, texts_of
from shared.writers.pdf.labels.printed import Label, Labels, code_text, label_set
from shared.writers.pdf.labels.sizes import LabelSheet
from shared.writers.pdf.sheet.angled import ends_text
from shared.writers.svg import stick_ranges, whole_drop

__all__ = ["labels_of", "labels_pages", "labels_pdf", "part_label"]

_PAGE = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def labels_of(job: Job, plan: Plan, issue: Issue, sheet: LabelSheet, used: int = 0) -> Labels:
    """Make the labels of a plan.

    Parameters
    ----------
    job : Job
        The question.
    plan : Plan
        The answer.
    issue : Issue
        Its date goes on the labels of drops.
    sheet : LabelSheet
        What to print on.
    used : int
        Labels missing on the first sheet, from 0 to all but one.

    Raises
    ------
    ValueError
        `used` is negative, or leaves no label on the first sheet.
    """
    return label_set(_all(job, plan, issue), job.title or "Untitled job", issue.date, sheet, used)


def _all(job: Job, plan: Plan, issue: Issue) -> Iterator[Label]:
    plan_name = plan_id(job, plan)
    tape = tape_of(job)
    job, plan = as_carried(job, plan, empty=True)
    parts = {part.mark: part for part in job.parts}
    sticks = {stick.id: stick for stick in job.sticks}
    for cut, (_, numbers) in zip(plan.cuts, stick_ranges(plan), strict=True):
        whole = whole_drop(cut, sticks[cut.stick])
        kept = bool(whole) and job.keep_from is not None and whole >= job.keep_from
        for number in numbers:
            for position, piece in enumerate(cut.pieces, start=1):
                place = f"stick {number}, piece {position}, plan {plan_name}"
                yield part_label(piece, parts[piece.mark], place, job.title, tape)
            if kept:
                at_least = "at least " if sticks[cut.stick].usable is not None else ""
                yield _drop(cut.section.label, at_least + tape.text(whole), f"from stick {number}", plan_name, issue)


def part_label(piece: Piece, part: Part, place: str, title: str, tape: Tape) -> Label:
    """Make the label of one piece of a part; `place` says which stick it is cut from, and by which plan."""
    length = tape.text(part.length)
    about = [text for text in (part.assembly, part.note) if text]
    ends = ends_text(piece, part, tape)
    return Label(
        head=part.mark,
        length=length,
        section=part.section.label,
        lines=tuple(text for text in (ends, title, place, ": ".join(about)) if text),
        code=code_text(part.mark, part.section.label, length, ends, title, place),
    )


def _drop(section: str, length: str, place: str, plan_name: str, issue: Issue) -> Label:
    day = issue.date.isoformat()
    return Label(
        head="DROP",
        length=length,
        section=section,
        lines=(day, f"{place}, plan {plan_name}"),
        code=code_text("DROP", section, length, day, place, f"plan {plan_name}"),
    )


def labels_pdf(labels: Labels) -> bytes:
    """Write labels as PDF; an empty tuple of labels gives one empty sheet."""
    return compile_pdf("labels.typ", _data(labels), date.fromisoformat(labels.date))


def labels_pages(labels: Labels, dots: float = 100.0) -> list[bytes]:
    """Return the sheets of labels as PNG pictures."""
    return compile_pages("labels.typ", _data(labels), dots)


def _data(labels: Labels) -> dict[str, Any]:
    lost = frozenset(missing(texts_of(labels)))
    data = dataclasses.asdict(printable(labels, lost))
    for entry, label in zip(data["labels"], labels.labels, strict=True):
        entry["code"] = _qr(label.code)
    data["sheet"]["page"] = _PAGE[labels.sheet.paper.value]
    data["note"] = LOST_NOTE if lost else ""
    return data


def _qr(text: str) -> str:
    """Return a text's QR code (ISO/IEC 18004) as SVG, its quiet zone included."""
    out = io.BytesIO()
    segno.make(text, error="l", micro=False, encoding="utf-8" if not text.isascii() else None).save(
        out, kind="svg", xmldecl=False, svgns=True, border=2, nl=False
    )
    return out.getvalue().decode()
