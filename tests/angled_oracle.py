"""Brute force over all orders and poses of small jobs with angled ends, with geometry of its own.

Nothing of the engine is used but the job types. A part is two vectors: at a point w of the cross-section its end
reaches ``g . w`` beyond mid-depth. Rotations are found by trying which of the eight rotations and mirrored turns of a
square take the outline of the section to itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache
from itertools import product
from random import Random

from cutting.question.job import Ends, Job, Lean, Measure, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit

ANGLES = [Fraction(0), Fraction(15), Fraction(45, 2), Fraction(30), Fraction(45), Fraction(60)]
SECTIONS = [
    ("shs", 40, 40),
    ("rhs", 60, 40),
    ("flat", 50, 8),
    ("chs", 48, 48),
    ("channel", 80, 40),
    ("angle", 50, 50),
    ("angle", 60, 40),
    ("square", 30, 30),
    ("", 50, 30),
]

# What is steel: points of each outline, first side upright, on a grid of its own.
OUTLINES = {
    "rectangle": {(3, 2), (3, -2), (-3, 2), (-3, -2)},
    "square": {(2, 2), (2, -2), (-2, 2), (-2, -2)},
    "C": {(3, 2), (-3, 2), (3, -2), (0, -2), (-3, -2)},
    "L equal": {(2, -2), (-2, -2), (-2, 2)},
    "L unequal": {(3, -2), (-3, -2), (-3, 2)},
    "unknown": {(3, 1), (-1, 2), (0, -4)},
}


def outline(section: Section) -> str:
    equal = section.sides[0] == section.sides[1]
    if section.family in ("chs", "pipe", "round"):
        return "square"
    if section.family in ("shs", "rhs", "flat", "square"):
        return "square" if equal else "rectangle"
    if section.family == "beam":
        return "rectangle"
    if section.family == "channel":
        return "C"
    if section.family == "angle":
        return "L equal" if equal else "L unequal"
    return "unknown"


def symmetries(section: Section) -> Iterator[tuple[bool, tuple[tuple[int, int], tuple[int, int]]]]:
    points = OUTLINES[outline(section)]
    for a, b in product((1, -1), repeat=2):
        for matrix in (((a, 0), (0, b)), ((0, a), (b, 0))):
            (p, q), (r, s) = matrix
            if {(p * x + q * y, r * x + s * y) for x, y in points} == points:
                yield p * s - q * r < 0, matrix


def faces(part: Part) -> Iterator[tuple[tuple[Fraction, int, int], tuple[Fraction, int, int]]]:
    """Left and right end in every pose, as (angle, up, right): where the long point lies."""
    ends = part.ends
    if ends is None:
        square = (Fraction(0), 0, 0)
        yield square, square
        return
    signs = list(ends.toward)
    if ends.planes[0] == ends.planes[1] and all(ends.angles):
        signs[1] = signs[0] * (1 if ends.lean is Lean.OPPOSED else -1)
    own = [
        (angle, sign if plane == 0 else 0, sign if plane == 1 else 0) if angle else (Fraction(0), 0, 0)
        for angle, plane, sign in zip(ends.angles, ends.planes, signs, strict=True)
    ]
    for turned, ((p, q), (r, s)) in symmetries(part.section):
        left, right = ((angle, p * x + q * y, r * x + s * y) for angle, x, y in own)
        yield (right, left) if turned else (left, right)


class Oracle:
    def __init__(self, job: Job) -> None:
        self.job = job
        section = job.parts[0].section
        self.depths = [float(side) for side in section.sides]
        self.circle = section.family in ("chs", "pipe", "round")
        self.step = Fraction(127, 5120) if job.unit is Unit.IN else Fraction(1, 100)
        self.kerf = job.saw.kerf
        self.pieces = [part for part in job.parts for _ in range(part.quantity)]
        self.poses = [sorted(set(faces(part)), key=repr) for part in self.pieces]
        self.between = lru_cache(maxsize=None)(self._between)

    def _tan(self, angle: Fraction) -> float:
        return {0: 0.0, 45: 1.0}.get(angle, math.tan(math.radians(float(angle))))

    def _reach(self, end: tuple[Fraction, int, int]) -> float:
        return self._tan(end[0]) * (self.depths[0] if end[1] else self.depths[1]) / 2 if end[0] else 0.0

    def _offset(self, part: Part, end: tuple[Fraction, int, int]) -> float:
        measure = part.ends.measure if part.ends else Measure.CENTRE_LINE
        return {Measure.LONG_POINT: 1, Measure.SHORT_POINT: -1, Measure.CENTRE_LINE: 0}[measure] * self._reach(end)

    def _up(self, amount: float) -> Fraction:
        """Round up, but leave what is as good as exact alone."""
        near = Fraction(amount).limit_denominator(64)
        if abs(float(near) - amount) < 1e-9:
            return near
        return math.ceil(amount / float(self.step)) * self.step

    def _between(self, i: int, right: tuple[Fraction, int, int], j: int, left: tuple[Fraction, int, int]) -> Fraction:
        kerf = float(self.kerf)
        most = max(kerf / math.cos(math.radians(float(end[0]))) for end in (right, left))
        meets = [self._tan(right[0]) * right[k] + self._tan(left[0]) * left[k] for k in (1, 2)]
        if self.circle:
            spread = self.depths[0] / 2 * math.hypot(*meets)
        else:
            spread = sum(abs(m) * d / 2 for m, d in zip(meets, self.depths, strict=True))
        if max(right[0], left[0]) == 0:
            return self.kerf
        return self._up(spread + most - self._offset(self.pieces[i], right) - self._offset(self.pieces[j], left))

    def _outer(self, i: int, end: tuple[Fraction, int, int]) -> Fraction:
        return self._up(self._reach(end) - self._offset(self.pieces[i], end))

    def _behind(self, i: int, end: tuple[Fraction, int, int]) -> Fraction:
        """From where the last piece was measured to the drop: its long point, and the cut along the stick."""
        cut = float(self.kerf) / math.cos(math.radians(float(end[0])))
        return self._up(self._reach(end) + cut - self._offset(self.pieces[i], end)) if end[0] else self.kerf

    def shortest(self, *, with_last_cut: bool = False) -> dict[int, Fraction]:
        """Least clear length for every set of pieces, over all orders and poses; up to the drop where that is asked."""
        count = len(self.pieces)
        reached: dict[tuple[int, int, tuple[Fraction, int, int]], Fraction] = {}
        for i in range(count):
            for left, right in self.poses[i]:
                key = (1 << i, i, right)
                total = self._outer(i, left) + self.pieces[i].length
                reached[key] = min(total, reached.get(key, total))
        for mask in range(1, 1 << count):
            for (held, i, last), so_far in [entry for entry in reached.items() if entry[0][0] == mask]:
                for j in range(count):
                    if held >> j & 1:
                        continue
                    for left, right in self.poses[j]:
                        key = (held | 1 << j, j, right)
                        total = so_far + self.between(i, last, j, left) + self.pieces[j].length
                        reached[key] = min(total, reached.get(key, total))
        best: dict[int, Fraction] = {}
        for (held, i, last), so_far in reached.items():
            total = so_far + (self._behind(i, last) if with_last_cut else self._outer(i, last))
            best[held] = min(total, best.get(held, total))
        return best

    def cheapest(self) -> Decimal | None:
        """Least cost of sticks that hold all pieces; None where they can't."""
        needs = self.shortest()
        kinds = [(stick.clear, stick.price.amount, stick.available) for stick in self.job.sticks]
        whole = (1 << len(self.pieces)) - 1

        @cache
        def rest(mask: int, left: tuple[int, ...]) -> Decimal | None:
            if mask == whole:
                return Decimal(0)
            free = whole & ~mask
            low = free & -free
            best: Decimal | None = None
            part = free
            while part:
                if part & low:
                    for kind, (clear, price, _) in enumerate(kinds):
                        if left[kind] and needs[part] <= clear:
                            after = rest(mask | part, (*left[:kind], left[kind] - 1, *left[kind + 1 :]))
                            if after is not None and (best is None or after + price < best):
                                best = after + price
                part = (part - 1) & free
            return best

        return rest(0, tuple(len(self.pieces) if kind[2] is None else kind[2] for kind in kinds))


