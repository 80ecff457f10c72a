"""Angled ends in the view: every stroke of the saw, and what shared cuts save."""

from __future__ import annotations

from collections.abc import Iterator

from cutting.answer.plan import Cut, Objective, Plan, Sharing, Stroke
from cutting.question.job import Job
from shared.view.model import StrokeView
from shared.wording.angled import angle_text, stand_words
from shared.wording.plurals import many
from shared.wording.sentences import worth_text
from shared.wording.tape import Tape
from shared.wording.values import length

__all__ = ["sharing_words", "stroke_views"]


def stroke_views(cut: Cut, tape: Tape) -> Iterator[StrokeView]:
    """Yield every stroke of a layout in order; none where all ends are square."""
    back: int | None = None
    for number, stroke in enumerate(cut.strokes, start=1):
        yield StrokeView(
            number=number,
            at=tape.bare(stroke.at),
            length=length(stroke.at, tape),
            angle=_angle(stroke),
            stick=stand_words(stroke, back, cut.section, tape),
            makes=_makes(stroke, cut),
            shared=stroke.shared,
        )
        back = stroke.back if stroke.back is not None else back


def _angle(stroke: Stroke) -> str:
    if not stroke.angle:
        return "square"
    return f"{angle_text(stroke.angle)} to the {'back' if stroke.swing > 0 else 'front'}"


def _makes(stroke: Stroke, cut: Cut) -> str:
    ends = [] if stroke.ends is None else [f"end of {_named(stroke.ends, cut)}"]
    begins = [] if stroke.begins is None else [f"start of {_named(stroke.begins, cut)}"]
    if stroke.shared:
        return f"shared: {ends[0]}, {begins[0]}"
    if not ends:
        # Only here does the mark stand at the beginning of a part, so that the saw's cut lies before it.
        return f"{begins[0]}; cut on the near side of the mark"
    return ", ".join(ends + begins)


def _named(number: int, cut: Cut) -> str:
    return f"{number} {cut.pieces[number - 1].mark}"


def sharing_words(job: Job, plan: Plan, *, priced: bool = True) -> Iterator[str]:
    """Say for each section with shared cuts what they save against cutting each part out singly.

    Where it isn't `priced`, as on paper for the saw, amounts of money are left out.
    """
    for sharing in plan.sharing:
        if sharing.shared:
            shared = f"{many(sharing.shared, 'cut')} shared by two ends"
            yield f"{sharing.section.label}: {shared}.{_saved(job, plan, sharing, priced=priced)}"


def _saved(job: Job, plan: Plan, sharing: Sharing, *, priced: bool) -> str:
    if not sharing.possible:
        return " Without them the sticks do not suffice."
    least = "" if sharing.certain else "at least "
    saved = []
    if sharing.sticks:
        saved.append(f"{least}{many(sharing.sticks, 'stick')}")
    if sharing.cost and (priced or plan.objective is not Objective.MONEY):
        what = "" if plan.objective is Objective.MONEY else " of steel"
        saved.append(f"{least}{worth_text(job, sharing.cost)}{what}")
    if saved:
        return f" Cut out singly, the same parts would take {' and '.join(saved)} more."
    same = sharing.certain and not sharing.cost
    return " Cut out singly, the same parts would cost the same." if same else ""
