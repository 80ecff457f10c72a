"""The shape of a part with angled ends: its two faces and its three lengths.

In the frame of the part, or of the stick, a face is a plane ``x = c + w tan(lean)``: x runs along the steel, w across
it along the side that lies in the plane of the cut, and c is its place on the mid-depth line.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cutting.fit.angled.outline import corners_of
from cutting.fit.angled.reals import ZERO, Real, exact, hypotenuse, round_up, tangent
from cutting.question.job import Ends, Lean, Measure, Part, Section
from cutting.question.lengths import Unit

__all__ = [
    "SQUARE",
    "Face",
    "PartLengths",
    "depth_at",
    "faces_of",
    "finest",
    "lengths_of",
    "reach",
    "signs_of",
    "thinnest",
]

_ROUND = frozenset({"chs", "pipe", "round"})
_INCHES = frozenset({Unit.IN, Unit.FT})


def finest(unit: Unit) -> Fraction:
    """Return the step (mm) to which irrational amounts are rounded up: 1/1024 in or 0.01 mm."""
    return Fraction(127, 5 * 1024) if unit in _INCHES else Fraction(1, 100)


@dataclass(frozen=True, slots=True)
class Face:
    """One end of a part in some frame.

    Attributes
    ----------
    plane : int
        Which side of the section lies in the plane of the cut; 0 for a square end.
    lean : Fraction
        Signed degrees from square: the tangent's sign is the sign of dx/dw.
    measure : Measure
        From which of its points the part's length is measured; the centre line for a square end.
    """

    plane: int
    lean: Fraction
    measure: Measure

    def __hash__(self) -> int:
        # Faces are looked up a hundred thousand times a job, and a fraction's own hash divides modulo a prime.
        return hash((self.plane, self.lean.numerator, self.lean.denominator))

    @property
    def square(self) -> bool:
        """Whether the end is square."""
        return not self.lean


SQUARE = Face(0, Fraction(0), Measure.CENTRE_LINE)


def signs_of(ends: Ends) -> tuple[int, int]:
    """To which edge (1 or -1 along its side of the section) the long point of each end lies."""
    first, second = ends.toward
    if all(ends.angles) and ends.planes[0] == ends.planes[1]:
        second = first if ends.lean is Lean.OPPOSED else -first
    return first, second


def faces_of(part: Part) -> tuple[Face, Face]:
    """Left and right face of a part that lies with its first end to the left, seen as its ends were described."""
    ends = part.ends
    if ends is None:
        return SQUARE, SQUARE
    first, second = signs_of(ends)
    return (
        _face(ends.planes[0], -first * ends.angles[0], ends.measure),
        _face(ends.planes[1], second * ends.angles[1], ends.measure),
    )


def _face(plane: int, lean: Fraction, measure: Measure) -> Face:
    return Face(plane, lean, measure) if lean else SQUARE


def depth_at(section: Section, ends: Ends, end: int) -> Fraction:
    """Size of the section in the plane of one end's cut, in mm.

    Raises
    ------
    ValueError
        Where neither the section's sides nor the depth are known.
    """
    if ends.depths is not None:
        return ends.depths[end]
    if not section.sides:
        msg = f"the size of {section.label} is not known"
        raise ValueError(msg)
    return section.sides[ends.planes[end]]


def reach(depth: Fraction, angle: Fraction) -> Real:
    """How far the long point of an end lies beyond the mid-depth line: ``d/2 tan|a|``."""
    return tangent(abs(angle)).times(depth / 2)


def _reaches(part: Part) -> tuple[Real, Real]:
    ends = part.ends
    if ends is None:
        return ZERO, ZERO
    both = [reach(depth_at(part.section, ends, end), ends.angles[end]) if ends.angles[end] else ZERO for end in (0, 1)]
    return both[0], both[1]


@dataclass(frozen=True, kw_only=True, slots=True)
class PartLengths:
    """The three lengths of a part.

    Attributes
    ----------
    long, centre, short : Real
        Between long points, between mid-depth points, between short points (mm, along the part's axis).
    """

    long: Real
    centre: Real
    short: Real

    def shown(self, unit: Unit) -> tuple[Fraction, Fraction, Fraction]:
        """Long, centre and short length, irrational ones rounded up."""
        step = finest(unit)
        return round_up(self.long, step), round_up(self.centre, step), round_up(self.short, step)


def lengths_of(part: Part) -> PartLengths:
    """Work out long, centre-line and short length from the one that was stated."""
    first, second = _reaches(part)
    both = first + second
    stated = exact(part.length)
    measure = part.ends.measure if part.ends else Measure.CENTRE_LINE
    if measure is Measure.LONG_POINT:
        centre = stated - both
        return PartLengths(long=stated, centre=centre, short=centre - both)
    if measure is Measure.SHORT_POINT:
        centre = stated + both
        return PartLengths(long=centre + both, centre=centre, short=stated)
    return PartLengths(long=stated + both, centre=stated, short=stated - both)


def thinnest(part: Part) -> Real:
    """Length of the part where its faces come closest; at or below 0 they cross within the steel.

    For ends leaning parallel that is near the centre-line length, in one plane otherwise the short length; in different
    planes it is where the steel reaches furthest into both.
    """
    lengths = lengths_of(part)
    ends = part.ends
    if ends is None or not all(ends.angles):
        return lengths.short
    if ends.planes[0] != ends.planes[1]:
        return lengths.centre - _crossed(part, ends)
    if ends.lean is Lean.OPPOSED:
        return lengths.short
    first, second = _reaches(part)
    return lengths.centre - abs(first - second)


def _crossed(part: Part, ends: Ends) -> Real:
    """How much of its centre-line length a part with ends in different planes lacks where it is shortest."""
    depths = [Fraction(0), Fraction(0)]
    for end, plane in enumerate(ends.planes):
        depths[plane] = depth_at(part.section, ends, end)
    tangents = [tangent(angle) for angle in ends.angles]
    if part.section.family in _ROUND:
        return hypotenuse(*tangents).times(depths[0] / 2)
    lacking = []
    for corner in corners_of(part.section, (depths[0], depths[1])):
        # Towards its long point a face lies further out.
        ways = zip(tangents, ends.planes, ends.toward, strict=True)
        first, second = (slope.times(-sign * corner[plane]) for slope, plane, sign in ways)
        lacking.append(first + second)
    return max(lacking, key=lambda each: each.high)
