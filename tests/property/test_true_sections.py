"""Rows of mitred angles, channels, tees and beams against brute force over orders and poses, on steel made of points.

The geometry is the test's own: a section is a set of rectangles, sampled as points; where two cuts come closest is the
smallest distance along the stick over all these points; a part may lie in any way that takes every point to steel.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise, permutations, product

import pytest

from cutting.answer.plan import Cut, Status
from cutting.question.job import Ends, Job, Lean, Measure, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.solve import solve
from tests.builders import PATIENCE
from tests.kinds import further

ROWS = 500
BATCHES = 25
QUICK = 2
STEP = 0.01  # mm to which the engine rounds a gap up
NEAR = 1e-6

Point = tuple[float, float]  # up and to the right of the middle of the box around the section
Rectangle = tuple[float, float, float, float]  # from, to upward; from, to the right
End = tuple[float, float, float]  # degrees; how far it reaches outward for each mm up and to the right


@dataclass(frozen=True)
class Shape:
    family: str
    high: int
    wide: int
    wall: int  # of what stands upright
    floor: int  # of what lies

    @property
    def section(self) -> Section:
        walls = (Fraction(self.wall), Fraction(self.floor)) if self.family in {"angle", "tee"} else ()
        name = f"{self.family} {self.high}x{self.wide}x{self.wall}x{self.floor}"
        return Section(name=name, family=self.family, sides=(Fraction(self.high), Fraction(self.wide)), walls=walls)

    @property
    def steel(self) -> tuple[Rectangle, ...]:
        top, right, wall, thick = self.high / 2, self.wide / 2, self.wall, self.floor
        left_wall = (-top, top, -right, -right + wall)
        floor = (-top, -top + thick, -right, right)
        ceiling = (top - thick, top, -right, right)
        return {
            "angle": (left_wall, floor),
            "channel": (left_wall, floor, ceiling),
            "beam": (floor, ceiling, (-top, top, -wall / 2, wall / 2)),
            "tee": (ceiling, (-top, top, -wall / 2, wall / 2)),
        }[self.family]

    @property
    def points(self) -> tuple[Point, ...]:
        return tuple(
            (low + (high - low) * i / 4, left + (right - left) * j / 4)
            for low, high, left, right in self.steel
            for i, j in product(range(5), repeat=2)
        )

    def holds(self, point: Point) -> bool:
        return any(
            low - NEAR <= point[0] <= high + NEAR and left - NEAR <= point[1] <= right + NEAR
            for low, high, left, right in self.steel
        )

    def rotations(self) -> Iterator[tuple[bool, tuple[int, int, int, int]]]:
        """Every rotation in space that takes steel to steel: whether end for end, and what it does to the section."""
        for a, b in product((1, -1), repeat=2):
            for p, q, r, s in ((a, 0, 0, b), (0, a, b, 0)):
                if all(self.holds((p * up + q * along, r * up + s * along)) for up, along in self.points):
                    yield p * s - q * r < 0, (p, q, r, s)


def reach(end: End, points: tuple[Point, ...]) -> float:
    return max(end[1] * up + end[2] * along for up, along in points)


def ends_of(part: Part) -> tuple[End, End]:
    ends = part.ends
    assert ends is not None
    signs = list(ends.toward)
    if ends.planes[0] == ends.planes[1] and all(ends.angles):
        signs[1] = signs[0] if ends.lean is Lean.OPPOSED else -signs[0]
    found = []
    for angle, plane, sign in zip(ends.angles, ends.planes, signs, strict=True):
        slope = math.tan(math.radians(float(angle))) * sign
        found.append((float(angle), slope if plane == 0 else 0.0, slope if plane == 1 else 0.0))
    return found[0], found[1]


class Rows:
    """All rows of some parts of one section."""

    def __init__(self, shape: Shape, parts: tuple[Part, ...], kerf: float) -> None:
        self.points = shape.points
        self.kerf = kerf
        self.rotations = tuple(shape.rotations())
        self.pieces = [part for part in parts for _ in range(part.quantity)]

    def _lying(self, part: Part) -> Iterator[tuple[End, End]]:
        for turned, (p, q, r, s) in self.rotations:
            first, second = ((degrees, p * up + q * along, r * up + s * along) for degrees, up, along in ends_of(part))
            yield (second, first) if turned else (first, second)

    def _gap(self, right: End, left: End) -> float:
        """Between the mid-depth points of two neighbours, so that no two points are nearer than the saw is wide."""
        apart = max((right[1] + left[1]) * up + (right[2] + left[2]) * along for up, along in self.points)
        return apart + self.kerf / min(math.cos(math.radians(end[0])) for end in (right, left))

    def centre(self, part: Part) -> float:
        assert part.ends is not None
        if part.ends.measure is Measure.CENTRE_LINE:
            return float(part.length)
        return float(part.length) - sum(reach(end, self.points) for end in ends_of(part))

    def shortest(self) -> float:
        best = math.inf
        for order in permutations(self.pieces):
            for lying in product(*(tuple(self._lying(part)) for part in order)):
                need = reach(lying[0][0], self.points) + reach(lying[-1][1], self.points)
                need += sum(self.centre(part) for part in order)
                need += sum(self._gap(one[1], two[0]) for one, two in pairwise(lying))
                best = min(best, need)
        return best


def random_row(number: int) -> tuple[Shape, Job]:
    """Make a job of two to four mitred pieces of one section, as yet without a stick."""
    chance = random.Random(f"true sections {number}")
    high = chance.choice([30, 40, 50, 60])
    family = chance.choice(["angle", "angle", "angle", "channel", "tee", "tee"])
    wide = chance.choice([high, high, high - 10, high // 2])
    if number % 5 == 3:
        family = "beam"
    elif family == "tee" and number % 2:
        wide = high
    wall = chance.choice([3, 4, 6])
    floor = wall if family == "angle" and high == wide else chance.choice([3, 4, 6])
    shape = Shape(family, high, wide, wall, floor)
    kerf = chance.choice([Fraction(2), Fraction(5, 2)])
    parts = []
    for at in range(chance.choice([1, 1, 2])):
        planes = (chance.choice([0, 1]), chance.choice([0, 1]))
        ends = Ends(
            angles=tuple(Fraction(chance.choice(["45", "45", "30", "22.5", "0"])) for _ in range(2)),  # type: ignore[arg-type]
            lean=chance.choice(list(Lean)),
            measure=chance.choice([Measure.LONG_POINT, Measure.CENTRE_LINE]),
            planes=planes,
            toward=(chance.choice([1, -1]), chance.choice([1, -1])),
        )
        parts.append(
            Part(
                mark=f"P{at}",
                section=shape.section,
                length=Fraction(chance.randint(300, 600)),
                quantity=chance.choice([2, 3]) if at == 0 else 1,
                ends=ends
                if any(ends.angles)
                else Ends(angles=(Fraction(45), Fraction(0)), measure=ends.measure, lean=ends.lean),
            )
        )
    return shape, Job(parts=tuple(parts), sticks=(), saw=Saw(kerf=kerf), unit=Unit.MM, currency="EUR")


def on_one_stick(shape: Shape, question: Job, clear: Fraction) -> Job:
    stick = Stick(
        id="S",
        section=shape.section,
        length=clear,
        source=Source.STICKS,
        price=PerStick(amount=Decimal(10)),
        available=1,
        trims=(Fraction(0), Fraction(0)),
    )
    return Job(parts=question.parts, sticks=(stick,), saw=question.saw, unit=question.unit, currency="EUR")


def check_on_points(cut: Cut, shape: Shape, rows: Rows, parts: dict[str, Part], clear: float) -> None:
    """Every point of steel keeps its distance to the next part and to the ends of the stick."""
    faces = []
    for piece in cut.pieces:
        lie, part = piece.lie, parts[piece.mark]
        assert lie is not None
        assert part.ends is not None
        middles = [float(piece.start), float(piece.end)]
        if part.ends.measure is Measure.LONG_POINT:
            for end, sign in ((0, 1), (1, -1)):
                depth = shape.high if lie.planes[end] == 0 else shape.wide
                middles[end] += sign * abs(math.tan(math.radians(float(lie.leans[end])))) * depth / 2
        faces.append([(middles[end], lie.planes[end], math.radians(float(lie.leans[end]))) for end in (0, 1)])

    def at(face: tuple[float, int, float], point: Point) -> float:
        return face[0] + point[face[1]] * math.tan(face[2])

    for one, two in pairwise(faces):
        kerf = rows.kerf / min(math.cos(one[1][2]), math.cos(two[0][2]))
        assert min(at(two[0], point) - at(one[1], point) for point in shape.points) >= kerf - NEAR
    assert min(at(faces[0][0], point) for point in shape.points) >= -NEAR
    assert max(at(faces[-1][1], point) for point in shape.points) <= clear + NEAR


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("batch", further(range(BATCHES), "a further batch of random rows", fast=QUICK))
def test_a_row_needs_what_brute_force_on_points_needs(batch: int) -> None:
    for number in range(batch, ROWS, BATCHES):
        shape, question = random_row(number)
        rows = Rows(shape, question.parts, float(question.saw.kerf))
        need = rows.shortest()
        short = solve(
            on_one_stick(shape, question, Fraction(math.floor((need - NEAR) * 1000), 1000)), cores=1, limit=PATIENCE
        )
        assert short.status is Status.INFEASIBLE, f"row {number}: {shape}, {need}"
        clear = Fraction(math.ceil((need + STEP * (len(rows.pieces) + 1)) * 1000), 1000)
        roomy = solve(on_one_stick(shape, question, clear), cores=1, limit=PATIENCE)
        assert roomy.status is Status.OPTIMAL, f"row {number}: {shape}, {need}, {roomy.proof.infeasible}"
        assert roomy.plan is not None
        parts = {part.mark: part for part in question.parts}
        check_on_points(roomy.plan.cuts[0], shape, rows, parts, float(clear))


def test_the_random_rows_are_of_every_sort() -> None:
    made = [random_row(number) for number in range(ROWS)]
    assert {shape.family for shape, _ in made} == {"angle", "beam", "channel", "tee"}
    assert any(shape.high == shape.wide for shape, _ in made if shape.family == "beam")
    assert any(shape.high != shape.wide for shape, _ in made if shape.family == "tee")
    planes = {part.ends.planes for _, question in made for part in question.parts if part.ends}
    assert planes == {(0, 0), (0, 1), (1, 0), (1, 1)}
    assert any(shape.high != shape.wide for shape, _ in made if shape.family == "angle")
