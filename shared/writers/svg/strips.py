"""Where everything on a drawn bar goes: strips, scale, places of marks and dimensions (mm on the paper).

A bar is drawn to scale along its length, not across it. Where its dimensions don't fit side by side it goes on in
another strip, with a break line (ISO 128) at either side of the gap; what is left behind the last cut is broken off and
not to scale. Running dimensions start at the trimmed end and stand in line with their extension lines (ISO 129-1).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

from shared.view.drawing.bar import Bar, BarPiece
from shared.writers.svg.lettering import broken, cells, spread, width

__all__ = ["DEPTH", "LETTER", "Label", "Shape", "StripPlan", "lay_strips"]

LETTER: Final = 3.0
"""Size of the lettering, mm: capitals of 2.2 mm."""
DEPTH: Final = 8.0
"""How deep a bar is drawn, mm."""

_LABEL: Final = 3.5
_SIDE: Final = 8.0
_SHORT_MARK: Final = 10
_CLEAR: Final = 1.6
_LEADER: Final = 4.0
_MARGIN: Final = 1.5


@dataclass(frozen=True, kw_only=True, slots=True)
class Label:
    """A text at the end of a line that may bend: from `at` on the bar to `place` on the paper."""

    at: float
    place: float
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Shape:
    """A piece's corners along the paper, upper and lower edge, and the edges (dashed or not) that lie within."""

    start: tuple[float, float]
    end: tuple[float, float]
    inner: tuple[tuple[float, bool], ...]
    mark: str
    mark_at: float


@dataclass(frozen=True, kw_only=True, slots=True)
class StripPlan:
    """One strip of a bar, placed.

    Attributes
    ----------
    left, right : float
        Between these the bar is to scale, mm on the paper.
    origin : float or None
        Where the trimmed end lies, on the first strip.
    trim, rest : str
        Texts of the stubs at the ends, empty where there is none.
    goes_on : tuple of bool
        Whether another strip lies before, and behind.
    shapes : tuple of Shape
        The pieces, those that others lie in front of first.
    marks, dimensions : tuple of Label
        Above and below.
    legend : tuple of str
        Marks that only a number stands for, line by line.
    above, below : float
        Room for the marks and the dimensions, mm.
    """

    left: float
    right: float
    origin: float | None
    trim: str
    rest: str
    goes_on: tuple[bool, bool]
    shapes: tuple[Shape, ...]
    marks: tuple[Label, ...]
    dimensions: tuple[Label, ...]
    legend: tuple[str, ...]
    above: float
    below: float


def lay_strips(bar: Bar, wide: float) -> Iterator[StripPlan]:
    """Place a bar on as many strips as its dimensions need.

    Parameters
    ----------
    bar : Bar
        What to draw.
    wide : float
        mm of paper.
    """
    rest = _rest_width(bar, wide)
    groups = _groups(bar.pieces, int((wide - 2 * _SIDE - rest) / _LABEL))
    for number, pieces in enumerate(groups):
        first, last = number == 0, number == len(groups) - 1
        begin = min(Fraction(0), pieces[0].start.first) if first else groups[number - 1][-1].end.last
        right = wide - (rest + _MARGIN if last and bar.rest else _SIDE)
        scale = _Scale(begin, pieces[-1].end.last, _SIDE, right)
        yield _place(bar, pieces, scale, first=first, last=last, wide=wide)


def _rest_width(bar: Bar, wide: float) -> float:
    """Return the room for what is left: to scale where its text fits and it takes no more than half of the paper."""
    if not bar.rest:
        return 0.0
    whole = bar.pieces[-1].end.last + bar.beyond
    share = float(bar.beyond / whole) * (wide - 2 * _SIDE)
    return max(width(bar.rest, LETTER) + 6, min(share, wide / 2))


