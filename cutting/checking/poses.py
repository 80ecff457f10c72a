"""The checker's own trigonometry and its own knowledge of how a section may lie; shares nothing with the solver.

A rotation is allowed where it takes the cross-section's own points to themselves. Everything is worked out with 50
decimal digits.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import lru_cache

from cutting.answer.plan import Lie
from cutting.question.job import Lean, Part, Section

__all__ = [
    "DIGITS",
    "ROUND",
    "Side",
    "Vector",
    "cosine",
    "decimal",
    "described",
    "is_symmetry",
    "rotated",
    "sine",
    "tangent",
    "vector",
]

DIGITS = 50
ROUND = ("chs", "pipe", "round")
Vector = tuple[int, int]  # along the first and the second side of the section, seen with the first side upright


def decimal(value: Fraction) -> Decimal:
    """Return a fraction with all digits that are carried."""
    return Decimal(value.numerator) / Decimal(value.denominator)


@lru_cache(maxsize=256)
def sine(degrees: Fraction) -> Decimal:
    """Sine from its series at a third of the angle: sin 3x = 3 sin x - 4 sin^3 x."""
    with localcontext() as context:
        context.prec = DIGITS + 10
        x = _pi() * decimal(degrees) / 540
        term, total, n = x, x, 1
        while abs(term) > Decimal(10) ** -(DIGITS + 8):
            term *= -x * x / ((n + 1) * (n + 2))
            n += 2
            total += term
        return 3 * total - 4 * total**3


def cosine(degrees: Fraction) -> Decimal:
    """Cosine of an angle in degrees."""
    return sine(90 - degrees)


def tangent(degrees: Fraction) -> Decimal:
    """Tangent of an angle in degrees."""
    return sine(degrees) / cosine(degrees)


@lru_cache(maxsize=1)
def _pi() -> Decimal:
    """Pi by the Gauss-Legendre iteration."""
    with localcontext() as context:
        context.prec = DIGITS + 20
        a, b, t, p = Decimal(1), 1 / Decimal(2).sqrt(), Decimal("0.25"), Decimal(1)
        for _ in range(8):
            middle = (a + b) / 2
            b = (a * b).sqrt()
            t -= p * (a - middle) ** 2
            a, p = middle, 2 * p
        return (a + b) ** 2 / (4 * t)


@dataclass(frozen=True, kw_only=True, slots=True)
class Side:
    """One end of a part, as the job describes it or as it lies in the stick.

    Attributes
    ----------
    angle : Fraction
        Degrees from square.
    toward : (int, int)
        Unit vector to the edge where the long point lies.
    """

    angle: Fraction
    toward: Vector

    @property
    def plane(self) -> int:
        """Which side of the section lies in the plane of the cut."""
        return 0 if self.toward[0] else 1

    @property
    def sign(self) -> int:
        """To which edge of that side the long point lies."""
        return self.toward[self.plane]


def described(part: Part) -> tuple[Side, Side]:
    """Both ends as the job describes them, seen from the first end."""
    ends = part.ends
    if ends is None:
        return Side(angle=Fraction(0), toward=(1, 0)), Side(angle=Fraction(0), toward=(1, 0))
    first, second = ends.toward
    if ends.planes[0] == ends.planes[1] and 0 not in ends.angles:
        second = first if ends.lean is Lean.OPPOSED else -first
    return (
        Side(angle=ends.angles[0], toward=vector(ends.planes[0], first)),
        Side(angle=ends.angles[1], toward=vector(ends.planes[1], second)),
    )


def vector(plane: int, sign: int) -> Vector:
    """Return the unit vector to one edge of a side."""
    return (sign, 0) if plane == 0 else (0, sign)


def rotated(vector: Vector, lie: Lie) -> Vector:
    """Turn about the upright axis where the part lies end for end, then roll clockwise: up goes right."""
    up, right = vector
    if lie.turned:
        right = -right
    for _ in range(lie.roll % 4):
        up, right = -right, up
    return up, right


def _points(section: Section) -> frozenset[Vector] | None:
    """Points of the cross-section that tell its symmetry, on a grid of its own; None for a round one."""
    if section.family in ROUND:
        return None
    equal = len(section.sides) > 1 and section.sides[0] == section.sides[1]
    up, right = (2, 2) if equal else (3, 2)
    corners = {(up, right), (up, -right), (-up, right), (-up, -right)}
    if section.family in ("shs", "rhs", "flat", "square") and section.sides:
        return frozenset(corners)
    if section.family == "beam":
        return frozenset({(3, 2), (3, -2), (-3, 2), (-3, -2)})  # its web tells upright from lying, however wide it is
    if section.family == "channel":
        return frozenset({*corners, (0, -right)})  # steel in the middle of the web, none between the toes
    if section.family == "tee":
        return frozenset({(up, right), (up, -right), (-up, 0)})  # the flange's ends, and the web's foot
    if section.family == "angle":
        return frozenset(corners - {(up, right)})
    return frozenset({(3, 1), (-1, 2), (0, -4)})  # a shape we don't know has no symmetry we may use


def is_symmetry(section: Section, lie: Lie) -> bool:
    """Whether a part may lie so: whether the rotation takes the section to itself."""
    points = _points(section)
    return points is None or frozenset(rotated(point, lie) for point in points) == points
