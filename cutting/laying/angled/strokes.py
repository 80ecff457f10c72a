"""Every stroke of the saw through a stick with angled ends: where, at which angle, with the stick lying how."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cutting.answer.plan import Piece, Stroke
from cutting.fit.angled.gaps import Gaps, is_shared
from cutting.fit.angled.reals import Real, exact
from cutting.fit.angled.rows import Faces
from cutting.fit.angled.shape import Face
from cutting.laying.angled.sequence import SQUARE_START, Setting, added_effort, settings
from cutting.question.job import Section

__all__ = ["edge_of", "strokes_of"]

_ROUND = frozenset({"chs", "pipe", "round"})
_EDGES = {"angle": "heel", "channel": "back", "tee": "flange"}


def edge_of(section: Section) -> str:
    """Name of the edge along which the strokes are measured: the lower left one, by its name on this section.

    A tee has no steel there: of it the left edge of the flange is taken, at the top.
    """
    return "line" if section.family in _ROUND else _EDGES.get(section.family, "corner")


def strokes_of(
    pieces: Sequence[Piece], lying: Sequence[Faces], gaps: Gaps, behind: Fraction, *, one_way: bool
) -> tuple[Stroke, ...]:
    """List the strokes of one stick.

    Parameters
    ----------
    pieces : sequence of Piece
        Parts in cutting order.
    lying : sequence of (Face, Face)
        Their faces in the stick's frame.
    gaps : Gaps
        Gap arithmetic of section and saw.
    behind : Fraction
        Clear length (mm) behind the furthest point of the last part.
    one_way : bool
        The saw swings to one side only.
    """
    cuts: list[tuple[Face, Fraction, int | None, int | None]] = []
    for number, (piece, (left, right)) in enumerate(zip(pieces, lying, strict=True), start=1):
        if number == 1:
            if not left.square:
                cuts.append((left, _at(left, piece.start, gaps, begins=True), None, 1))
        elif is_shared(lying[number - 2][1], left):
            face, at, ends, _ = cuts.pop()
            cuts.append((face, at, ends, number))
        else:
            cuts.append((left, _at(left, piece.start, gaps, begins=True), None, number))
        cuts.append((right, _at(right, piece.end, gaps, begins=False), number, None))
    if behind <= 0 and lying[-1][1].square:
        cuts.pop()  # the part ends where the stick does
    found: list[Stroke] = []
    before = SQUARE_START
    for (face, at, ends, begins), now in zip(
        cuts, _least_effort([cut[0] for cut in cuts], one_way=one_way), strict=True
    ):
        found.append(
            Stroke(
                at=at,
                angle=abs(face.lean),
                swing=(now.swing > 0) - (now.swing < 0),
                back=None if now.lies < 0 else now.lies,
                roll=0 if before.lies < 0 else (before.lies - now.lies) % 4,
                ends=ends,
                begins=begins,
            )
        )
        before = now
    return tuple(found)


def _at(face: Face, measured: Fraction, gaps: Gaps, *, begins: bool) -> Fraction:
    """Where a face meets the edge, from its measured point."""
    return _nearest(exact(measured) + gaps.to_edge(face, begins=begins), gaps.step)


def _nearest(value: Real, step: Fraction) -> Fraction:
    return value.low if value.is_exact else round(value.low / step) * step


def _least_effort(faces: Sequence[Face], *, one_way: bool) -> list[Setting]:
    """Settings for the strokes in order: fewest swings of the saw, then fewest rolls of the stick."""
    layer: dict[Setting, tuple[tuple[int, int], list[Setting]]] = {SQUARE_START: ((0, 0), [])}
    for face in faces:
        after: dict[Setting, tuple[tuple[int, int], list[Setting]]] = {}
        for before, (spent, way) in layer.items():
            for now in settings(face, before.lies, one_way=one_way):
                effort = added_effort(before, now, spent)
                if now not in after or effort < after[now][0]:
                    after[now] = (effort, [*way, now])
        layer = after
    return min(layer.values(), key=lambda entry: entry[0])[1]
