"""Angled ends in the view: each part's angles and lengths, every stroke of the saw, what shared cuts save."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Cut, Objective, Piece, Plan, Sharing, Stroke
from cutting.fit.angled import lengths_of
from cutting.question.job import Job, Part
from shared.view.model import StrokeView
from shared.wording.plurals import many
from shared.wording.sentences import worth_text
from shared.wording.tape import Tape
from shared.wording.values import length

__all__ = ["edge_words", "ends_words", "part_ends_words", "sharing_words", "stroke_views"]

_ROLLS: Final = {1: "roll a quarter turn clockwise", 2: "roll half a turn", 3: "roll a quarter turn anticlockwise"}
_BACKS: Final = ("top", "right side", "bottom", "left side")
_EDGES: Final = {
    "corner": "the lower left edge",
    "heel": "the heel (the stick seen as an L)",
    "back": "the lower edge of the web's back (the stick seen as a C)",
    "flange": "the left edge of the flange (the stick seen as a T)",
    "line": "a line scribed along the bottom",
}


def degrees(angle: Fraction) -> str:
    """Write an angle from square."""
    return f"{float(angle):.10g}°"


def part_ends_words(part: Part, tape: Tape) -> str:
    """Say how a part's ends are cut and its three lengths; empty for square ends."""
    ends = part.ends
    if ends is None or not any(ends.angles):
        return ""
    long, centre, short = (tape.bare(each) for each in lengths_of(part).shown(tape.unit))
    lean = f" {ends.lean.value}" if all(ends.angles) and ends.planes[0] == ends.planes[1] else ""
    angles = " and ".join(degrees(angle) for angle in ends.angles)
    return f"{angles}{lean}; long point {long}, centre line {centre}, short point {short}"


def ends_words(piece: Piece, tape: Tape) -> str:
    """Say how a piece's ends are cut as it lies, and its three lengths; empty for square ends."""
    if piece.lie is None:
        return ""
    first, second = (degrees(abs(lean)) for lean in piece.lie.leans)
    long, centre, short = (tape.bare(each) for each in piece.lie.lengths)
    turned = ", end for end" if piece.lie.turned else ""
    return f"{first} and {second}{turned}; long point {long}, centre line {centre}, short point {short}"


def edge_words(cut: Cut) -> str:
    """Say along which edge the strokes are measured; empty for a layout of square ends."""
    if not cut.strokes:
        return ""
    edge = _EDGES.get(cut.edge, cut.edge)
    return f"Strokes, measured along {edge}, as seen from the trimmed end before the first roll:"


def stroke_views(cut: Cut, tape: Tape) -> Iterator[StrokeView]:
    """Yield every stroke of a layout in order; none where all ends are square."""
    back: int | None = None
    for number, stroke in enumerate(cut.strokes, start=1):
        yield StrokeView(
            number=number,
            at=tape.bare(stroke.at),
            length=length(stroke.at, tape),
            angle="square" if not stroke.angle else f"{degrees(stroke.angle)} to the {_side(stroke)}",
            stick=_stand(stroke, back),
            makes=_makes(stroke, cut),
            shared=stroke.shared,
        )
        back = stroke.back if stroke.back is not None else back


def _side(stroke: Stroke) -> str:
    return "back" if stroke.swing > 0 else "front"


def _stand(stroke: Stroke, before: int | None) -> str:
    if stroke.back is None or stroke.back == before:
        return ""
    return f"{_ROLLS.get(stroke.roll, 'lay the stick')}, its {_BACKS[stroke.back]} at the back"


def _makes(stroke: Stroke, cut: Cut) -> str:
    ends = [] if stroke.ends is None else [f"end of {stroke.ends} {cut.pieces[stroke.ends - 1].mark}"]
    begins = [] if stroke.begins is None else [f"start of {stroke.begins} {cut.pieces[stroke.begins - 1].mark}"]
    words = ", ".join(ends + begins)
    return f"shared: {words}" if stroke.shared else words


def sharing_words(job: Job, plan: Plan) -> Iterator[str]:
    """Say for each section with shared cuts what they save against cutting each part out singly."""
    for sharing in plan.sharing:
        if sharing.shared:
            shared = f"{many(sharing.shared, 'cut')} shared by two ends"
            yield f"{sharing.section.label}: {shared}.{_saved(job, plan, sharing)}"


def _saved(job: Job, plan: Plan, sharing: Sharing) -> str:
    if not sharing.possible:
        return " Without them the sticks do not suffice."
    least = "" if sharing.certain else "at least "
    saved = []
    if sharing.sticks:
        saved.append(f"{least}{many(sharing.sticks, 'stick')}")
    if sharing.cost:
        what = "" if plan.objective is Objective.MONEY else " of steel"
        saved.append(f"{least}{worth_text(job, sharing.cost)}{what}")
    if saved:
        return f" Cut out singly, the same parts would take {' and '.join(saved)} more."
    return " Cut out singly, the same parts would cost the same." if sharing.certain else ""
