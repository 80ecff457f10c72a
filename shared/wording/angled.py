"""Words of angled ends: angles, the three lengths of a part, which side of its section lies flat on the saw's table."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Cut, Piece, Stroke
from cutting.fit.angled import lengths_of
from cutting.question.job import Part, Section
from cutting.question.lengths import Unit, show_length
from cutting.question.tape import is_plain
from shared.wording.tape import Tape

__all__ = ["angle_text", "edge_words", "ends_words", "flat_words", "lies_words", "part_ends_words", "stand_words"]

_BACKS: Final = ("top", "right side", "bottom", "left side")
_ROLLS: Final = {1: "roll a quarter turn clockwise", 2: "roll half a turn", 3: "roll a quarter turn anticlockwise"}
_EDGES: Final = {
    "corner": "the lower left edge",
    "heel": "the heel (the stick seen as an L)",
    "back": "the lower edge of the web's back (the stick seen as a C)",
    "flange": "the left edge of the flange (the stick seen as a T)",
    "line": "a line scribed along the bottom",
}
_RESTS: Final = {
    "angle": (
        "the {0} leg on the table, the {1} leg up at the front",
        "the {1} leg on top, the {0} leg down at the front",
        "the {0} leg on top, the {1} leg against the fence",
        "the {1} leg on the table, the {0} leg against the fence",
    ),
    "channel": (
        "the web on the table",
        "the web at the front, open to the fence",
        "the web on top, open to the table",
        "the web against the fence",
    ),
    "tee": (
        "the flange against the fence",
        "the flange on the table",
        "the flange at the front",
        "the flange on top",
    ),
}
"""How a stick that isn't closed all round rests, by what is at the back."""


def angle_text(angle: Fraction) -> str:
    """Write an angle from square.

    Examples
    --------
    >>> angle_text(Fraction(45)), angle_text(Fraction(45, 2))
    ('45°', '22.5°')
    """
    return f"{float(angle):.10g}°"


def part_ends_words(part: Part, tape: Tape) -> str:
    """Say how a part's ends are cut and its three lengths; empty for square ends."""
    ends = part.ends
    if ends is None or not any(ends.angles):
        return ""
    lean = f" {ends.lean.value}" if all(ends.angles) and ends.planes[0] == ends.planes[1] else ""
    angles = _angled(ends.angles, ends.planes, part.section, tape)
    return f"{angles}{lean}; {_three(lengths_of(part).shown(tape.unit), tape)}"


def ends_words(piece: Piece, section: Section, tape: Tape) -> str:
    """Say how a piece's ends are cut as it lies, and its three lengths; empty for square ends."""
    lie = piece.lie
    if lie is None:
        return ""
    angles = _angled([abs(lean) for lean in lie.leans], lie.planes, section, tape)
    return f"{angles}; {_three(lie.lengths, tape)}"


def _three(lengths: Sequence[Fraction], tape: Tape) -> str:
    long, centre, short = (tape.bare(each) for each in lengths)
    return f"long point {long}, centre line {centre}, short point {short}"


def _angled(angles: Sequence[Fraction], planes: Sequence[int], section: Section, tape: Tape) -> str:
    """Write both angles, and of a section that isn't square which side lies flat for each."""
    texts = [angle_text(angle) for angle in angles]
    flat = [flat_words(section, plane, tape) if angle else "" for angle, plane in zip(angles, planes, strict=True)]
    said = [words for words in dict.fromkeys(flat) if words]
    if len(said) == 1 and all(words or not angle for words, angle in zip(flat, angles, strict=True)):
        return f"{' and '.join(texts)}, {said[0]}"
    return " and ".join(f"{text} ({words})" if words else text for text, words in zip(texts, flat, strict=True))


def flat_words(section: Section, plane: int, tape: Tape) -> str:
    """Say which side lies flat where a cut lies in the plane of that side; empty where all sides are alike.

    Examples
    --------
    >>> from shared.sections import understand
    >>> tape = Tape(unit=Unit.MM)
    >>> flat_words(understand("RHS 60x40x3"), 1, tape), flat_words(understand("SHS 40x40x3"), 0, tape)
    ('the 40 mm side flat', '')
    """
    if not section.sides or section.sides[0] == section.sides[1]:
        return ""
    return f"the {_side(section.sides[plane], tape)} {'leg' if section.family == 'angle' else 'side'} flat"


def _side(mm: Fraction, tape: Tape) -> str:
    """Write a section's side in the unit in which it is a plain number, whatever the reader's tape."""
    own, other = (Unit.MM, Unit.IN) if tape.metric else (Unit.IN, Unit.MM)
    return show_length(mm, other if is_plain(mm, other) and not is_plain(mm, own) else own)


def lies_words(section: Section, back: int, tape: Tape) -> str:
    """Say how a stick rests on the saw's table with that side at the back; empty where all sides are alike."""
    if section.family in _RESTS and section.sides:
        sides = [_side(side, tape) for side in section.sides]
        return _RESTS[section.family][back].format(*sides)
    return flat_words(section, back % 2, tape)


def stand_words(stroke: Stroke, before: int | None, section: Section, tape: Tape) -> str:
    """Say how to roll or lay the stick before a stroke; empty where it stays as it is."""
    if stroke.back is None or stroke.back == before:
        return ""
    rests = lies_words(section, stroke.back, tape)
    roll = _ROLLS.get(stroke.roll, "lay the stick")
    return f"{roll}, its {_BACKS[stroke.back]} at the back{f': {rests}' if rests else ''}"


def edge_words(cut: Cut) -> str:
    """Say along which edge the strokes are measured; empty for a layout of square ends."""
    if not cut.strokes:
        return ""
    edge = _EDGES.get(cut.edge, cut.edge)
    return (
        f"Lay the tape along {edge}, as seen from the trimmed end before the first roll. Rolls are seen from there too."
    )
