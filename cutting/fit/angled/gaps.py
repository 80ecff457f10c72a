"""What lies between neighbours: the gap that two facing ends need, and what an outer end costs.

Gaps are worked out between the points from which the parts' lengths were measured, so that stated lengths stay exact
and nothing irrational is ever subtracted from a part; the finished amount is rounded up once.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from cutting.fit.angled.outline import Corner
from cutting.fit.angled.reals import ZERO, Real, hypotenuse, round_up, secant, tangent
from cutting.fit.angled.shape import SQUARE, Face
from cutting.question.job import Measure

__all__ = ["Gaps", "is_shared"]

_Terms = dict[Fraction, Fraction]  # multiples of the tangents of angles


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
    corners : tuple of Corner
        Of the steel's convex hull.
    is_round : bool
        A round section: faces at another roll meet along a circle, not at a corner.
    is_tee : bool
        A tee, which has no steel at its lower left.
    """

    depths: tuple[Fraction, Fraction]
    kerf: Fraction
    step: Fraction
    corners: tuple[Corner, ...]
    is_round: bool = False
    is_tee: bool = False
    _known: dict[tuple[Face, Face], Fraction] = field(default_factory=dict, init=False, repr=False, compare=False)
    _outer: dict[Face, Fraction] = field(default_factory=dict, init=False, repr=False, compare=False)
    _to_edge: dict[tuple[Face, bool], Real] = field(default_factory=dict, init=False, repr=False, compare=False)

    def _reach(self, face: Face, times: int = 1) -> _Terms:
        """Terms of how far the long point lies beyond mid-depth, so many times."""
        return {abs(face.lean): times * self.depths[face.plane] / 2}

    def _offset(self, face: Face, times: int = 1) -> _Terms:
        if face.square or face.measure is Measure.CENTRE_LINE:
            return {}
        return self._reach(face, times if face.measure is Measure.LONG_POINT else -times)

    def offset(self, face: Face) -> Real:
        """How far the measured point of a face lies outside its mid-depth point."""
        return _sum(self._offset(face))

    def middle(self, left: Face, right: Face) -> Real:
        """Gap between the mid-depth points of two facing ends: `left` ends a part, `right` begins the next."""
        return self._kerf(left, right) + self._apart(left, right, ())

    def between(self, left: Face, right: Face) -> Fraction:
        """Gap between the measured points of two facing ends, rounded up where irrational."""
        found = self._known.get((left, right))
        if found is None:
            offsets = (self._offset(left, -1), self._offset(right, -1))
            found = round_up(self._kerf(left, right) + self._apart(left, right, offsets), self.step)
            self._known[left, right] = found
        return found

    def _kerf(self, left: Face, right: Face) -> Real:
        steepest = max(abs(left.lean), abs(right.lean))
        return secant(steepest).times(self.kerf)

    def _apart(self, left: Face, right: Face, offsets: tuple[_Terms, ...]) -> Real:
        """What the gap has beyond the kerf, with the offsets; equal tangents cancel exactly."""
        if is_shared(left, right):
            return _sum(*offsets)
        if left.square or right.square or left.plane == right.plane:
            # Both lie in one plane; a square end lies in every plane.
            half = self.depths[right.plane if left.square else left.plane] / 2
            more, less = sorted((left.lean, right.lean), reverse=True)
            return _sum(_signed(more, half), _signed(less, -half), *offsets)
        if self.is_round:
            both = hypotenuse(tangent(left.lean), tangent(right.lean))
            return both.times(self.depths[0] / 2) + _sum(*offsets)
        apart = (_sum(_at(left, corner, 1), _at(right, corner, -1), *offsets) for corner in self.corners)
        return max(apart, key=lambda each: each.high)

    def outer(self, face: Face) -> Fraction:
        """What a face at either end of the row costs beyond its measured point, rounded up where irrational."""
        if face.square:
            return Fraction(0)
        found = self._outer.get(face)
        if found is None:
            found = round_up(_sum(self._reach(face), self._offset(face, -1)), self.step)
            self._outer[face] = found
        return found

    def to_edge(self, face: Face, *, begins: bool) -> Real:
        """From the measured point of a face that begins (or ends) a part to the edge that strokes are measured along.

        On a round that edge is the line scribed for the face, at mid-depth.
        """
        found = self._to_edge.get((face, begins))
        if found is None:
            offset = self.offset(face)
            found = offset if begins else -offset
            if not (self.is_round and face.plane == 1):
                up = 1 if self.is_tee and face.plane == 0 else -1
                found += tangent(face.lean).times(up * self.depths[face.plane] / 2)
            self._to_edge[face, begins] = found
        return found

    def behind(self, face: Face) -> Fraction:
        """From the measured point of the last face to where a full square end could begin: the drop's shorter side."""
        return self.between(face, SQUARE)


def _at(face: Face, corner: Corner, times: int) -> _Terms:
    """Terms of how far along the stick a face lies at a corner, from its mid-depth point, so many times."""
    return _signed(face.lean, times * corner[face.plane])


def _signed(lean: Fraction, half: Fraction) -> _Terms:
    return {abs(lean): half if lean > 0 else -half}


def _sum(*terms: _Terms) -> Real:
    """Add up multiples of tangents, those of equal angles exactly."""
    total: dict[Fraction, Fraction] = {}
    for each in terms:
        for angle, factor in each.items():
            total[angle] = total.get(angle, Fraction(0)) + factor
    value = ZERO
    for angle, factor in total.items():
        if factor:
            value += tangent(angle).times(factor)
    return value
