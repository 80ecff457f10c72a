"""What a cut sheet says of angled ends: each stroke of the saw, each part's three lengths, what sharing cuts saves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from cutting.answer.plan import Cut, Objective, Piece, Plan, Sharing, Stroke
from cutting.question.job import Job, Part
from shared.wording.plurals import many
from shared.wording.sentences import worth_text
from shared.wording.tape import Tape
from shared.writers.pdf.sheet.view import StrokeLine
from shared.writers.svg import angle_text

__all__ = ["edge_text", "ends_text", "has_angles", "sharing_texts", "stroke_lines"]

_ROLLS: Final = {
    1: "roll a quarter turn clockwise",
    2: "roll half a turn",
    3: "roll a quarter turn anticlockwise",
}
_BACKS: Final = ("top", "right side", "bottom", "left side")
_EDGES: Final = {
    "corner": "the lower left corner",
    "heel": "the heel (the stick seen as an L)",
    "back": "the lower corner of the back (the stick seen as a C)",
    "flange": "the left corner of the flange (the stick seen as a T)",
    "line": "a line scribed along the bottom",
}


def has_angles(cut: Cut) -> bool:
    """Whether any part of a layout has an angled end."""
    return bool(cut.strokes)


def edge_text(cut: Cut) -> str:
    """Say along which edge the strokes are measured; empty for a layout of square ends."""
    if not cut.strokes:
        return ""
    edge = _EDGES.get(cut.edge, cut.edge)
    return (
        f"Lay the tape along {edge}, as seen from the trimmed end before the first roll. Rolls are seen from there too."
    )


def ends_text(piece: Piece, part: Part, tape: Tape) -> str:
    """Write a part's angles as it lies and its three lengths; empty for square ends."""
    if piece.lie is None or part.ends is None:
        return ""
    first, second = (angle_text(abs(lean)) for lean in piece.lie.leans)
    long, centre, short = (tape.bare(length) for length in piece.lie.lengths)
    return f"{first}, {second}; long {long}, centre {centre}, short {short}"


def stroke_lines(cut: Cut, tape: Tape) -> Iterator[StrokeLine]:
    """Yield every stroke of a layout in order; none where all ends are square."""
    back: int | None = None
    for number, stroke in enumerate(cut.strokes, start=1):
        yield StrokeLine(
            number=str(number),
            at=tape.bare(stroke.at),
            angle=_angle(stroke),
            lies=_lies(stroke, back),
            makes=_makes(stroke, cut),
        )
        back = stroke.back if stroke.back is not None else back


def _angle(stroke: Stroke) -> str:
    if not stroke.angle:
        return "square"
    return f"{angle_text(stroke.angle)} to the {'back' if stroke.swing > 0 else 'front'}"


def _lies(stroke: Stroke, before: int | None) -> str:
    if stroke.back is None or stroke.back == before:
        return ""
    roll = _ROLLS.get(stroke.roll, "lay the stick")
    return f"{roll}, its {_BACKS[stroke.back]} at the back"


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


def sharing_texts(job: Job, plan: Plan) -> Iterator[str]:
    """Say for each section what shared cuts save against cutting each part out singly."""
    for sharing in plan.sharing:
        if sharing.shared:
            cuts = many(sharing.shared, "cut")
            yield f"{sharing.section.label}: {cuts} shared by two ends.{_saved(job, plan.objective, sharing)}"


def _saved(job: Job, objective: Objective, sharing: Sharing) -> str:
    if not sharing.possible:
        return " Without them the sticks do not suffice."
    least = "" if sharing.certain else "at least "
    saved = [] if not sharing.sticks else [f"{least}{many(sharing.sticks, 'stick')}"]
    if sharing.cost:
        what = "" if objective is Objective.MONEY else " of steel"
        saved.append(f"{least}{worth_text(job, sharing.cost)}{what}")
    return f" Cut out singly, the same parts would take {' and '.join(saved)} more." if saved else ""
