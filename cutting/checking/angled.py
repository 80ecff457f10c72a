"""The checker's own geometry of angled ends. It shares nothing with the solver but the types of job and plan.

A face is a plane. Seen from the part it belongs to, the steel reaches outward by ``g . w`` at the point w of the
cross-section, where the vector g points to the edge at which the long point lies and has the tangent of the angle as
its length. A part lies where some rotation takes it, and a rotation is allowed where it takes the cross-section's own
points to themselves. The kerf is measured square to each cut. Everything is worked out with 50 decimal digits;
amounts count as equal within 1e-25 mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from itertools import pairwise

from cutting.answer.plan import Cut, Lie, Piece, Stroke
from cutting.checking.poses import (
    DIGITS,
    ROUND,
    Side,
    cosine,
    decimal,
    described,
    is_symmetry,
    rotated,
    tangent,
    vector,
)
from cutting.question.job import Ends, Job, Measure, Part, Stick
from cutting.question.lengths import Unit, show_length

__all__ = ["angled_faults"]

_EQUAL = Decimal("1e-25")
_EDGES = {"angle": "heel", "channel": "back", "tee": "flange"}
Vector2 = tuple[Decimal, Decimal]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Lying:
    """One piece as it lies: its two ends in the stick's frame and where their mid-depth points are."""

    piece: Piece
    part: Part
    left: Side
    right: Side
    begin: Decimal
    finish: Decimal


def angled_faults(job: Job, cut: Cut, stick: Stick, parts: Sequence[Part], name: str) -> Iterator[str]:
    """Judge one layout that holds parts with angled ends.

    Parameters
    ----------
    job : Job
        The question.
    cut : Cut
        The layout.
    stick : Stick
        What it is cut from.
    parts : sequence of Part
        For each piece its part.
    name : str
        What to call the layout.

    Yields
    ------
    str
        Every fault, a sentence each.
    """
    with localcontext() as context:
        context.prec = DIGITS
        yield from _Judge(job=job, cut=cut, stick=stick, parts=tuple(parts), name=name).faults()


