"""What lies between neighbours: the gap that two facing ends need, and what an outer end costs.

Gaps are worked out between the points from which the parts' lengths were measured, so that stated lengths stay exact and
nothing irrational is ever subtracted from a part; the finished amount is rounded up once.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from cutting.angled.reals import ZERO, Real, exact, round_up, secant, tangent
from cutting.angled.shape import SQUARE, Face, reach
from cutting.job import Measure

__all__ = ["Gaps", "is_shared"]


def is_shared(left: Face, right: Face) -> bool:
    """Whether one stroke of the saw makes both facing ends."""
    return left.lean == right.lean and (left.square or left.plane == right.plane)


@dataclass(frozen=True, kw_only=True, slots=True)
class Gaps:
    """Gap arithmetic of one section and saw.

    Attributes
    ----------
    depths : tuple of Fraction
        mm, the section's size along its first and second side.
    kerf : Fraction
        mm.
    step : Fraction
        mm, what irrational amounts are rounded up to.
    is_round : bool
        A round section: faces at another roll meet along a circle, not at a corner.
    """

    depths: tuple[Fraction, Fraction]
    kerf: Fraction
    step: Fraction
    is_round: bool = False

    def offset(self, face: Face) -> Real:
        """How far the measured point of a face lies outside its mid-depth point."""
        if face.square or face.measure is Measure.CENTRE_LINE:
            return ZERO
        out = reach(self.depths[face.plane], face.lean)
        return out if face.measure is Measure.LONG_POINT else -out

    def middle(self, left: Face, right: Face) -> Real:
        """Gap between the mid-depth points of two facing ends: `left` ends a part, `right` begins the next."""
        first, second = secant(left.lean), secant(right.lean)
        kerf = (first if first.high >= second.high else second).times(self.kerf)
        if is_shared(left, right):
            return kerf
        return self._apart(left, right) + kerf

    def _apart(self, left: Face, right: Face) -> Real:
        if left.square or right.square or left.plane == right.plane:
            # Both lie in one plane; a square end lies in every plane.
            plane = right.plane if left.square else left.plane
            return abs(tangent(left.lean) - tangent(right.lean)).times(self.depths[plane] / 2)
        if self.is_round:
            return _hypotenuse(tangent(left.lean), tangent(right.lean)).times(self.depths[0] / 2)
        return reach(self.depths[left.plane], left.lean) + reach(self.depths[right.plane], right.lean)

    def between(self, left: Face, right: Face) -> Fraction:
        """Gap between the measured points of two facing ends, rounded up where irrational."""
        return round_up(self.middle(left, right) - self.offset(left) - self.offset(right), self.step)

    def outer(self, face: Face) -> Fraction:
        """What a face at either end of the row costs beyond its measured point, rounded up where irrational."""
        if face.square:
            return Fraction(0)
        return round_up(reach(self.depths[face.plane], face.lean) - self.offset(face), self.step)

    def behind(self, face: Face) -> Fraction:
        """From the measured point of the last face to where a full square end could begin: the drop's shorter side."""
        return self.between(face, SQUARE)


def _hypotenuse(a: Real, b: Real) -> Real:
    """``sqrt(a^2 + b^2)`` of two reals, held outward to 1e-40."""
    low = min(abs(a.low), abs(a.high)) ** 2 + min(abs(b.low), abs(b.high)) ** 2
    high = max(abs(a.low), abs(a.high)) ** 2 + max(abs(b.low), abs(b.high)) ** 2
    return _root(low, high)


def _root(low: Fraction, high: Fraction) -> Real:
    """Bounds of the square root of a number between two fractions."""
    scale = 10**40
    down = Fraction(isqrt(low.numerator * scale * scale // low.denominator), scale)
    up = Fraction(isqrt(-(-high.numerator * scale * scale // high.denominator)) + 1, scale)
    if low == high and down * down == low:
        return exact(down)
    return Real(down, up)