def _groups(pieces: Sequence[BarPiece], most: int) -> list[Sequence[BarPiece]]:
    """Split the pieces so that each strip has room for its dimensions, and strips are about alike."""
    labels = [max(1, len(piece.dimensions)) for piece in pieces]
    strips = -(-sum(labels) // most)
    each = min(most, -(-sum(labels) // strips) + 1)
    groups: list[Sequence[BarPiece]] = []
    begin, filled = 0, 0
    for number, count in enumerate(labels):
        if filled + count > each:
            groups.append(pieces[begin:number])
            begin, filled = number, 0
        filled += count
    return [*groups, pieces[begin:]]


@dataclass(frozen=True, slots=True)
class _Scale:
    """From millimetres of steel to millimetres of paper."""

    begin: Fraction
    end: Fraction
    left: float
    right: float

    def __call__(self, at: Fraction) -> float:
        return self.left + (self.right - self.left) * float((at - self.begin) / (self.end - self.begin))


def _place(bar: Bar, pieces: Sequence[BarPiece], scale: _Scale, *, first: bool, last: bool, wide: float) -> StripPlan:
    inside = [_fits(piece, scale) for piece in pieces]
    outside = [piece for piece, fits in zip(pieces, inside, strict=True) if not fits]
    marks = _labels([(_middle(piece, scale), _stand_in(piece)) for piece in outside], wide)
    dimensions = _labels([(scale(dim.at), dim.text) for piece in pieces for dim in piece.dimensions], wide)
    return StripPlan(
        left=scale.left,
        right=scale.right,
        origin=scale(Fraction(0)) if first else None,
        trim=bar.trim if first else "",
        rest=bar.rest if last else "",
        goes_on=(not first, not last),
        shapes=tuple(
            _shape(piece, scale, fits=fits)
            for _, piece, fits in sorted(zip(_levels(pieces), pieces, inside, strict=True), key=lambda entry: entry[0])
        ),
        marks=tuple(marks),
        dimensions=tuple(dimensions),
        legend=tuple(
            line
            for piece in outside
            if _stand_in(piece) != piece.mark
            for line in broken(f"{_stand_in(piece)}: {piece.mark}", LETTER, wide - 2 * _MARGIN)
        ),
        above=_room([label.text for label in marks]) + (_LEADER if marks else 0),
        below=_room([label.text for label in dimensions]),
    )


def _levels(pieces: Sequence[BarPiece]) -> list[int]:
    """Return in which order pieces are painted: where a slanting face is seen, the neighbour lies in front of it."""
    levels = [0]
    for before, after in pairwise(pieces):
        step = (
            (before.end.seen - after.start.seen) if before.end.inner is not None or after.start.inner is not None else 0
        )
        levels.append(levels[-1] + step)
    return levels


def _labels(wanted: Sequence[tuple[float, str]], wide: float) -> list[Label]:
    places = spread([at for at, _ in wanted], _LABEL, _MARGIN + _LABEL / 2, wide - _MARGIN - _LABEL / 2)
    return [Label(at=at, place=place, text=text) for (at, text), place in zip(wanted, places, strict=True)]


def _room(texts: Sequence[str]) -> float:
    return max((width(text, LETTER) for text in texts), default=0.0)


def _inner(piece: BarPiece, scale: _Scale) -> tuple[float, float]:
    return scale(piece.start.last), scale(piece.end.first)


def _fits(piece: BarPiece, scale: _Scale) -> bool:
    left, right = _inner(piece, scale)
    return width(piece.mark, LETTER) + _CLEAR <= right - left


def _middle(piece: BarPiece, scale: _Scale) -> float:
    return (scale(piece.start.first) + scale(piece.end.last)) / 2


def _stand_in(piece: BarPiece) -> str:
    """Return the mark, or where it is too long to stand upright, the piece's number."""
    return piece.mark if cells(piece.mark) <= _SHORT_MARK else f"no. {piece.number}"


def _shape(piece: BarPiece, scale: _Scale, *, fits: bool) -> Shape:
    ends = (piece.start, piece.end)
    corners = [(scale(end.top), scale(end.bottom)) for end in ends]
    left, right = _inner(piece, scale)
    return Shape(
        start=corners[0],
        end=corners[1],
        inner=tuple((scale(end.inner), not end.seen) for end in ends if end.inner is not None),
        mark=piece.mark if fits else "",
        mark_at=(left + right) / 2,
    )