@dataclass(frozen=True, kw_only=True, slots=True)
class _Judge:
    job: Job
    cut: Cut
    stick: Stick
    parts: tuple[Part, ...]
    name: str

    def faults(self) -> Iterator[str]:
        posed = [self._pose_fault(piece, part) for piece, part in zip(self.cut.pieces, self.parts, strict=True)]
        yield from (fault for fault in posed if fault)
        if any(posed):
            return
        lying = [self._lying(piece, part) for piece, part in zip(self.cut.pieces, self.parts, strict=True)]
        yield from self._lengths(lying)
        yield from self._room(lying)
        yield from self._leftover(lying)
        yield from self._strokes(lying)

    # -- poses -----------------------------------------------------------------------------------

    def _pose_fault(self, piece: Piece, part: Part) -> str:
        if part.ends is None or not any(part.ends.angles):
            return f"{self.name} has {piece.mark} lie in a pose, though its ends are square." if piece.lie else ""
        if piece.lie is None:
            return f"{self.name} doesn't say how {piece.mark} lies."
        if not is_symmetry(part.section, piece.lie):
            how = f"turned end for end and rolled {piece.lie.roll}" if piece.lie.turned else f"rolled {piece.lie.roll}"
            return f"{self.name} has {piece.mark} {how} quarter turns; {part.section.label} may not lie so."
        left, right = self._sides(part, piece.lie)
        shown = ((left, -left.sign, 0), (right, right.sign, 1))
        for side, sign, end in shown:
            lean = piece.lie.leans[end]
            if lean != side.angle * sign or piece.lie.planes[end] != (side.plane if lean else 0):
                return f"{self.name} leans an end of {piece.mark} otherwise than the part lies."
        return ""

    def _sides(self, part: Part, lie: Lie) -> tuple[Side, Side]:
        first, second = (Side(angle=side.angle, toward=rotated(side.toward, lie)) for side in described(part))
        return (second, first) if lie.turned else (first, second)

    def _lying(self, piece: Piece, part: Part) -> _Lying:
        left, right = described(part) if piece.lie is None else self._sides(part, piece.lie)
        return _Lying(
            piece=piece,
            part=part,
            left=left,
            right=right,
            begin=decimal(piece.start) + self._outside(part, left),
            finish=decimal(piece.end) - self._outside(part, right),
        )

    # -- lengths ---------------------------------------------------------------------------------

    def _depth(self, side: Side) -> Decimal:
        """Size of the section in the plane of a cut."""
        section = self.stick.section
        if section.sides:
            return decimal(section.sides[side.plane])
        stated = (self._stated_depth(part.ends, side) for part in self.job.parts if part.section.key == section.key)
        return max((depth for depth in stated if depth is not None), default=Decimal(0))

    @staticmethod
    def _stated_depth(ends: Ends | None, side: Side) -> Decimal | None:
        if ends is None or ends.depths is None:
            return None
        fitting = [
            d
            for d, plane, angle in zip(ends.depths, ends.planes, ends.angles, strict=True)
            if angle and plane == side.plane
        ]
        return decimal(max(fitting)) if fitting else None

    def _reach(self, side: Side) -> Decimal:
        """From mid-depth out to the long point."""
        return self._depth(side) / 2 * tangent(side.angle) if side.angle else Decimal(0)

    def _outside(self, part: Part, side: Side) -> Decimal:
        """From mid-depth out to the point from which the part was measured."""
        if part.ends is None or part.ends.measure is Measure.CENTRE_LINE:
            return Decimal(0)
        return self._reach(side) if part.ends.measure is Measure.LONG_POINT else -self._reach(side)

    def _step(self) -> Decimal:
        return Decimal("0.0248046875") if self.job.unit in (Unit.IN, Unit.FT) else Decimal("0.01")  # 1/1024 in

    def _lengths(self, lying: Sequence[_Lying]) -> Iterator[str]:
        for each in lying:
            piece = each.piece
            if piece.end - piece.start != each.part.length:
                yield f"{self.name} leaves {self._show(piece.end - piece.start)} for {piece.mark}."
            if piece.lie is None:
                continue
            centre = each.finish - each.begin
            both = self._reach(each.left) + self._reach(each.right)
            for said, true in zip(piece.lie.lengths, (centre + both, centre, centre - both), strict=True):
                if not self._is_rounded_up(said, true):
                    yield f"{self.name} says {self._show(said)} for a length of {piece.mark} that is {float(true)} mm."

    def _is_rounded_up(self, said: Fraction, true: Decimal) -> bool:
        """Whether an amount is said exactly, or rounded up to a whole step."""
        more = decimal(said) - true
        return abs(more) <= _EQUAL or (0 < more < self._step() and self._is_whole(said))

    def _is_whole(self, mm: Fraction) -> bool:
        """Whether it is so many whole steps, to which irrational amounts are rounded."""
        return (mm / Fraction(self._step())).denominator == 1

    def _show(self, mm: Fraction) -> str:
        return show_length(mm, self.job.unit)

    # -- room ------------------------------------------------------------------------------------

    def _clear(self) -> Decimal:
        whole = self.stick.length if self.stick.usable is None else self.stick.usable
        return decimal(whole - sum(self.stick.trims))

    def _room(self, lying: Sequence[_Lying]) -> Iterator[str]:
        if lying[0].begin - self._reach(lying[0].left) < -_EQUAL:
            yield f"{self.name} has {lying[0].piece.mark} begin before the trimmed end."
        over = lying[-1].finish + self._reach(lying[-1].right) - self._clear()
        if over > _EQUAL:
            last = lying[-1].piece.mark
            yield f"{self.name} is {float(over):.4f} mm too full: {last} reaches beyond what {self.stick.id} has."
        for one, two in pairwise(lying):
            lack = self._lack(one, two)
            if lack > _EQUAL:
                yield (
                    f"{self.name} has {two.piece.mark} {float(lack):.4f} mm too close behind {one.piece.mark} "
                    f"for the saw's cut."
                )

    def _lack(self, one: _Lying, two: _Lying) -> Decimal:
        """What lacks of a full kerf, square to either cut, where the two faces come closest."""
        closest = two.begin - one.finish - self._spread(one.right, two.left)
        flattest = min(cosine(one.right.angle), cosine(two.left.angle))
        return decimal(self.job.saw.kerf) / flattest - closest

    def _spread(self, right: Side, left: Side) -> Decimal:
        """How far two facing ends reach towards each other at most, over the points of the cross-section."""
        slope = [tangent(right.angle) * right.toward[axis] + tangent(left.angle) * left.toward[axis] for axis in (0, 1)]
        halves = [self._depth(Side(angle=Fraction(0), toward=vector(axis, 1))) / 2 for axis in (0, 1)]
        if self.stick.section.family in ROUND:
            return halves[0] * (slope[0] ** 2 + slope[1] ** 2).sqrt()
        points = ((up, along) for bar in self._bars(halves[0], halves[1]) for up in bar[0] for along in bar[1])
        return max(slope[0] * up + slope[1] * along for up, along in points)

    def _bars(self, top: Decimal, end: Decimal) -> tuple[tuple[Vector2, Vector2], ...]:
        """Rectangles of steel that the section is made of: from where to where, upright and lying."""
        section = self.stick.section
        if section.walls and section.sides and section.family in ("angle", "tee"):
            web, flange = (decimal(wall) for wall in section.walls)
            if section.family == "angle":
                return ((-top, top), (-end, web - end)), ((-top, flange - top), (-end, end))
            return ((-top, top), (-web / 2, web / 2)), ((top - flange, top), (-end, end))
        return (((-top, top), (-end, end)),)

    def _leftover(self, lying: Sequence[_Lying]) -> Iterator[str]:
        last = lying[-1]
        kerf = decimal(self.job.saw.kerf) / cosine(last.right.angle)
        rest = self._clear() - last.finish - self._reach(last.right)
        drop = max(rest - kerf, Decimal(0))
        if not self._is_left(drop, last):
            yield f"{self.name} leaves a drop of {float(drop):.4f} mm, not {self._show(self.cut.drop)}."
        beyond = rest + decimal(self.stick.trims[1])
        sure = self._step() < beyond < kerf - self._step()
        possible = -_EQUAL < beyond < kerf + self._step()
        if (sure and not self.cut.skim) or (self.cut.skim and not possible):
            yield f"{self.name} {'ends' if sure else 'does not end'} in a skim cut, and the plan says otherwise."
        yield from self._hold(lying)

    def _is_left(self, drop: Decimal, last: _Lying) -> bool:
        """Whether the plan's drop is what is left when the last end's allowance, its cut included, is rounded up."""
        said = self.cut.drop
        if not said:
            return drop < self._step()
        behind = self._clear() - last.finish - drop
        end = self.stick.length if self.stick.usable is None else self.stick.usable
        allowed = end - sum(self.stick.trims) - last.piece.end - said
        return said > 0 and self._is_rounded_up(allowed, behind + last.finish - decimal(last.piece.end))

    def _hold(self, lying: Sequence[_Lying]) -> Iterator[str]:
        hold = self.job.saw.hold
        unheld = list(self.cut.unheld)
        if unheld != sorted({n for n in unheld if hold is not None and 0 < n <= len(lying)}):
            yield f"{self.name} has no such cuts that the saw cannot hold: {unheld}."
        if hold is None:
            return
        for number, each in enumerate(lying, start=1):
            kerf = decimal(self.job.saw.kerf) / cosine(each.right.angle)
            rest = self._clear() - each.finish - self._reach(each.right)
            behind = rest - kerf + decimal(self.stick.trims[1])
            short = each.finish - each.begin - self._reach(each.left) - self._reach(each.right)
            spare = min(decimal(hold) - short, decimal(hold) - behind)
            if abs(spare) <= self._step() or abs(rest) <= self._step():
                continue  # rounding decides
            if (spare > 0 and rest > 0) != (number in self.cut.unheld):
                yield f"{self.name} has cut {number} held otherwise than the plan says."

    # -- strokes ---------------------------------------------------------------------------------

    def _strokes(self, lying: Sequence[_Lying]) -> Iterator[str]:
        family = self.stick.section.family
        edge = "line" if family in ROUND else _EDGES.get(family, "corner")
        if self.cut.strokes and self.cut.edge != edge:
            yield f"{self.name} measures its strokes along {self.cut.edge or 'no edge'}; it is the {edge} here."
        done: list[tuple[int | None, int | None]] = []
        before: Stroke | None = None
        for number, stroke in enumerate(self.cut.strokes, start=1):
            done.append((stroke.ends, stroke.begins))
            fault = self._stroke_fault(stroke, lying) or self._stand_fault(stroke, before)
            if fault:
                yield f"{self.name}, stroke {number}: {fault}."
            before = stroke if stroke.back is not None else before
        wanted = list(self._wanted(lying))
        optional = [] if lying[-1].right.angle else [(len(lying), None)]
        if done not in (wanted, [each for each in wanted if each not in optional]):
            yield f"{self.name} does not free every part: the strokes make {done}, wanted are {wanted}."
        elif optional and done == wanted[:-1] and self._clear() - lying[-1].finish > _EQUAL:
            yield f"{self.name} never cuts {lying[-1].piece.mark} off."

    def _wanted(self, lying: Sequence[_Lying]) -> Iterator[tuple[int | None, int | None]]:
        if lying[0].left.angle:
            yield None, 1
        for number, (one, two) in enumerate(pairwise(lying), start=1):
            if _alike(one.right, two.left):
                yield number, number + 1
            else:
                yield number, None
                yield None, number + 1
        yield len(lying), None

    def _stroke_fault(self, stroke: Stroke, lying: Sequence[_Lying]) -> str:
        number = stroke.begins if stroke.ends is None else stroke.ends
        if number is None or not 1 <= number <= len(lying):
            return "it makes no end of any part"
        each = lying[number - 1]
        side, middle = (each.left, each.begin) if stroke.ends is None else (each.right, each.finish)
        outward = -1 if stroke.ends is None else 1
        if stroke.angle != side.angle:
            return f"it is set to {stroke.angle} degrees, {each.piece.mark} wants {side.angle}"
        lies = middle + outward * self._along(side)
        off = abs(lies - decimal(stroke.at))
        if off > _EQUAL and not (off <= self._step() / 2 + _EQUAL and self._is_whole(stroke.at)):
            return f"it is at {self._show(stroke.at)}, the end lies at {float(lies):.4f} mm"
        if side.angle and stroke.back is None:
            return "it doesn't say how the stick lies"
        if side.angle and stroke.back is not None:
            further = [(1, 0), (0, 1), (-1, 0), (0, -1)][stroke.back]
            reach = outward * (further[0] * side.toward[0] + further[1] * side.toward[1])
            if reach != stroke.swing:
                return "with the stick lying so, the saw would cut the wrong way"
        if not side.angle and stroke.swing:
            return "a square cut needs no swing"
        return ""

    def _along(self, side: Side) -> Decimal:
        """How far a face reaches outward at the named edge: below and to the left."""
        if self.stick.section.family in ROUND and side.plane == 1:
            return Decimal(0)  # a line scribed along the bottom of a round
        if self.stick.section.family == "tee" and side.plane == 0:
            return side.sign * self._reach(side)  # a tee's flange is at the top
        return -side.sign * self._reach(side)

    def _stand_fault(self, stroke: Stroke, before: Stroke | None) -> str:
        saw = self.job.saw
        if saw.largest is not None and stroke.angle > saw.largest:
            return f"the saw swings to {saw.largest} degrees at most"
        if saw.one_way and stroke.swing < 0:
            return "the saw swings to one side only"
        if stroke.back is None and before is not None:
            return "it doesn't say how the stick lies, which has been laid before"
        if stroke.back is None or before is None or before.back is None:
            return "" if stroke.roll == 0 else "it rolls a stick that may lie as it likes"
        return (
            ""
            if stroke.roll == (before.back - stroke.back) % 4
            else "the stick is rolled otherwise than it comes to lie"
        )


def _alike(right: Side, left: Side) -> bool:
    """Whether two facing ends are one cut: both square, or parallel (what sticks out here is hollow there)."""
    if right.angle != left.angle:
        return False
    return not right.angle or (right.toward[0] == -left.toward[0] and right.toward[1] == -left.toward[1])