def random_job(seed: int) -> Job:
    """Make a job of one section, three to six pieces, angles mixed, stick lengths such that sharing matters."""
    rng = Random(seed)
    family, first, second = rng.choice(SECTIONS)
    section = Section(name=family or "profile", family=family, sides=(Fraction(first), Fraction(second)))
    few = rng.sample(ANGLES[1:], 2)
    parts: list[Part] = []
    pieces = rng.randint(3, 6)
    while pieces:
        quantity = min(pieces, rng.choice([1, 1, 2, 3]))
        pieces -= quantity
        angles = (rng.choice([Fraction(0), *few]), rng.choice([Fraction(0), few[0], few[0]]))
        plane = rng.choice([0, 0, 0, 1])
        ends = Ends(
            angles=angles,
            lean=rng.choice([Lean.OPPOSED, Lean.OPPOSED, Lean.PARALLEL]),
            measure=rng.choice([Measure.LONG_POINT, Measure.LONG_POINT, Measure.CENTRE_LINE, Measure.SHORT_POINT]),
            planes=(plane, plane if rng.random() < 0.8 else 1 - plane),
            toward=(rng.choice([1, -1]), rng.choice([1, -1])),
        )
        length = Fraction(rng.randint(500, 1800), 2)
        parts.append(
            Part(
                mark=f"P{len(parts) + 1}",
                section=section,
                length=length,
                quantity=quantity,
                ends=ends if any(angles) else None,
            )
        )
    job = Job(
        parts=tuple(parts),
        sticks=(),
        saw=Saw(kerf=Fraction(rng.choice([4, 5, 6]), 2)),
        unit=rng.choice([Unit.MM, Unit.IN]),
        currency="EUR",
    )
    return replace(job, sticks=tuple(_sticks(rng, section, Oracle(job).shortest(), len(job.parts))))


def _sticks(rng: Random, section: Section, needs: dict[int, Fraction], kinds: int) -> Iterator[Stick]:
    """Stick lengths that just hold some set of pieces, or just don't."""
    longest_alone = max(need for mask, need in needs.items() if mask & (mask - 1) == 0)
    lengths = [max(longest_alone, rng.choice(list(needs.values())))]
    lengths += [rng.choice(list(needs.values())) for _ in range(rng.randint(0, kinds))]
    for number, need in enumerate(lengths):
        nudge = rng.choice([Fraction(0), Fraction(0), Fraction(-1, 100), Fraction(1, 2), Fraction(20)])
        length = need + (max(nudge, Fraction(0)) if number == 0 else nudge)
        yield Stick(
            id=f"S{number + 1}",
            section=section,
            length=length + 10,
            source=Source.STICKS,
            price=PerStick(amount=Decimal(int(length) * rng.randint(90, 110) // 10) / 100),
            available=None if number == 0 else rng.randint(1, 3),
            trims=(Fraction(10), Fraction(0)),
        )
