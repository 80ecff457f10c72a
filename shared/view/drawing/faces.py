"""Where the faces of angled ends stand in a drawing.

In the stick's frame (see `cutting.answer.plan.Lie`) a face is a plane ``x = c + w tan(lean)``. The drawing shows the
stick from its side: x to the right, and upward the side of the section in which most is angled: the first, or the
second where all angled faces lie in that one. Tangents are floats here: a drawing needs no more, and no text is
made of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import radians, tan

from cutting.answer.plan import Cut, Piece
from cutting.question.job import Ends, Measure, Part
from shared.view.drawing.bar import End, square

__all__ = ["ends_of"]


def ends_of(cut: Cut, parts: Mapping[str, Part]) -> tuple[tuple[End, End], ...]:
    """Return the two ends of every piece of a layout.

    Parameters
    ----------
    cut : Cut
        The layout.
    parts : mapping of str to Part
        The job's parts by mark.
    """
    planes = {
        plane
        for piece in cut.pieces
        if piece.lie is not None
        for plane, lean in zip(piece.lie.planes, piece.lie.leans, strict=True)
        if lean
    }
    upright = 1 if planes == {1} else 0
    return tuple((_end(piece, parts, 0, upright), _end(piece, parts, 1, upright)) for piece in cut.pieces)


def _end(piece: Piece, parts: Mapping[str, Part], side: int, upright: int) -> End:
    measured = (piece.start, piece.end)[side]
    part = parts[piece.mark]
    lie, ends = piece.lie, part.ends
    if lie is None or ends is None or not lie.leans[side]:
        return square(measured)
    plane = lie.planes[side]
    rise = _rise(lie.leans[side], _depth(part, ends, plane, turned=lie.turned, side=side))
    middle = measured + _outside(ends.measure, abs(rise)) * (1 if side == 0 else -1)
    if plane == upright:
        return End(top=middle + rise, bottom=middle - rise)
    # The viewer stands at the positive end of the second side, or at the negative end of the first.
    near = middle + rise if upright == 0 else middle - rise
    far = 2 * middle - near
    outer, inner = (min(near, far), max(near, far)) if side == 0 else (max(near, far), min(near, far))
    return End(top=outer, bottom=outer, inner=inner, seen=near == inner)


def _rise(lean: Fraction, depth: Fraction) -> Fraction:
    """How far the face lies from its mid-depth point at the positive end of the side: ``d/2 tan(lean)``."""
    return Fraction(tan(radians(float(lean)))) * depth / 2


def _outside(measure: Measure, reach: Fraction) -> Fraction:
    """How far inward of the measured point the mid-depth point lies."""
    return {Measure.LONG_POINT: reach, Measure.SHORT_POINT: -reach, Measure.CENTRE_LINE: Fraction(0)}[measure]


def _depth(part: Part, ends: Ends, plane: int, *, turned: bool, side: int) -> Fraction:
    if ends.depths is not None:
        return ends.depths[1 - side if turned else side]
    return part.section.sides[plane]
