"""Labels of a plan: one for each part, one for each drop worth keeping, each with its text for a QR code too."""

from __future__ import annotations

from collections.abc import Iterator

from cutting.answer.plan import Piece, Plan
from cutting.question.job import Job, Part
from shared.files.plan.name import plan_id
from shared.view.drawing import stick_ranges, whole_drop
from shared.view.issue import Issue
from shared.view.labels.printed import Label, Labels, code_text, label_set
from shared.view.labels.sizes import LabelSheet
from shared.wording.angled import ends_words
from shared.wording.tape import Tape, tape_of
from shared.work.carried import as_carried

__all__ = ["labels_of", "part_label"]


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
    drawn = {change.mark: change.wanted.label for change in plan.changes}
    sticks = {stick.id: stick for stick in job.sticks}
    for cut, (_, numbers) in zip(plan.cuts, stick_ranges(plan), strict=True):
        whole = whole_drop(cut, sticks[cut.stick])
        kept = bool(whole) and job.keep_from is not None and whole >= job.keep_from
        for number in numbers:
            for position, piece in enumerate(cut.pieces, start=1):
                place = f"stick {number}, piece {position}, plan {plan_name}"
                yield part_label(piece, parts[piece.mark], place, job.title, tape, drawn=drawn.get(piece.mark, ""))
            if kept:
                at_least = "at least " if sticks[cut.stick].usable is not None else ""
                yield _drop(cut.section.label, at_least + tape.text(whole), f"from stick {number}", plan_name, issue)


def part_label(piece: Piece, part: Part, place: str, title: str, tape: Tape, *, drawn: str = "") -> Label:
    """Make the label of one piece of a part.

    `place` says which stick it is cut from, and by which plan; `drawn` which section it was drawn in, where that is
    another.
    """
    instead = f"instead of {drawn}: the designer must confirm" if drawn else ""
    length = tape.text(part.length)
    about = [text for text in (part.assembly, part.note) if text]
    ends = ends_words(piece, part.section, tape)
    return Label(
        head=part.mark,
        length=length,
        section=part.section.label,
        lines=tuple(text for text in (instead, ends, title, place, ": ".join(about)) if text),
        code=code_text(part.mark, part.section.label, length, instead, ends, title, place),
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
